"""One reckoned amount and one thing to get, each with its steps, as a shopper says them."""

from __future__ import annotations

from typing import Literal

from advisor.base.record import Record
from advisor.base.units import System, convert, show
from advisor.rulebook.conditions import Evidence

Basis = Literal["label", "records", "machine", "general"]
"""What an amount rests on: the keeper's label, the keeper's own records, the machine that does it,
or a rate that holds for any lawn."""


class Amount(Record, frozen=True):
    """What one job takes on one part of the lawn.

    low, high: in `unit`, the keeper's. says: the amount in words. basis: what it rests on. cap:
    what held it down. steps: the calculation, to be checked by hand. notes: what else to know
    before buying or spreading.
    """

    name: str
    low: float
    high: float
    unit: str
    says: str
    basis: Basis = "general"
    cap: str = ""
    steps: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    evidence: tuple[Evidence, ...] = ()


class Wish(Record, frozen=True):
    """What a job asks to be bought.

    product: what it is. job: for what, such as `overseeding, front`. needed: kg, or L for
    topdressing. bag: size of one, None where it is not known; price: of one. loose: sold by volume
    without a bag. label: what the label says that should be heard before paying. sure: whether the
    job is known to be needed.
    """

    product: str
    job: str
    needed: float
    dimension: str
    bag: float | None = None
    price: float | None = None
    loose: bool = False
    label: tuple[str, ...] = ()
    keeps: str = ""
    sure: bool = True
    safety: tuple[str, ...] = ()


_FINE = 100.0


def mass(kg: float, units: System) -> str:
    """`6.2 lb`, `31 kg`; one decimal under a hundred."""
    unit = mass_unit(units)
    return f"{number(convert(kg, 'kg', unit))} {unit}"


def mass_unit(units: System) -> str:
    return "lb" if units == "us" else "kg"


def bulk(litres: float, units: System) -> str:
    """Loose material: cubic yards or cubic metres."""
    value = convert(litres, "L", "yd3" if units == "us" else "m3")
    text = f"{value:,.2f}".rstrip("0").rstrip(".")
    return f"{text} {'cubic yards' if units == 'us' else 'm³'}"


def bagged(litres: float, units: System) -> str:
    """The volume of a bag: cubic feet or litres."""
    if units == "us":
        return f"{number(convert(litres, 'L', 'ft3'))} ft³"
    return f"{litres:,.0f} L"


def number(value: float) -> str:
    """One decimal under a hundred, whole numbers above; no trailing nought."""
    text = f"{value:,.1f}" if abs(value) < _FINE else f"{value:,.0f}"
    return text.removesuffix(".0")


def money(value: float, code: str) -> str:
    """`34 USD`; the code is left out where nobody has said which money it is."""
    return f"{value:,.2f} {code}".replace(".00 ", " ").strip()


def percent(share: float) -> str:
    """A share of a label, with the decimals that it is printed with."""
    return f"{100 * share:.3g} %"


def area(m2: float, units: System) -> str:
    return show(m2, "m2", units)


def rate(g_m2: float, units: System) -> str:
    """A rate with two decimals, as seed and nitrogen want them."""
    return f"{_rate_number(g_m2, units)} {_rate_unit(units)}"


def rates(low: float, high: float, units: System) -> str:
    """`1 to 1.5 lb per 1,000 ft²`."""
    ends = dict.fromkeys(_rate_number(each, units) for each in (low, high))
    return f"{' to '.join(ends)} {_rate_unit(units)}"


def _rate_number(g_m2: float, units: System) -> str:
    value = convert(g_m2, "g/m2", "lb/1000ft2" if units == "us" else "g/m2")
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _rate_unit(units: System) -> str:
    return "lb per 1,000 ft²" if units == "us" else "g/m²"


def say_time(minutes: float) -> str:
    """Minutes as hours and minutes, rounded to five."""
    whole = max(round(minutes / 5) * 5, 5)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"
