"""Free days and what fits into them, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from typing import TypeVar

from advisor.answers.sources import weather_line
from advisor.answers.words import TENTHS, in_ten, listed, sentence
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.base.text import uncapped
from advisor.base.units import show
from advisor.planning.fit_days import HOT_DAY_C
from advisor.planning.plan_words import gate_lines
from advisor.planning.programme_words import standing_lines
from advisor.planning.rehearsal import Year
from advisor.planning.shut_days import shut_says
from advisor.planning.weekends import Choice, Fit, Weekends
from advisor.planning.whole import piece_name
from advisor.render.digest.render import render

T = TypeVar("T")
MOST_SHOWN = 6
"""Further choices are worse ones."""
_IF_NEEDED = "If your lawn needs it, also"


class ChoiceLines(Record, frozen=True):
    """One run of free days: its heading, what fits it, how the whole of the work goes there, and
    how fit its days are."""

    heading: str
    fits: str
    whole: str
    days: str


def weekends_text(found: Weekends) -> str:
    """The choices, best first, then each job with its best days."""
    shown = [c for c in found.ranked if c.fits][:MOST_SHOWN]
    return render(
        "weekends.txt",
        site=found.case.site.name,
        period=f"{say_date(found.first)} {found.first.year} to {say_date(found.last)} "
        f"{found.last.year}",
        best=_best(found),
        shut=_shut(found),
        piece=_piece(found),
        steps_lines=standing_lines(
            found.programmes, found.advice, frozenset(item.key for item in found.whole)
        ),
        week=found.case.command("week"),
        gate_lines=gate_lines(found.gates, found.case),
        choices=[choice_lines(choice, found) for choice in shown],
        jobs=[sentence(line) for line in _jobs(found)],
        instead=[sentence(f"{work}: {says}") for work, says in found.instead],
        hot=show(HOT_DAY_C, "°C", found.case.site.unit_system),
        weather=weather_line(found.case),
        law=found.law,
    )


def _best(found: Weekends) -> str:
    """The one sentence."""
    if not found.wanted:
        return "No work is needed that waits for free days."
    if not found.choices:
        return "No day is free in this time."
    best = next((c for c in found.ranked if c.fits), None)
    if best is None:
        return "None of the work that is needed comes into season on a free day in this time."
    likely = [f for f in best.fits if f.chance >= 0.5]
    when = f"{_span(best, found.on)}, the {best.run.name}"
    if not likely:
        return f"The best free days are {when}, but the odds of every job are under even."
    needed, open_ones = _by_need(likely)
    if not needed:
        return f"The best free days are {when}. {_IF_NEEDED} {listed(open_ones)}."
    more = f" {_IF_NEEDED} {listed(open_ones)}." if open_ones else ""
    return f"The best free days are {when}: {listed(needed)}.{more}"


def _shut(found: Weekends) -> str:
    """The days that the keeper's limits take away."""
    said = shut_says(found.case, found.first, found.last)
    return sentence(f"not free by your limits: {said}") if said else ""


def _piece(found: Weekends) -> str:
    """`The renovation is one piece of work, in this order: low mowing, overseeding (front).`"""
    jobs: dict[str, list[str]] = {}
    for item in found.whole:
        jobs.setdefault(uncapped(item.operation.title), []).append(item.part.label)
    all_parts = {tuple(parts) for parts in jobs.values()}
    where = {title: listed(tuple(filter(None, parts))) for title, parts in jobs.items()}
    if len(all_parts) == 1:
        shared = next(iter(where.values()))
        said = f"{', '.join(jobs)}{f' ({shared})' if shared else ''}"
    else:
        said = ", ".join(f"{title} ({at})" if at else title for title, at in where.items())
    if not jobs:
        return ""
    titles = {standing.programme.title for standing in found.programmes}
    whole = uncapped(titles.pop()) if len(titles) == 1 else "whole"
    return f"The {whole} is one piece of work, in this order: {said}."


