"""One row for each window and season year: when it opened and closed, and what made it."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Literal

from advisor.base.record import Record
from advisor.decide.windows.interval import Series, find_intervals
from advisor.facts.axis import Axis
from advisor.facts.weather_facts import WeatherFacts
from advisor.replay.deciders import Decisions
from advisor.replay.history import Past, past_windows
from advisor.rulebook.conditions import Leaf
from advisor.rulebook.model import Operation, Window

State = Literal["opened", "never", "not known"]

FIRST_DAY = "the first day that its rule allows"
LAST_DAY = "the last day that its rule allows"
NEVER_HELD = "its opening conditions, never long enough together"


class SeasonRow(Record, frozen=True):
    """opens, last: first and last open day as days after midsummer (0 is midsummer), counted as in
    a year without 29 February; None unless it opened. days: how many days it was open.
    opened_by, ended_by: the comparisons that came last, in words; more than one if they came on the
    same day. kept_shut_by: those of a season in which it never opened.
    """

    operation: str
    window: str
    season: int
    state: State
    opens: int | None = None
    last: int | None = None
    days: int = 0
    opened_by: tuple[str, ...] = ()
    ended_by: tuple[str, ...] = ()
    kept_shut_by: tuple[str, ...] = ()


def season_rows(
    operations: Iterable[Operation],
    facts: WeatherFacts,
    site: Mapping[str, Series | None],
    say: Callable[[Leaf], str],
) -> Iterator[SeasonRow]:
    """Every window of the operations, resolved for their grass, in every season of a record.

    facts: on the record's axis. site: values of facts that vary with the site. say: a comparison
    in words.
    """
    decisions = Decisions(facts, site)
    for operation in operations:
        for window in operation.windows:
            for past in past_windows(window, facts, site):
                yield _row(operation.id, window, past, facts.axis, decisions, say)


def _row(
    operation: str,
    window: Window,
    past: Past,
    axis: Axis,
    decisions: Decisions,
    say: Callable[[Leaf], str],
) -> SeasonRow:
    def said(leaves: Iterable[Leaf]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(map(say, leaves)))

    season = past.season.year
    if not past.known:
        return SeasonRow(operation, window.id, season, "not known")
    if not past.opened:
        shut = _kept_shut_by(window, past, decisions, said)
        return SeasonRow(operation, window.id, season, "never", kept_shut_by=shut)
    return SeasonRow(
        operation,
        window.id,
        season,
        "opened",
        opens=_after_midsummer(past, axis, past.opens),
        last=_after_midsummer(past, axis, past.closes - 1),
        days=past.closes - past.opens,
        opened_by=_opened_by(window, past, decisions, said),
        ended_by=_ended_by(window, past, decisions, said),
    )


Said = Callable[[Iterable[Leaf]], tuple[str, ...]]


def _opened_by(window: Window, past: Past, decisions: Decisions, said: Said) -> tuple[str, ...]:
    if decisions.since(window.opens, past.opens) < past.first:
        return (FIRST_DAY,)
    return said(decisions.deciders(window.opens, past.opens))


def _ended_by(window: Window, past: Past, decisions: Decisions, said: Said) -> tuple[str, ...]:
    if window.closes is None or past.closes == past.last:
        return (LAST_DAY,)
    return said(decisions.deciders(window.closes, past.closes))


def _kept_shut_by(window: Window, past: Past, decisions: Decisions, said: Said) -> tuple[str, ...]:
    """What closed it on the day on which it would have opened; or that it would not have."""
    opens = decisions.truth(window.opens)[None, :]
    found = find_intervals(opens, None, past.first, past.last, window.held)
    day = int(found.opens[0])
    if day < 0 or window.closes is None:
        return (NEVER_HELD,)
    return said(decisions.deciders(window.closes, day))


def _after_midsummer(past: Past, axis: Axis, day: int) -> int:
    """Days from midsummer, as if there were no 29 February in between."""
    start, date = axis.date(past.season.midsummer), axis.date(day)
    leap_days = (
        dt.date(year, 2, 29) for year in range(start.year, date.year + 1) if calendar.isleap(year)
    )
    return (date - start).days - sum(start < leap_day <= date for leap_day in leap_days)
