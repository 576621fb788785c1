"""What the computed facts need to know of the place and the lawn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from advisor.base.record import Record
from advisor.base.vocabularies import Climate, SeasonType, Texture


class Lawn(Record, frozen=True):
    """A lawn as the weather meets it.

    soil_offset_c: from the keeper's thermometer. texture, root_depth_mm: None if unknown, then so
    is the root-zone balance. irrigation_mm: recorded waterings by date. watering_unknown: the lawn
    can be watered and nobody recorded how much.
    """

    latitude: float
    elevation_m: float
    climate: Climate = "humid"
    season_type: SeasonType = "cool"
    soil_offset_c: float = 0.0
    texture: Texture | None = None
    root_depth_mm: float | None = None
    irrigation_mm: Mapping[dt.date, float] | None = None
    watering_unknown: bool = False
