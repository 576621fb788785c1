"""The lines of one job on one part of the lawn, and what it asks to be bought."""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.amounts.amount import Amount, Wish
from advisor.amounts.fertiliser import analysis, feed_line, refused
from advisor.amounts.minutes import debris_of, time_of
from advisor.amounts.seed import bag_parts, label_notes, seed_line
from advisor.amounts.spread import OPERATION as TOPDRESSING
from advisor.amounts.spread import (
    lime_line,
    refill_amount,
    seed_water_line,
    sprinkler_rates,
    topdressing_line,
)
from advisor.base.record import Record
from advisor.base.text import uncapped
from advisor.cases.case import Case, laws_of
from advisor.cases.parts import Ground
from advisor.decide.verdicts.decide import Decision
from advisor.records.sections import FertiliserBag, SeedBag
from advisor.rulebook.effort import SupplyNumbers
from advisor.rulebook.law import rules_on
from advisor.rulebook.model import Operation

SEED_KEEPS = "keep it cool, dry and closed, about two years; sow a hundred on damp paper first"
FEED_KEEPS = "keep it dry, closed and locked away; it does not spoil"


class Job(Record, frozen=True):
    """An operation on a part of the lawn: what it takes, and what is to be bought for it."""

    decision: Decision
    ground: Ground
    amounts: tuple[Amount, ...] = ()
    wishes: tuple[Wish, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def operation(self) -> Operation:
        return self.decision.operation

    @property
    def sure(self) -> bool:
        """Whether it is known to be needed."""
        return self.decision.judgement.truths["need"] is True

    @property
    def worth_a_place(self) -> bool:
        """Whether something is bought for it, or it is needed now, or leaves debris."""
        now = self.decision.verdict != "wait" and bool(self.amounts)
        debris = any(amount.name != "time" for amount in self.amounts)
        return bool(self.wishes or self.warnings) or (self.sure and (now or debris))

    def amount(self, name: str) -> Amount | None:
        """The amount of a name, such as `seed`."""
        return next((each for each in self.amounts if each.name == name), None)


@dataclass
class _Reckoning:
    case: Case
    decision: Decision
    ground: Ground
    size_m2: float
    amounts: list[Amount] = field(default_factory=list)
    wishes: list[Wish] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)

    @property
    def operation(self) -> Operation:
        return self.decision.operation

    @property
    def numbers(self) -> SupplyNumbers:
        return self.case.book.supplies


def amounts_for(case: Case, decision: Decision, ground: Ground) -> tuple[Amount, ...]:
    """What a job takes; nothing on ground of unknown size, or where it is out for good."""
    return () if decision.for_good else reckon(case, decision, ground).amounts


def reckon(case: Case, decision: Decision, ground: Ground) -> Job:
    """Everything that the job takes: the one place where a lawn's amounts are reckoned.

    On ground of unknown size nothing is.
    """
    if ground.size_m2 is None:
        return Job(decision, ground)
    at = _Reckoning(case, decision, ground, ground.size_m2)
    for part in (_seed, _feed, _lime, _topdressing, _water, _debris, _time):
        part(at)
    return Job(decision, ground, tuple(at.amounts), tuple(at.wishes), tuple(at.warnings))


def _wish(at: _Reckoning, **given: object) -> None:
    sure = at.decision.judgement.truths["need"] is True
    job = f"{uncapped(at.operation.title)}, {at.ground.name}"
    at.wishes.append(Wish(job=job, sure=sure, safety=at.operation.safety, **given))  # type: ignore[arg-type]


def _seed(at: _Reckoning) -> None:
    book, site, on = at.case.book, at.case.site, at.decision.on
    grass = book.grasses[site.sowing or at.decision.grass]
    bag = seed_bag(site.supplies.seed, grass.id)
    found = seed_line(
        at.operation,
        grass,
        book.grasses,
        bag,
        at.size_m2,
        at.numbers,
        site.unit_system,
    )
    if found is None:
        return
    line, kilos = found
    at.amounts += [
        line,
        seed_water_line(at.size_m2, at.numbers, site.unit_system),
    ]
    titles = [book.grasses[g].title for g in (bag.grasses if bag else (grass.id,))]
    _wish(
        at,
        product=f"{' and '.join(titles)} seed",
        needed=kilos,
        dimension="kg",
        bag=bag.bag if bag else None,
        price=bag.price if bag else None,
        label=tuple(label_notes(bag, book.grasses, at.numbers, on)) if bag else _NO_LABEL,
        keeps=SEED_KEEPS,
    )


