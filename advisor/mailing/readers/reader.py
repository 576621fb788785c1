"""One reader of a mailing list, as told by the list's file."""

from __future__ import annotations

import datetime as dt
import hashlib

from advisor.base.record import Record, field
from advisor.base.units import System
from advisor.mailing.readers.wishes import Wishes


class Measured(Record, frozen=True):
    """What a reader measured: the value as written, with its unit, and the day."""

    fact: str
    value: str
    on: dt.date


class Reader(Record, frozen=True):
    """address: as mails go there. latitude, longitude: degrees north and east. area_m2: None if
    unknown. permission_on, permission_source: when and how the reader agreed to be written to.
    id: the row in the store, 0 before it has one. units: as wished, or as usual at the place.
    """

    address: str
    name: str
    latitude: float
    longitude: float
    place: str
    country: str
    subdivision: str
    time_zone: str
    grass: str
    area_m2: float | None
    units: System
    permission_on: dt.date
    permission_source: str
    measured: tuple[Measured, ...] = field(default=())
    id: int = 0
    wishes: Wishes = field(default_factory=Wishes)

    @property
    def key(self) -> str:
        """The address as it is compared: case does not tell people apart."""
        return address_key(self.address)


def address_key(address: str) -> str:
    """An address as it is compared with others."""
    return address.strip().casefold()


def address_hash(address: str) -> str:
    """SHA-256 of the case-folded address, in hex."""
    return hashlib.sha256(address_key(address).encode()).hexdigest()
