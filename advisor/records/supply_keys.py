"""What site.yaml may say of bags and how it is written; `supplies.py` says what it means."""

from __future__ import annotations

import datetime as dt
import re
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from advisor.base.checked_model import FileModel, Listed
from advisor.records.quantity import Equivalent, Kilograms, LabelShare, Litres, Share
from advisor.records.words import as_name

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


class SeedPartKeys(FileModel):
    grass: Name
    purity: Share
    germination: Share


class SeedBagKeys(FileModel):
    grass: Name | None = None
    purity: Share | None = None
    germination: Share | None = None
    parts: Annotated[Listed[SeedPartKeys], LISTING] = ()
    weed_seed: LabelShare | None = None
    other_crop: LabelShare | None = None
    inert: LabelShare | None = None
    tested: Annotated[dt.date, AfterValidator(dt.date.isoformat)] | None = None
    bag: Kilograms | None = None
    price: Price = None


class FertiliserBagKeys(FileModel):
    analysis: Annotated[tuple[float, float, float], BeforeValidator(_analysis)]
    numbers: Annotated[Literal["oxide", "elemental"], BeforeValidator(as_name)] | None = None
    slow: LabelShare | None = None
    bag: Kilograms | None = None
    price: Price = None


class LimeBagKeys(FileModel):
    equivalent: Equivalent | None = None
    bag: Kilograms | None = None
    price: Price = None


class TopdressingKeys(FileModel):
    material: Annotated[Literal["soil", "compost", "sand"], BeforeValidator(as_name)] | None = None
    bag: Litres | None = None
    bulk: Litres | None = None
    price: Price = None


class QuoteKeys(FileModel):
    operation: Name
    price: float = Field(ge=0)


class SuppliesKeys(FileModel):
    seed: Annotated[Listed[SeedBagKeys], LISTING] = ()
    fertiliser: Annotated[Listed[FertiliserBagKeys], LISTING] = ()
    lime: LimeBagKeys | None = None
    topdressing: TopdressingKeys | None = None
    quotes: Annotated[Listed[QuoteKeys], LISTING] = ()
