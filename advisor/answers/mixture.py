"""What a mixture changes: the largest grass decides, and the others are heard where they differ."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from advisor.answers.answer import Answer
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.base.text import uncapped
from advisor.base.units import show
from advisor.cases.case import Case
from advisor.cases.parts import Part, as_grass
from advisor.rulebook.model import Grass

LEAST_SHARE = 0.1
"""A grass with less of the stand is not heard (chosen)."""
FEW_DAYS = 4
"""Days by which two seasons must differ to be worth a sentence (chosen)."""


def other_grasses(case: Case, part: Part) -> tuple[tuple[str, float | None], ...]:
    """The stand's further grasses that the rule book knows, with their shares, largest first."""
    stand = case.site.stand_of(part.decider.day.area)
    found = [
        (p.grass, p.share)
        for p in stand
        if p.grass != part.grass
        and p.grass in case.book.grasses
        and (p.share is None or p.share >= LEAST_SHARE)
    ]
    return tuple(sorted(found, key=lambda each: -(each[1] or 0.0)))


class Differing(Record, frozen=True):
    """Where the further grasses of a stand differ from an answer, a sentence each.

    against: those that have another verdict. besides: those that want one more measurement, or
    whose season only begins or ends on another day.
    """

    against: tuple[str, ...]
    besides: tuple[str, ...]


def what_others_say(
    case: Case, part: Part, answer: Answer, answered: Callable[[Part], Answer]
) -> Differing:
    """What changes with the further grasses. answered: the same question, put to another part."""
    against: list[str] = []
    besides: list[str] = []
    for grass, share in other_grasses(case, part):
        other = answered(as_grass(case, part, grass))
        beside = other.decision.verdict in (answer.decision.verdict, "measure")
        (besides if beside else against).append(_where_it_differs(answer, other, share))
    return Differing(tuple(against), tuple(text for text in besides if text))


def _where_it_differs(answer: Answer, other: Answer, share: float | None) -> str:
    """One sentence on a further grass of the stand, or nothing where its answer is the same."""
    part = f" ({share * 100:.0f} %)" if share is not None else ""
    who = f"For the {other.grass} in the mixture{part}"
    if other.decision.verdict != answer.decision.verdict:
        return f"{who}: {uncapped(other.headline)}."
    mine, theirs = answer.window, other.window
    if mine is None or theirs is None or mine.all_year:
        return ""
    on = answer.decision.on
    said = [
        f"the season {word} about {say_date(b, relative_to=on)}, not {say_date(a, relative_to=on)}"
        for word, a, b in (
            ("opens", mine.opens.p50, theirs.opens.p50),
            ("closes", mine.closes.p50, theirs.closes.p50),
        )
        if abs((b - a).days) >= FEW_DAYS and b >= on
    ]
    return f"{who}: {' and '.join(said)}." if said else ""


def both_suit(case: Case, grasses: tuple[Grass, ...], operation: str) -> Iterator[str]:
    """The height or the feed of a year that suits all grasses of a stand."""
    names = {"mowing": ("mowing_low", "mowing_high", "mm"), "feeding": _YEAR_OF_FEED}
    if operation not in names:
        return
    low_name, high_name, unit = names[operation]
    ranges = []
    for grass in grasses:
        least, most = grass.limits.get(low_name), grass.limits.get(high_name)
        if least is None or most is None:
            return
        ranges.append((grass.title, least.value, most.value))
    if len({(low, high) for _, low, high in ranges}) == 1:
        return

    def said(low: float, high: float) -> str:
        units = case.site.unit_system
        return f"{show(low, unit, units)} to {show(high, unit, units)}"

    low, high = max(r[1] for r in ranges), min(r[2] for r in ranges)
    what = "height" if operation == "mowing" else "nitrogen of a year"
    each = "; ".join(f"{title} {said(a, b)}" for title, a, b in ranges)
    shared = f"{said(low, high)} suits all" if low < high else "no one range suits all"
    yield f"The {what} in print: {each}. For the mixture {shared}."


_YEAR_OF_FEED = ("nitrogen_year_low", "nitrogen_year_high", "g/m2")
