"""Eight invented places. Their positions lie on real land, so that real laws and day lengths hold;
their names, their weather and their readers are made up."""

from __future__ import annotations

import datetime as dt

from advisor.base.record import Record
from advisor.demo.invent import LAKE, Climate, invented_days

FIRST_DAY = dt.date(2006, 6, 1)


class InventedPlace(Record, frozen=True):
    """latitude, longitude: degrees. us: whether feet and Fahrenheit are used. grasses: what grows
    there. share: of the list's readers, in parts."""

    name: str
    latitude: float
    longitude: float
    country: str
    us: bool
    share: int
    grasses: tuple[str, ...]
    climate: Climate

    @property
    def file(self) -> str:
        return f"{self.label}.csv"

    @property
    def label(self) -> str:
        """The name as it stands in file names and addresses."""
        return self.name.lower().replace(" ", "-")


PLACES = (
    InventedPlace(
        "Quince Hollow", 41.2, -81.9, "US", True, 5,
        ("kentucky_bluegrass", "perennial_ryegrass", "tall_fescue"), LAKE,
    ),
    InventedPlace(
        "Tamarack Bend", 45.4, -94.2, "US", True, 3, ("kentucky_bluegrass", "fine_fescues"),
        Climate(-11.0, 33.0, 202, 1.2, 0.26, 0.45, 8.5),
    ),
    InventedPlace(
        "Larkspur Flat", 39.8, -104.2, "US", True, 3, ("kentucky_bluegrass", "buffalograss"),
        Climate(-1.5, 25.0, 203, 1.3, 0.14, 0.38, 6.5),
    ),
    InventedPlace(
        "Magnolia Ferry", 33.1, -83.6, "US", True, 4,
        ("bermudagrass", "zoysiagrass", "centipedegrass"),
        Climate(6.5, 20.5, 203, 1.0, 0.24, 0.52, 14.0),
    ),
    InventedPlace(
        "Heron Levee", 28.3, -81.7, "US", True, 2, ("st_augustinegrass", "bahiagrass"),
        Climate(15.5, 13.0, 212, 0.8, 0.25, 0.55, 14.0),
    ),
    InventedPlace(
        "Alderthwaite", 52.5, -1.7, "GB", False, 4, ("perennial_ryegrass", "fine_fescues"),
        Climate(4.0, 13.5, 205, 0.7, 0.34, 0.63, 5.0),
    ),
    InventedPlace(
        "Rosella Soak", -32.2, 116.1, "AU", False, 2, ("bermudagrass", "zoysiagrass"),
        Climate(13.0, 11.8, 28, 0.9, 0.15, 0.50, 9.0),
    ),
    InventedPlace(
        "Tussock Fold", -43.5, 172.2, "NZ", False, 2, ("perennial_ryegrass", "tall_fescue"),
        Climate(5.5, 11.8, 22, 0.9, 0.20, 0.42, 8.0),
    ),
)  # fmt: skip


def weather_file(place: InventedPlace, last: dt.date) -> str:
    """The place's daily weather up to a day, in °C and mm."""
    lines = ["# INVENTED weather of no real place", "date,max temp (C),min temp (C),rain (mm)"]
    seed = PLACES.index(place) + 1
    lines += [
        f"{day.date},{day.air_max_c},{day.air_min_c},{day.rain_mm}"
        for day in invented_days(FIRST_DAY, last, seed, place.climate)
    ]
    return "\n".join(lines) + "\n"
