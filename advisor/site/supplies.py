"""What site.yaml says of bags: seed with its label, fertiliser, lime, topdressing, and quotes.

Weights in kg, volumes in L, shares from 0 to 1, money the keeper's own. Everything may be left out;
amounts are then told by weight, without bags and money.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal

from advisor.base.record import Record


class SeedPart(Record, frozen=True, kw_only=True):
    """One grass of a mixture: its share of the bag by weight (`purity`) and its germination."""

    grass: str
    purity: float
    germination: float


class SeedBag(Record, frozen=True, kw_only=True):
    """A bag of seed and its label. Either one grass, or `parts` for a mixture."""

    grass: str | None = None
    purity: float | None = None
    germination: float | None = None
    parts: tuple[SeedPart, ...] = ()
    weed_seed: float | None = None
    other_crop: float | None = None
    inert: float | None = None
    tested: dt.date | None = None
    bag: float | None = None
    price: float | None = None

    @property
    def grasses(self) -> tuple[str, ...]:
        """What the bag holds."""
        return tuple(p.grass for p in self.parts) or ((self.grass,) if self.grass else ())


class FertiliserBag(Record, frozen=True, kw_only=True):
    """analysis: per cent of N, P and K as printed. slow: share of the nitrogen released slowly.

    numbers: whether P and K are printed as P2O5 and K2O (oxide) or as elements; left out, the habit
    of the country counts.
    """

    analysis: tuple[float, float, float]
    numbers: Literal["oxide", "elemental"] | None = None
    slow: float | None = None
    bag: float | None = None
    price: float | None = None


class LimeBag(Record, frozen=True, kw_only=True):
    """equivalent: calcium carbonate equivalent, 1 for pure lime."""

    equivalent: float | None = None
    bag: float | None = None
    price: float | None = None


class Topdressing(Record, frozen=True, kw_only=True):
    """Sold by the bag, or loose by a least volume (`bulk`); the price is for one of them."""

    material: Literal["soil", "compost", "sand"] | None = None
    bag: float | None = None
    bulk: float | None = None
    price: float | None = None


class Quote(Record, frozen=True, kw_only=True):
    """What somebody asks to do a job on the whole lawn."""

    operation: str
    price: float


class Supplies(Record, frozen=True, kw_only=True):
    """What is in the shed or on the list."""

    seed: tuple[SeedBag, ...] = ()
    fertiliser: tuple[FertiliserBag, ...] = ()
    lime: LimeBag | None = None
    topdressing: Topdressing | None = None
    quotes: tuple[Quote, ...] = ()
