"""The advice for a lawn on a day: items made when first asked for, and never twice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import cached_property

from advisor.advice.item import Item, ItemDate, Season
from advisor.amounts.reckon import reckon
from advisor.cases.lawn import Ground, Lawn, Part, parts_on
from advisor.rulebook.order import all_before
from advisor.verdicts.decide import Decision


class Advice:
    """What follows for one lawn on one day. The same whatever was asked first."""

    def __init__(self, lawn: Lawn, on: dt.date, parts: tuple[Part, ...] | None = None) -> None:
        """parts: those of the lawn on the day, if they have been opened already."""
        self.lawn = lawn
        self.on = on
        self._parts = parts
        self._items: dict[tuple[str, str, str], Item] = {}

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """The parts of the lawn, largest first."""
        return self._parts if self._parts is not None else parts_on(self.lawn, self.on)

    def items(self) -> Iterator[Item]:
        """Every job that is for the grass, on every part."""
        for part in self.parts:
            for job in part.decider.operations():
                yield self.item(job, part)

    def item(self, job: str, part: Part) -> Item:
        """One job on one part."""
        key = job, part.label, part.grass
        if key not in self._items:
            self._items[key] = item_of(self.lawn, part.decider.decide(job), part.ground)
        return self._items[key]


def item_of(lawn: Lawn, decision: Decision, ground: Ground) -> Item:
    """What a decision comes to on a part of the lawn, or on one of another size."""
    operation, need = decision.operation, decision.judgement.truths["need"]
    off = decision.verdict in ("not_needed", "ruled_out", "missed") or need is False
    sized = ground.size_m2 > 0 and not decision.for_good
    return Item(
        decision=decision,
        ground=ground,
        need=need,
        wanted=not (off or operation.routine or (operation.quiet and need is not True)),
        date=_date(decision),
        season=_season(decision),
        amounts=reckon(lawn, decision, ground).amounts if sized else (),
        after=frozenset(all_before(lawn.book).get(operation.id, ())),
    )


def _season(decision: Decision) -> Season | None:
    current = decision.outlook.current
    if current is None or current.all_year:
        return None
    opens, closes = current.opens, current.closes
    return Season(opens.p50, closes.p10, closes.p50, closes.p90)


def _date(decision: Decision) -> ItemDate | None:
    """The one date: whoever shows a date of the item shows this one, as the kind that it is."""
    current = decision.outlook.current
    routine = decision.operation.routine
    match decision.verdict:
        case "do" | "hold" | "measure" if decision.by is not None and not routine:
            return ItemDate("deadline", decision.by)
        case "wait" if current is not None:
            return ItemDate("opening", current.opens.p50)
        case "ruled_out" if decision.ends is not None and decision.ends.sure:
            return ItemDate("release", decision.ends.day)
    return None
