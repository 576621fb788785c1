"""Free days and what fits into them, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.answers.sources import weather_line
from advisor.answers.words import TENTHS, in_ten, listed, sentence
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.planning.plan_words import gate_lines
from advisor.planning.weekends import Choice, Fit, Weekends
from advisor.render.digest.render import render

MOST_SHOWN = 6
"""Further choices are worse ones."""
_IF_NEEDED = "If your lawn needs it, also"


class ChoiceLines(Record, frozen=True):
    """One run of free days: its heading, what fits it, and how fit its days are."""

    heading: str
    fits: str
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
        week=found.case.command("week"),
        gate_lines=gate_lines(found.gates, found.case),
        choices=[_lines(choice, found.on) for choice in shown],
        jobs=[sentence(line) for line in _jobs(found)],
        instead=[sentence(f"{work}: {says}") for work, says in found.instead],
        weather=weather_line(found.case),
        law=found.law,
    )


def _best(found: Weekends) -> str:
    """The one sentence."""
    if not found.wanted:
        return "No work is needed that waits for free days."
    best = next((c for c in found.ranked if c.fits), None)
    if best is None:
        return "None of the work that is needed comes into season in this time."
    likely = [f for f in best.fits if f.chance >= 0.5]
    when = f"{_span(best, found.on)}, the {best.run.name}"
    if not likely:
        return f"The best free days are {when}, but the odds of every job are under even."
    needed, open_ones = _by_need(likely)
    if not needed:
        return f"The best free days are {when}. {_IF_NEEDED} {listed(open_ones)}."
    more = f" {_IF_NEEDED} {listed(open_ones)}." if open_ones else ""
    return f"The best free days are {when}: {listed(needed)}.{more}"


def _by_need(fits: Iterable[Fit]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The titles of work that is needed, and of what may be."""
    fits = tuple(fits)
    needed = tuple(dict.fromkeys(_title(f.title) for f in fits if f.needed))
    rest = dict.fromkeys(_title(f.title) for f in fits)
    return needed, tuple(title for title in rest if title not in needed)


def _lines(choice: Choice, on: dt.date) -> ChoiceLines:
    needed, open_ones = (_chances(choice.fits, titles) for titles in _by_need(choice.fits))
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
    heading = f"{name[0].upper()}{name[1:]}, {_span(choice, on)}"
    return ChoiceLines(heading, said or "Hardly ever in season.", f"{days}.")


def _chances(fits: Iterable[Fit], titles: Iterable[str]) -> str:
    """`Core aeration and feeding: 9 years in 10; lime: 2 years in 10`, the likeliest first."""
    by_chance: dict[int, list[str]] = {}
    for title in titles:
        # An operation on several areas counts as likely as on the least likely of them.
        chance = min(f.chance for f in fits if _title(f.title) == title)
        by_chance.setdefault(round(chance * TENTHS), []).append(title)
    said = (
        f"{listed(tuple(named))}: {in_ten(tenths)}"
        for tenths, named in sorted(by_chance.items(), reverse=True)
        if tenths
    )
    return "; ".join(said)


def _jobs(found: Weekends) -> Iterator[str]:
    """For each job its best days; where no long weekend falls into its season, that is said."""
    for id, title in found.wanted:
        best = found.best_for(id)
        if best is None:
            yield f"{title}: no free days of this time give even odds"
            continue
        chance = in_ten(round(best.fit(id) * TENTHS))
        line = f"{title}: {_span(best, found.on)} ({chance})"
        if not best.run.is_long and found.best_for(id, long=True) is None:
            line += "; no long weekend falls into its season"
        yield line


def _span(choice: Choice, on: dt.date) -> str:
    """`Saturday 5 to Monday 7 Sep`."""
    first, last = choice.run.first, choice.run.last
    end = f"{last:%A} {say_date(last, relative_to=on)}"
    if first == last:
        return end
    month = "" if first.month == last.month else f" {first:%b}"
    return f"{first:%A} {first.day}{month} to {end}"


def _title(title: str) -> str:
    return title[0].lower() + title[1:]
