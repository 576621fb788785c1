"""What the gazetteer tells of a place."""

from __future__ import annotations

from advisor.base.record import Record
from advisor.places.regions import region_name


class Town(Record, frozen=True):
    """A town: degrees north and east, elevation in m, IANA time zone, ISO 3166 codes.

    subdivision: the part of the ISO 3166-2 code after the hyphen (OH of US-OH); empty if the
    gazetteer has none. population: 0 where it is not known.
    """

    name: str
    latitude: float
    longitude: float
    elevation: float | None
    time_zone: str
    country: str
    subdivision: str
    population: int

    @property
    def label(self) -> str:
        """`Wooster, Ohio, United States`, which finds the town again."""
        return _label(self.name, self.country, self.subdivision)


class Spot(Record, frozen=True):
    """A place found for what the keeper typed: where, and as much as is known of it.

    elevation: m, only where the spot is a town's own. kind: how it was found. note: what the keeper
    should check, as a sentence; empty if nothing.
    """

    latitude: float
    longitude: float
    kind: str
    town: str = ""
    elevation: float | None = None
    time_zone: str = ""
    country: str = ""
    subdivision: str = ""
    population: int = 0
    note: str = ""

    @property
    def label(self) -> str:
        """The town, or the degrees where there is none, with its region and country by name."""
        return _label(
            self.town or f"{self.latitude:g}, {self.longitude:g}", self.country, self.subdivision
        )


def _label(name: str, country: str, part: str) -> str:
    regions = (region_name((country, part)) if part else "", region_name((country, "")))
    return ", ".join(filter(None, (name, *regions)))
