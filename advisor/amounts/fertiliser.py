"""How much of which bag: nitrogen wanted, law, phosphorus and potassium that come with it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from advisor.amounts.amount import Amount, area, mass, mass_unit, number, rate
from advisor.amounts.spread import dose_caps, product_weight
from advisor.base.record import Record
from advisor.base.units import System, convert
from advisor.facts.fact import Fact
from advisor.records.sections import FertiliserBag
from advisor.rulebook.effort import SupplyNumbers
from advisor.rulebook.law import LawRule
from advisor.rulebook.model import Grass, Operation

ELEMENTAL_HABIT = frozenset({"AU", "NZ", "ZA", "NO", "SE", "FI", "DK"})
"""Countries whose bags usually print P and K as elements (from memory; `numbers:` overrides)."""


class Content(Record, frozen=True):
    """Shares of the weight, from 0 to 1: nitrogen, phosphorus and potassium as elements."""

    n: float
    p: float
    k: float


def content(bag: FertiliserBag, country: str, numbers: SupplyNumbers) -> Content:
    """The elements of a bag. Minnesota: P2O5 x 0.44 = P, K2O x 0.83 = K."""
    n, p, k = (each / 100 for each in bag.analysis)
    if is_oxide(bag, country):
        p, k = p * numbers["p_in_p2o5"], k * numbers["k_in_k2o"]
    return Content(n, p, k)


def is_oxide(bag: FertiliserBag, country: str) -> bool:
    """Whether the bag prints P2O5 and K2O."""
    if bag.numbers is not None:
        return bag.numbers == "oxide"
    return country.upper() not in ELEMENTAL_HABIT


def refused(bag: FertiliserBag, facts: Mapping[str, Fact]) -> str:
    """Why a bag is not to be spread on this lawn, or an empty string."""
    n, p, _ = bag.analysis
    if n <= 0:
        return "it holds no nitrogen"
    if p <= 0:
        return ""
    found = facts["soil_phosphorus"].value if "soil_phosphorus" in facts else None
    law = facts["law_phosphorus"].value if "law_phosphorus" in facts else None
    place = "; the law here asks for that test too" if law is True else ""
    if found is None:
        return f"it holds phosphorus, and no soil test of the last three years asks for it{place}"
    if found != "low":
        return f"it holds phosphorus, and the soil test shows enough{place}"
    return ""


def analysis(bag: FertiliserBag) -> str:
    """`25-0-5`."""
    return "-".join(f"{each:g}" for each in bag.analysis)


def feed_line(
    operation: Operation,
    grass: Grass,
    bag: FertiliserBag | None,
    area_m2: float,
    facts: Mapping[str, Fact],
    laws: Iterable[LawRule],
    country: str,
    numbers: SupplyNumbers,
    units: System,
) -> tuple[Amount, float] | None:
    """The line, and the kg to buy (of pure nitrogen without a bag); None where nothing is wanted.

    The dose is what the grass is still given in this half of the year, the most at a time, or the
    law, whichever is least. Quick nitrogen has caps of its own where the law says so.
    """
    spread = operation.spreads
    if spread is None or spread.what != "nitrogen":
        return None
    rules = tuple(laws)
    caps = dose_caps(spread, grass, facts, rules)
    quick = 1.0 if bag is None or bag.slow is None else 1 - bag.slow
    for rule in rules:
        if rule.soluble and rule.most is not None and quick > 0:
            caps["the most quick nitrogen that the law here allows"] = rule.most / quick
    reason = min(caps, key=lambda name: caps[name])
    dose = caps[reason]
    if dose <= 0:
        return None
    unit = mass_unit(units)
    kilos = dose * area_m2 / 1000
    steps = [
        f"nitrogen: {rate(dose, units)}, {reason}",
        f"on {area(area_m2, units)}: {mass(kilos, units)} of nitrogen",
        *_year_share(grass, dose, facts, units),
    ]
    behind = [operation.evidence[id] for id in spread.evidence if id in operation.evidence]
    if bag is None:
        shown = convert(kilos, "kg", unit)
        notes = (
            "divide by the first number on the bag and times 100 for the weight of the product; "
            "the middle number should be 0",
        )
        says = f"{number(shown)} {unit} of nitrogen at the most"
        plain = Amount(
            "nitrogen", shown, shown, unit, says, cap=reason, steps=tuple(steps), notes=notes,
            evidence=tuple(behind),
        )  # fmt: skip
        return plain, kilos
    product = product_weight(kilos, bag.analysis[0])
    shown = convert(product, "kg", unit)
    steps.append(
        f"{mass(kilos, units)} ÷ {bag.analysis[0]:g} × 100 = {mass(product, units)} "
        f"of {analysis(bag)}"
    )
    steps += _with_it(bag, product, area_m2, country, numbers, units)
    behind += numbers.evidence("p_in_p2o5")
    line = Amount(
        name="fertiliser",
        low=shown,
        high=shown,
        unit=unit,
        says=f"{number(shown)} {unit} of {analysis(bag)} at the most",
        basis="label",
        cap=reason,
        steps=tuple(steps),
        notes=tuple(_notes(bag, country)),
        evidence=tuple(behind),
    )
    return line, product


def _year_share(
    grass: Grass, dose: float, facts: Mapping[str, Fact], units: System
) -> Iterator[str]:
    year = grass.limits.get("nitrogen_year_high")
    if year is None:
        return
    fed = facts["nitrogen_fed"].value if "nitrogen_fed" in facts else None
    text = f"that is {100 * dose / year.value:.0f} % of the year's most, {rate(year.value, units)}"
    if isinstance(fed, float):
        text += f"; {rate(fed, units)} were fed before"
    else:
        text += "; take off what was fed since the feeding year began, which is not on record"
    yield text


def _with_it(
    bag: FertiliserBag,
    product: float,
    area_m2: float,
    country: str,
    numbers: SupplyNumbers,
    units: System,
) -> Iterator[str]:
    inside = content(bag, country, numbers)
    oxides = is_oxide(bag, country)
    for printed, share, name, oxide, factor in (
        (bag.analysis[1], inside.p, "phosphorus", "phosphate", numbers["p_in_p2o5"]),
        (bag.analysis[2], inside.k, "potassium", "potash", numbers["k_in_k2o"]),
    ):
        if not printed:
            yield f"with it: no {name}"
            continue
        per = share * product / area_m2 * 1000
        text = f"with it: {mass(product * printed / 100, units)} of {oxide if oxides else name}"
        if oxides:
            text += f", × {factor:g} = {mass(product * share, units)} of {name}"
        yield f"{text} ({rate(per, units)} of {name})"


def _notes(bag: FertiliserBag, country: str) -> Iterator[str]:
    if bag.analysis[1] > 0:
        yield (
            "the soil test asks for phosphorus: not more than the laboratory recommends, where the "
            "law allows it"
        )
    if bag.slow is None:
        yield "look on the bag for the share of slow nitrogen; it was taken as all quick"
    if bag.numbers is None and not is_oxide(bag, country):
        yield "taken as printed in elements, as is usual in this country; check the bag"
