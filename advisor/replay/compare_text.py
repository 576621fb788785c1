"""Two rule books side by side, as text for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from advisor.replay.compare import Moved
from advisor.replay.days_said import say_day
from advisor.replay.run import Replay
from advisor.replay.tables import Counts, Spread, WindowSummary
from advisor.replay.to_text import WIDTH, Midsummer, head, opened_in, week_rows

LABEL = 18
COLUMN = 12


def compared_text(before: Replay, after: Replay, moved: tuple[Moved, ...]) -> str:
    """What changed; windows that did not are only named."""
    lines = [*head(before), f"Before: rule book {before.rulebook}. After: {after.rulebook}."]
    same = [one for one in moved if not one.changed and one.before == one.after]
    for one in moved:
        if one not in same:
            lines += ["", *_moved(one, before.midsummer)]
    if same:
        lines += ["", "The same"]
        lines += [f"  {' - '.join(one.titles)}" for one in same]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _moved(one: Moved, midsummer: Midsummer) -> Iterator[str]:
    title = " - ".join(one.titles)
    if one.before is None or one.after is None:
        there, where = (one.before, "before") if one.before else (one.after, "after")
        assert there is not None
        yield f"{title}: only {where}; {opened_in(there)}"
        return
    yield f"{title}: other days in {one.changed} of {one.after.years} years"
    yield f"  {'':{LABEL}}{'before':>{COLUMN}}{'after':>{COLUMN}}"
    yield _row("years opened", str(one.before.opened), str(one.after.opened), "")
    for label, was, now, by in (
        ("opens, median", one.before.opens, one.after.opens, one.opens),
        ("last day, median", one.before.last, one.after.last, one.last),
    ):
        said = _by(by, ("earlier", "later"))
        yield _row(label, _day(was, midsummer), _day(now, midsummer), said)
    old, new = (f"{s[1]:.0f}" if s else "-" for s in (one.before.days, one.after.days))
    yield _row("days open, median", old, new, _by(one.days, ("shorter", "longer")))
    yield from _counts("opened by", one.before.opened_by, one.after.opened_by)
    yield from _counts("ended by", one.before.ended_by, one.after.ended_by)
    yield from _counts(
        "never opened, kept shut by", one.before.kept_shut_by, one.after.kept_shut_by
    )
    yield from _weeks(one.before, one.after, midsummer)


def _weeks(before: WindowSummary, after: WindowSummary, midsummer: Midsummer) -> Iterator[str]:
    if before.opened or after.opened:
        yield "  in how many years of 100 most of the week was open"
        yield from week_rows([("before", before.weeks), ("after", after.weeks)], midsummer)


def _row(label: str, before: str, after: str, by: str) -> str:
    return f"  {label:{LABEL}}{before:>{COLUMN}}{after:>{COLUMN}}  {by}"


def _day(spread: Spread | None, midsummer: Midsummer) -> str:
    return say_day(spread[1], midsummer) if spread else "-"


def _by(days: float | None, how: tuple[str, str]) -> str:
    """`4 days later`."""
    if days is None or not days:
        return "" if days is None else "the same"
    size = f"{abs(days):g}"
    return f"{size} {'day' if size == '1' else 'days'} {how[days > 0]}"


def _counts(title: str, before: Counts, after: Counts) -> Iterator[str]:
    old, new = dict(before), dict(after)
    if not old and not new:
        return
    yield f"  {title}"
    for condition in dict.fromkeys((*old, *new)):
        said = f"{old.get(condition, 0):>5}{new.get(condition, 0):>6}  "
        first, *rest = wrap(condition, WIDTH - 2 - len(said))
        yield f"  {said}{first}"
        yield from (f"  {'':{len(said)}}{line}" for line in rest)
