"""The words that a site file may say and that tables elsewhere are keyed by."""

from __future__ import annotations

from typing import Literal

# The twelve texture classes of the USDA Soil Survey Manual (2017), chapter 3.
Texture = Literal[
    "sand", "loamy_sand", "sandy_loam", "loam", "silt_loam", "silt", "sandy_clay_loam",
    "clay_loam", "silty_clay_loam", "sandy_clay", "silty_clay", "clay",
]  # fmt: skip
Sun = Literal["full", "partial", "shade"]
Slope = Literal["flat", "gentle", "steep"]
Climate = Literal["humid", "arid"]
SeasonType = Literal["cool", "warm"]
"""Of a grass, told by its own file."""
ToolKind = Literal["core_aerator", "vertical_mower", "mower", "spreader"]
"""The machines of rules/work.yaml."""
