"""Where the lawn stands in its programmes, in the one sentence that every view says."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.advice.book import Advice
from advisor.advice.item import Item
from advisor.answers.answer import answer_of
from advisor.answers.headline import when_text
from advisor.answers.sources import Line
from advisor.answers.words import listed, sentence
from advisor.base.dates import say_date
from advisor.base.text import uncapped
from advisor.planning.programme import standings
from advisor.planning.programme_step import Standing, Step

NEAR_DAYS = 28
"""A programme that is not begun is told of so long before its first step (chosen)."""


def near_standings(advice: Advice) -> tuple[Standing, ...]:
    """Those to be told of in a week: what is under way or was just brought through, and what is due
    and can begin soon; what is under way first, then by the day of the step whose turn it is.
    """
    near = [each for each in standings(advice) if each.state != "unsure" and _near(each)]
    near.sort(key=_rank)
    return tuple(each for each in near if not any(_within(each, other) for other in near))


def standings_of(advice: Advice, items: Iterable[Item]) -> tuple[Standing, ...]:
    """Of `near_standings` those that several of some jobs on a part are steps of."""
    keys = {item.key for item in items}
    return tuple(
        standing
        for standing in near_standings(advice)
        if len(keys & {step.item.key for step in standing.counted}) > 1
    )


def _within(standing: Standing, other: Standing) -> bool:
    """Whether another on the same part tells of all its open jobs, and of more."""
    jobs, others = ({s.job for s in each.counted if s.open} for each in (standing, other))
    return standing.part is other.part and jobs < others


def _near(standing: Standing) -> bool:
    # A single step is a task like any other.
    if len(standing.counted) < 2:
        return False
    if standing.state != "due":
        return True
    turn = standing.next
    return turn is not None and turn.item.near(NEAR_DAYS)


def _rank(standing: Standing) -> tuple[bool, tuple[bool, int, object]]:
    turn = standing.next or standing.counted[-1]
    return standing.state == "due", turn.item.order()


def standing_lines(
    found: Iterable[Standing], advice: Advice, told: frozenset[tuple[str, str]] = frozenset()
) -> tuple[Line, ...]:
    """`Renovation, front` with its sentence; parts of which the same holds are named together.

    told: job and part of what stands beside it with its day.
    """
    parts: dict[tuple[str, str], list[str]] = {}
    for standing in found:
        said = standing.programme.title, standing_text(standing, advice, told)
        parts.setdefault(said, []).append(standing.part.label)
    return tuple(
        Line(f"{title}, {where}" if (where := listed(tuple(filter(None, labels)))) else title, says)
        for (title, says), labels in parts.items()
    )


def standing_text(
    standing: Standing, advice: Advice, told: frozenset[tuple[str, str]] = frozenset()
) -> str:
    """`step 2 of 7, thatch removal, by 15 Sep. Then core aeration and overseeding.`; what is told
    beside it is only counted: `steps 2 to 4 of 7. Then watering new seed.`"""
    turn = standing.next
    if turn is None:
        return "brought through."
    steps = standing.counted
    beside = [n for n, s in enumerate(steps, 1) if s.open and s.item.key in told]
    now = steps.index(turn) + 1
    if now not in beside:
        beside = []
    if len(beside) > 1:
        said = [f"steps {_numbers(beside)} of {len(steps)}"]
    else:
        title = _title(turn) if beside else _turn(turn, advice)
        said = [f"step {now} of {len(steps)}, {title}"]
    rest = [s for n, s in enumerate(steps, 1) if s.open and n > now and n not in beside]
    if then := _then(turn, rest, advice):
        said.append(f"then {then}")
    if late := _late(standing, advice):
        said.append(late)
    elif standing.through is not None:
        first, last = (say_date(day, relative_to=advice.on) for day in standing.through)
        said.append(
            f"brought through about {last}"
            if first == last
            else f"brought through between {first} and {last}"
        )
    return uncapped(" ".join(map(sentence, said)))


def _numbers(found: list[int]) -> str:
    """`2 to 4`, or `1, 2 and 4`."""
    first, last = found[0], found[-1]
    if len(found) > 2 and last - first == len(found) - 1:
        return f"{first} to {last}"
    return listed(tuple(map(str, found)))


def _title(step: Step) -> str:
    title = uncapped(step.item.operation.title)
    return f"the rest of {title}" if step.state == "partly" and not step.care else title


def _turn(step: Step, advice: Advice) -> str:
    """The step whose turn it is, with its day or what it waits for."""
    title = _title(step)
    when = when_text(step.item, advice.case.book)
    if step.item.verdict in ("hold", "measure"):
        return f"{title} – {uncapped(answer_of(advice, step.item).headline)}"
    if not when and (opens := _opens(step, advice)):
        when = f"from about {opens}"
    return f"{title}, {when}" if when else title


def step_text(step: Step, advice: Advice) -> str:
    """One step by itself: `thatch removal, by 15 Sep`, `low mowing, done on 5 Sep`."""
    title = uncapped(step.item.operation.title)
    if step.state == "done":
        days = listed(tuple(say_date(day, relative_to=advice.on) for day in step.done_on))
        return f"{title}, done on {days}" if days else f"{title}, done"
    if step.state == "not_yet" or (step.care and step.state == "waits"):
        after = f", from about {say_date(step.first, relative_to=advice.on)}" if step.first else ""
        return f"{title}{after}"
    return _turn(step, advice)


def _opens(step: Step, advice: Advice) -> str:
    date = step.date
    if date is None or date.kind not in ("opening", "release"):
        return ""
    return say_date(date.day, relative_to=advice.on)


def _then(turn: Step, rest: Iterable[Step], advice: Advice) -> str:
    """The jobs up to the heart, the heart with its day; after the heart what brings it through."""
    rest = tuple(rest)
    before = tuple(step for step in rest if not step.care) or rest
    said = []
    for step in before:
        title = uncapped(step.item.operation.title)
        when = when_text(step.item, advice.case.book)
        day = turn.date and turn.date.day
        other = when and step.heart and step.date is not None and step.date.day != day
        said.append(f"{title} ({when})" if other else title)
    return listed(tuple(said))


def _late(standing: Standing, advice: Advice) -> str:
    """What no longer fits in the order of the whole."""
    late = next(
        (s for s in standing.counted if s.open and s.first and s.last and s.first > s.last), None
    )
    if late is None or late.first is None:
        return ""
    title = uncapped(late.item.operation.title)
    return (
        f"not all fits into the season in this order any more: {title} "
        f"cannot come before {say_date(late.first, relative_to=advice.on)}"
    )
