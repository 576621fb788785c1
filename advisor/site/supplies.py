"""What site.yaml may say of bags: seed with its label, fertiliser, lime, topdressing, and quotes.

Weights in kg, volumes in L, shares from 0 to 1, money the keeper's own. Everything may be left out;
amounts are then told by weight, without bags and money.
"""

from __future__ import annotations

import datetime as dt
import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from advisor.base.checked_model import FileModel, Listed
from advisor.site.quantity import Equivalent, Kilograms, LabelShare, Litres, Share
from advisor.site.words import as_name

_ANALYSIS = re.compile(r"\s*(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s*")
_MOST_PERCENT = 100.0


def _none_listed(given: Any) -> Any:
    return [] if given is None else given


def _analysis(given: Any) -> tuple[float, float, float]:
    match = _ANALYSIS.fullmatch(given) if isinstance(given, str) else None
    if match is None:
        raise ValueError(f"'{given}' is no analysis; write the three numbers as 25-0-5")
    n, p, k = (float(number) for number in match.groups())
    if n + p + k > _MOST_PERCENT:
        raise ValueError(f"'{given}' adds up to more than 100 %; copy the three numbers of the bag")
    return n, p, k


Price = Annotated[float | None, Field(ge=0)]
Name = Annotated[str, BeforeValidator(as_name), Field(min_length=1)]
LISTING = BeforeValidator(_none_listed)


class SeedPart(FileModel):
    """One grass of a mixture: its share of the bag by weight (`purity`) and its germination."""

    grass: Name
    purity: Share
    germination: Share


class SeedBag(FileModel):
    """A bag of seed and its label. Either one grass, or `parts` for a mixture."""

    grass: Name | None = None
    purity: Share | None = None
    germination: Share | None = None
    parts: Annotated[Listed[SeedPart], LISTING] = ()
    weed_seed: LabelShare | None = None
    other_crop: LabelShare | None = None
    inert: LabelShare | None = None
    tested: dt.date | None = None
    bag: Kilograms | None = None
    price: Price = None

    @property
    def grasses(self) -> tuple[str, ...]:
        """What the bag holds."""
        return tuple(p.grass for p in self.parts) or ((self.grass,) if self.grass else ())


class FertiliserBag(FileModel):
    """analysis: per cent of N, P and K as printed. slow: share of the nitrogen released slowly.

    numbers: whether P and K are printed as P2O5 and K2O (oxide) or as elements; left out, the habit
    of the country counts.
    """

    analysis: Annotated[tuple[float, float, float], BeforeValidator(_analysis)]
    numbers: Annotated[Literal["oxide", "elemental"], BeforeValidator(as_name)] | None = None
    slow: LabelShare | None = None
    bag: Kilograms | None = None
    price: Price = None


class LimeBag(FileModel):
    """equivalent: calcium carbonate equivalent, 1 for pure lime."""

    equivalent: Equivalent | None = None
    bag: Kilograms | None = None
    price: Price = None


class Topdressing(FileModel):
    """Sold by the bag, or loose by a least volume (`bulk`); the price is for one of them."""

    material: Annotated[Literal["soil", "compost", "sand"], BeforeValidator(as_name)] | None = None
    bag: Litres | None = None
    bulk: Litres | None = None
    price: Price = None


class Quote(FileModel):
    """What somebody asks to do a job on the whole lawn."""

    operation: Name
    price: float = Field(ge=0)


class Supplies(FileModel):
    """What is in the shed or on the list."""

    seed: Annotated[Listed[SeedBag], LISTING] = ()
    fertiliser: Annotated[Listed[FertiliserBag], LISTING] = ()
    lime: LimeBag | None = None
    topdressing: Topdressing | None = None
    quotes: Annotated[Listed[Quote], LISTING] = ()