def _by_need(fits: Iterable[Fit]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The titles of work that is needed, and of what may be."""
    fits = tuple(fits)
    needed = tuple(dict.fromkeys(uncapped(f.title) for f in fits if f.needed))
    rest = dict.fromkeys(uncapped(f.title) for f in fits)
    return needed, tuple(title for title in rest if title not in needed)


def choice_lines(choice: Choice, found: Weekends) -> ChoiceLines:
    """What is told of one run of free days."""
    needed, open_ones = (_chances(choice, titles, found) for titles in _by_need(choice.fits))
    said = sentence(needed)
    if open_ones:
        said = f"{said} {_IF_NEEDED} {open_ones}.".strip()
    count = len(choice.run.days)
    days = f"{count} free day{'s' if count > 1 else ''}"
    if choice.run.bridges:
        days += f" with {listed(tuple(f'{b:%A}' for b in choice.run.bridges))} taken off"
    share = round(choice.workable * TENTHS)
    days += f"; {share} days in 10 are dry and mild enough to work"
    name = choice.run.name
    heading = f"{name[0].upper()}{name[1:]}, {_span(choice, found.on)}"
    whole = _whole(choice, found)
    return ChoiceLines(heading, said or "Hardly ever in season.", whole, f"{days}.")


def _whole(choice: Choice, found: Weekends) -> str:
    """`The whole goes through in 21 of 29 years, in 5 by the free days after; 3 are lost.`

    Of the best also how the worst year went.
    """
    rehearsed = choice.rehearsal
    if rehearsed is None or not rehearsed.count("through"):
        return ""
    through, by_rain, lost = (rehearsed.count(end) for end in ("through", "by_rain", "lost"))
    said = f"the whole goes through in {through} of {len(rehearsed.years)} years"
    said += f", in {by_rain} by the free days after" if by_rain else ""
    said += f"; {lost} {'is' if lost == 1 else 'are'} lost" if lost else ""
    if choice.rank > 1:
        return sentence(said)
    return f"{sentence(said)} {_worst(rehearsed.worst, found)}"


def _worst(year: Year, found: Weekends) -> str:
    """`The worst, 2002: low mowing and thatch removal on Monday 7 Sep; no overseeding.`"""
    by_day: dict[dt.date | None, list[str]] = {}
    for item in found.whole:
        title = uncapped(item.operation.title)
        titles = by_day.setdefault(year.days[piece_name(item)], [])
        if title not in titles:
            titles.append(title)
    said = [
        f"{listed(tuple(titles))} on {day:%A} {say_date(day, relative_to=found.on)}"
        for day, titles in by_day.items()
        if day is not None
    ]
    if None in by_day:
        said.append(f"no {listed(tuple(by_day[None]), 'or')}")
    return sentence(f"the worst, with the weather of {year.year}: {'; '.join(said)}")


def _chances(choice: Choice, titles: Iterable[str], found: Weekends) -> str:
    """`Core aeration and feeding: 9 years in 10; lime: 2 years in 10`, the likeliest first.

    Areas of which it is not equally likely are named.
    """
    by_chance: dict[int, list[str]] = {}
    for title in titles:
        id = next(f.operation for f in choice.fits if uncapped(f.title) == title)
        of_area = {a: round(choice.fit(id, a) * TENTHS) for a in found.areas[id]}
        for tenths, where in _alike(of_area):
            by_chance.setdefault(tenths, []).append(title + where)
    said = (
        f"{listed(tuple(named))}: {in_ten(tenths)}"
        for tenths, named in sorted(by_chance.items(), reverse=True)
        if tenths
    )
    return "; ".join(said)


def _jobs(found: Weekends) -> Iterator[str]:
    """For each job its best days; where no long weekend falls into its season, that is said."""
    for id, title in found.wanted:
        of_area = {area: _best_days(found, id, area) for area in found.areas[id]}
        for says, where in _alike(of_area):
            yield f"{title}{where}: {says}"


def _best_days(found: Weekends, id: str, area: str) -> str:
    best = found.best_for(id, area)
    if best is None:
        return "no free days of this time give even odds"
    says = f"{_span(best, found.on)} ({in_ten(round(best.fit(id, area) * TENTHS))})"
    if not best.run.is_long and found.best_for(id, area, long=True) is None:
        says += "; no long weekend falls into its season"
    return says


def _alike(of_area: Mapping[str, T]) -> Iterator[tuple[T, str]]:
    """What holds of areas, with their names: ` (front)`; of all alike without."""
    areas: dict[T, list[str]] = {}
    for area, said in of_area.items():
        areas.setdefault(said, []).append(area)
    for said, names in areas.items():
        yield said, f" ({listed(tuple(names))})" if len(areas) > 1 else ""


def _span(choice: Choice, on: dt.date) -> str:
    """`Saturday 5 to Monday 7 Sep`."""
    first, last = choice.run.first, choice.run.last
    end = f"{last:%A} {say_date(last, relative_to=on)}"
    if first == last:
        return end
    month = "" if first.month == last.month else f" {first:%b}"
    return f"{first:%A} {first.day}{month} to {end}"
