"""A replay as text for a terminal of 80 columns."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from textwrap import wrap

from advisor.base.dates import say_date
from advisor.replay.days_said import say_day
from advisor.replay.run import Replay
from advisor.replay.tables import Counts, Spread, WindowSummary, summarise

WIDTH = 80
WEEKS_IN_A_ROW = 8
LABEL = 14
Midsummer = tuple[int, int]


def replay_text(found: Replay) -> str:
    """Every window: its dates, what opened and ended it, and its weeks."""
    lines = [*head(found), f"Rule book {found.rulebook}"]
    for key, summary in summarise(found.rows).items():
        lines += ["", " - ".join(found.titles[key]), *_window(summary, found.midsummer)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def head(found: Replay) -> Iterator[str]:
    """Which lawn, which weather, which years."""
    first, last = found.seasons
    yield from wrap(f"{found.site}: {found.title}", WIDTH)
    yield f"Record {_day(found.first)} to {_day(found.last)}"
    yield f"Growing years {first} to {last}, each from {say_day(0, found.midsummer)} on"
    if found.others:
        yield from wrap(f"Other parts are of {', '.join(found.others)}: ask with --grass", WIDTH)


def _day(day: dt.date) -> str:
    return f"{say_date(day)} {day.year}"


def _window(summary: WindowSummary, midsummer: Midsummer) -> Iterator[str]:
    yield f"  {opened_in(summary)}"
    if summary.opens and summary.last and summary.days:
        yield f"  {'':{LABEL}}{'1 in 10':>9}{'median':>9}{'9 in 10':>9}"
        yield _spread("opens", summary.opens, midsummer)
        yield _spread("last day", summary.last, midsummer)
        yield _spread("days open", summary.days, None)
    for title, counts in (
        ("opened by", summary.opened_by),
        ("ended by", summary.ended_by),
        ("never opened, kept shut by", summary.kept_shut_by),
    ):
        yield from _counts(title, counts)
    if summary.opened:
        yield "  in how many years of 100 most of the week was open"
        yield from week_rows([("", summary.weeks)], midsummer)


def opened_in(summary: WindowSummary) -> str:
    """`opened in 29 of 30 years, never in 1; not known in 1 more`."""
    if not summary.years:
        return f"not known in any of {summary.not_known} years"
    said = f"opened in {summary.opened} of {summary.years} years"
    said += f", never in {summary.never}" if summary.never else ""
    return said + (f"; not known in {summary.not_known} more" if summary.not_known else "")


def week_rows(rows: Sequence[tuple[str, Sequence[float]]], midsummer: Midsummer) -> Iterator[str]:
    """Shares of 100 for each labelled row, without the weeks in which all of them are 0."""
    count = max(len(shares) for _, shares in rows)
    full = [(name, (*shares, *[0.0] * (count - len(shares)))) for name, shares in rows]
    weeks = [week for week in range(count) if any(shares[week] > 0 for _, shares in full)]
    label = max(len(name) for name, _ in full) + 1
    for start in range(0, len(weeks), WEEKS_IN_A_ROW):
        part = weeks[start : start + WEEKS_IN_A_ROW]
        starts = "".join(f"{say_day(7 * week, midsummer):>8}" for week in part)
        yield f"  {'':{label}}{starts}"
        for name, shares in full:
            yield f"  {name:{label}}" + "".join(f"{100 * shares[week]:>8.0f}" for week in part)


def _spread(label: str, spread: Spread, midsummer: Midsummer | None) -> str:
    said = (f"{v:.0f}" if midsummer is None else say_day(v, midsummer) for v in spread)
    return f"  {label:{LABEL}}" + "".join(f"{text:>9}" for text in said)


def _counts(title: str, counts: Counts) -> Iterator[str]:
    if counts:
        yield f"  {title}"
    for condition, years in counts:
        first, *rest = wrap(condition, WIDTH - 9)
        yield f"  {years:>5}  {first}"
        yield from (f"{'':9}{line}" for line in rest)
