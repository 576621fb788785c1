"""Lawns on which much is to be done, and what of their files can be changed one by one."""

from __future__ import annotations

import datetime as dt

from lawns import Climate, Lawn

SITE = """# Invented: no such lawn.
format: 1
name: Lawn of changes (invented)
place: {place}
units: {units}
stand: [{{grass: kentucky_bluegrass}}]
sown_on: 2009-09-06
areas:
  - {{name: front, size: {front} {unit}, sun: full, slope: flat, stand: [{{grass: {grass}}}]}}
  - {{name: back, size: {back} {unit}, sun: full, slope: flat, stand: [{{grass: tall_fescue}}]}}
soil: {{texture: loam}}
water: {{irrigated: yes, can_water_seed: yes}}
people: {{number: 1, hours_per_day: 8 h, free_days: [saturday, sunday]}}
tools: [{{kind: core_aerator, have: owned}}, {{kind: vertical_mower, have: owned}}]
supplies:
  seed: [{{grass: {grass}, purity: 97 %, germination: 90 %}}]
  fertiliser: [{{analysis: 25-0-5, slow: 30 %}}]
"""
SEEN = (
    "thatch_depth,0.9 in,front", "thatch_depth,0.3 in,back", "good_turf_share,65 %,front",
    "good_turf_share,90 %,back", "soil_firmness,hard,front", "soil_firmness,easy,back",
    "turf_state,growing,", "soil_feel,moist,", "weed_preventer,none,", "nitrogen_fed,0 g/m2,",
    "grass_height,4 in,",
)  # fmt: skip
WISHES = ("overseeding,yes,front", "overseeding,no,back", "feeding,yes,back", "topdressing,no,")


def lawn_of(climate: Climate, us: bool, grass: str, on: dt.date) -> Lawn:
    """Front: thin turf on thatch and hard soil, to be sown. Back: dense turf, to be fed."""
    unit = "ft2" if us else "m2"
    front, back = (3000, 2000) if us else (280, 190)
    site = SITE.format(place=climate.place, units="us" if us else "metric", unit=unit,
                       front=front, back=back, grass=grass)  # fmt: skip
    rows = [f"{on - dt.timedelta(days=2)},observation,{each}," for each in SEEN]
    rows += [f"{on - dt.timedelta(days=40)},wish,{each}," for each in WISHES]
    rows += [f"{on - dt.timedelta(days=30)},observation,thatch_depth,0.9 in,front,"]
    journal = "".join(f"r{at},{row}\n" for at, row in enumerate(sorted(rows), 1))
    header = "id,date,kind,what,value,area,note\n"
    return Lawn("Lawn of changes (invented)", site, header + journal, climate, ("front", "back"))
