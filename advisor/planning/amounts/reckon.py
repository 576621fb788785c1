"""The lines of one job on one part of the lawn, and what it asks to be bought."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field

from advisor.answers.amounts import amounts
from advisor.answers.lawn import Lawn, laws_of
from advisor.planning.amounts.fertiliser import analysis, feed_line, refused
from advisor.planning.amounts.lime import lime_line
from advisor.planning.amounts.line import Line, Wish
from advisor.planning.amounts.seed import bag_parts, seed_line
from advisor.planning.amounts.seed_label import label_notes
from advisor.planning.amounts.topdressing import OPERATION as TOPDRESSING
from advisor.planning.amounts.topdressing import topdressing_line
from advisor.planning.amounts.water import seed_water_line
from advisor.planning.lawn_tasks import Wanted
from advisor.rulebook.law import rules_on
from advisor.rulebook.supplies import SupplyNumbers
from advisor.site.supplies import FertiliserBag, SeedBag

SEED_KEEPS = "keep it cool, dry and closed, about two years; sow a hundred on damp paper first"
FEED_KEEPS = "keep it dry, closed and locked away; it does not spoil"


@dataclass(frozen=True)
class Job:
    """An operation on a part of the lawn with its lines and wishes; both may be empty."""

    wanted: Wanted
    lines: tuple[Line, ...] = ()
    wishes: tuple[Wish, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def sure(self) -> bool:
        """Whether it is known to be needed."""
        return self.wanted.decision.judgement.truths["need"] is True


@dataclass
class _Reckoning:
    lawn: Lawn
    numbers: SupplyNumbers
    on: dt.date
    wanted: Wanted
    lines: list[Line] = field(default_factory=list)
    wishes: list[Wish] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)


def reckon(lawn: Lawn, numbers: SupplyNumbers, on: dt.date, wanted: Wanted) -> Job:
    """Everything that the job takes."""
    at = _Reckoning(lawn, numbers, on, wanted)
    for part in (_seed, _feed, _lime, _topdressing):
        part(at)
    at.lines += _effort(at)
    return Job(wanted, tuple(at.lines), tuple(at.wishes), tuple(at.warnings))


def _wish(at: _Reckoning, **given: object) -> None:
    sure = at.wanted.decision.judgement.truths["need"] is True
    title = at.wanted.operation.title
    job = f"{title[0].lower()}{title[1:]}, {at.wanted.area}"
    at.wishes.append(Wish(job=job, sure=sure, safety=at.wanted.operation.safety, **given))  # type: ignore[arg-type]


def _seed(at: _Reckoning) -> None:
    book, site = at.lawn.book, at.lawn.site
    grass = book.grasses[site.sowing or at.wanted.decision.grass]
    bag = seed_bag(site.supplies.seed, grass.id)
    found = seed_line(
        at.wanted.operation,
        grass,
        book.grasses,
        bag,
        at.wanted.part.size_m2,
        at.numbers,
        site.unit_system,
    )
    if found is None:
        return
    line, kilos = found
    at.lines += [line, seed_water_line(at.wanted.part.size_m2, at.numbers, site.unit_system)]
    titles = [book.grasses[g].title for g in (bag.grasses if bag else (grass.id,))]
    _wish(
        at,
        product=f"{' and '.join(titles)} seed",
        needed=kilos,
        dimension="kg",
        bag=bag.bag if bag else None,
        price=bag.price if bag else None,
        label=tuple(label_notes(bag, book.grasses, at.numbers, at.on)) if bag else _NO_LABEL,
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
    site, decision = at.lawn.site, at.wanted.decision
    spread = at.wanted.operation.spreads
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
        at.wanted.operation,
        at.lawn.book.grasses[decision.grass],
        bag,
        at.wanted.part.size_m2,
        decision.facts,
        rules_on(laws_of(at.lawn), ["nitrogen_cap"], decision.grass),
        site.place.country or "",
        at.numbers,
        site.unit_system,
    )
    if found is None:
        return
    line, kilos = found
    at.lines.append(line)
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
    site, decision = at.lawn.site, at.wanted.decision
    bag = site.supplies.lime
    grass = at.lawn.book.grasses[decision.grass]
    size = at.wanted.part.size_m2
    found = lime_line(at.wanted.operation, grass, bag, size, decision.facts, site.unit_system)
    if found is None:
        spread = at.wanted.operation.spreads
        if spread is not None and spread.what == "lime" and decision.judgement.truths["need"]:
            at.warnings.append("no amount of lime without a laboratory's: note what it recommends")
        return
    line, kilos = found
    at.lines.append(line)
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
    if at.wanted.operation.id != TOPDRESSING:
        return
    site = at.lawn.site
    given = site.supplies.topdressing
    line, litres = topdressing_line(given, at.wanted.part.size_m2, at.numbers, site.unit_system)
    at.lines.append(line)
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


def _effort(at: _Reckoning) -> Iterator[Line]:
    """Hours and debris, as answers tell them."""
    operation, grass = at.wanted.operation, at.lawn.book.grasses[at.wanted.decision.grass]
    units = at.lawn.site.unit_system
    facts = at.wanted.decision.facts
    for each in amounts(operation, grass, at.wanted.part.size_m2, units, facts):
        if each.name in ("time", "debris"):
            behind = tuple(operation.evidence[i] for i in each.evidence if i in operation.evidence)
            yield Line(
                each.name, each.low, each.high, each.unit, each.says, (each.steps,), (), behind
            )
