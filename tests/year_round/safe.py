"""What the cautions forbid, as conditions that a "do" must not meet (rules/cautions.yaml)."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.facts.fact import Value
from advisor.rulebook.model import Operation

MOWERS = frozenset({"mower", "rotating_blades", "heavy_machine", "thrown_stones"})
"""Cautions of machines on the turf: "Not on wet grass: you slip, and a cord is live"."""
ON_TURF = MOWERS | {"fertiliser", "lime_dust", "silica_dust", "pesticide", "treated_seed"}
"""Cautions of work that takes feet, wheels or a spreader over the turf."""
OFF_TURF = frozenset({"tool_care"})
"""Work on a machine, in the shed: what it names concerns blades, not the lawn."""
LABELS = {
    "broadleaf_weeds": "weed_killer_label",
    "grubs": "grub_killer_label",
    "preemergent": "preventer_label",
}
READ = (
    "frozen_ground", "soil_feel", "air_high_3d", *LABELS.values(), "in_united_states",
    "lawn_flowers", "law_ban_left", "watering_allowed",
)  # fmt: skip
"""The facts that the cautions bear on."""
HOT = (90.0 - 32.0) * 5 / 9
"""°C: above such a heat index the heat caution leaves heavy work for the morning or another day. At
the humidity of a summer day the heat index is at least about the air temperature (US heat index
tables), so the afternoons' high stands for it."""


def forbidden(operation: Operation, values: Mapping[str, Value | None]) -> str:
    """Why a caution forbids to do it under these facts; empty if none does."""
    cautions = frozenset(operation.safety)
    on_turf = bool(cautions & ON_TURF) and operation.id not in OFF_TURF
    if values.get("frozen_ground") is True and on_turf:
        return "cold_ground: nobody on the lawn while it is frozen"
    wet = values.get("soil_feel") == "wet"
    if wet and cautions & MOWERS and operation.id not in OFF_TURF:
        return "mower: not on wet grass"
    hottest = values.get("air_high_3d")
    if isinstance(hottest, float) and hottest >= HOT and on_turf and "heat" not in cautions:
        return "heat: the work is done in heat and its caution is not named"
    label = LABELS.get(operation.id)
    if label and values.get(label) is not True:
        return "label_and_law: no label on record allows it"
    if operation.id in LABELS and values.get("in_united_states") is not True:
        return "label_and_law: no pesticide is advised outside the United States"
    if operation.id == "grubs" and values.get("lawn_flowers") is True:
        return "bees: no insecticide on flowers"
    ban = values.get("law_ban_left")
    if operation.id == "feeding" and isinstance(ban, float) and ban > 0:
        return "label_and_law: the law forbids feeding now"
    if operation.id == "watering" and values.get("watering_allowed") is False:
        return "label_and_law: local rules forbid watering"
    return ""
