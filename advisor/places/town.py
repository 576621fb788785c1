"""What the gazetteer tells of a place."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Town:
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
        """`Wooster, OH, US`."""
        return ", ".join(filter(None, (self.name, self.subdivision, self.country)))


@dataclass(frozen=True)
class Spot:
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
        """The town with its codes, or the degrees where there is no town."""
        names = ", ".join(filter(None, (self.town, self.subdivision, self.country)))
        return names or f"{self.latitude:g}, {self.longitude:g}"