_NO_LABEL = (
    "read the label before you pay: purity, germination, weed seed, other crop, inert matter and "
    "the date of the test; write them under supplies in site.yaml and the weight follows",
)


def seed_bag(bags: tuple[SeedBag, ...], grass: str) -> SeedBag | None:
    """The bag that holds most of a grass, or None."""
    shares = [
        (sum(p.purity for p in bag_parts(bag) if p.grass == grass) or 0.001, bag)
        for bag in bags
        if grass in bag.grasses
    ]
    return max(shares, key=lambda each: each[0])[1] if shares else None


def _feed(at: _Reckoning) -> None:
    site, decision = at.case.site, at.decision
    spread = at.operation.spreads
    if spread is None or spread.what != "nitrogen":
        return
    # Whole days' facts, as an amount reads more of them than the verdict does.
    bag: FertiliserBag | None = None
    for each in site.supplies.fertiliser:
        why = refused(each, decision.facts)
        if why:
            at.warnings.append(f"leave the {analysis(each)} in the shop or the shed: {why}")
        elif bag is None:
            bag = each
    found = feed_line(
        at.operation,
        at.case.book.grasses[decision.grass],
        bag,
        at.size_m2,
        decision.facts,
        rules_on(laws_of(at.case), ["nitrogen_cap"], decision.grass),
        site.place.country or "",
        at.numbers,
        site.unit_system,
    )
    if found is None:
        return
    line, kilos = found
    at.amounts.append(line)
    if bag is not None:
        _wish(
            at,
            product=f"fertiliser {analysis(bag)}",
            needed=kilos,
            dimension="kg",
            bag=bag.bag,
            price=bag.price,
            keeps=FEED_KEEPS,
        )
    else:
        _wish(
            at,
            product="nitrogen, in a fertiliser without phosphorus",
            needed=kilos,
            dimension="kg",
            keeps=FEED_KEEPS,
        )


def _lime(at: _Reckoning) -> None:
    site, decision = at.case.site, at.decision
    bag = site.supplies.lime
    grass = at.case.book.grasses[decision.grass]
    size = at.size_m2
    found = lime_line(at.operation, grass, bag, size, decision.facts, site.unit_system)
    if found is None:
        spread = at.operation.spreads
        if spread is not None and spread.what == "lime" and decision.judgement.truths["need"]:
            at.warnings.append("no amount of lime without a laboratory's: note what it recommends")
        return
    line, kilos = found
    at.amounts.append(line)
    _wish(
        at,
        product="lime" if bag and bag.equivalent else "lime, as pure lime",
        needed=kilos,
        dimension="kg",
        bag=bag.bag if bag and bag.equivalent else None,
        price=bag.price if bag and bag.equivalent else None,
        keeps="keep it dry; it does not spoil",
    )


def _topdressing(at: _Reckoning) -> None:
    if at.operation.id != TOPDRESSING:
        return
    site = at.case.site
    given = site.supplies.topdressing
    line, litres = topdressing_line(given, at.size_m2, at.numbers, site.unit_system)
    at.amounts.append(line)
    _wish(
        at,
        product=(given.material if given and given.material else "topdressing"),
        needed=litres,
        dimension="L",
        bag=(given.bag or given.bulk) if given else None,
        price=given.price if given else None,
        loose=bool(given and given.bulk),
        keeps="keep it covered",
    )


def _water(at: _Reckoning) -> None:
    """What refills the root zone; new seed has its own."""
    site = at.case.site
    rates = sprinkler_rates(site, at.ground.areas)
    found = refill_amount(at.decision.values, at.size_m2, site.unit_system, rates)
    at.amounts += [found] if found else []


def _debris(at: _Reckoning) -> None:
    found = debris_of(at.operation, at.size_m2, at.case.site.unit_system)
    at.amounts += [found] if found else []


def _time(at: _Reckoning) -> None:
    found = time_of(at.case, at.operation, at.ground)
    at.amounts += [found] if found else []
