"""The events of a calendar: the seasons of the work that is taken up, and the days settled on."""

from __future__ import annotations

import datetime as dt
import uuid

from advisor.advice.book import Advice
from advisor.advice.dates import coming
from advisor.advice.gates import gate_rules
from advisor.advice.item import Item
from advisor.answers.words import listed, sentence
from advisor.base.dates import ONE_DAY, say_date
from advisor.base.record import Record
from advisor.decide.windows.tracks import Opening
from advisor.render.yearly.rows import basis_words, span
from advisor.render.yearly.year import ROUGH_UNDER

LONGEST_DAYS = 120
"""A longer season is told on its first day only: nobody keeps a bar of months in a calendar."""
REMIND_DAYS = 7
"""Before a cautious last good day."""
_NAMESPACE = uuid.UUID("6f1c2a52-7f0a-5d52-9d0e-6a1f0b8a4c11")
"""Ours, drawn once; it only has to stay the same."""


class Event(Record, frozen=True):
    """An event of whole days, or of hours (clock) on its first day.

    end: the day after its last one. by: the day that a reminder warns of, `ahead` days before it;
    None where there is none. first: what has to be seen to before the work; it stands before the
    text, and when it changes the calendar says so at once. clock: minutes after midnight; zone: the
    IANA time zone that they are of, empty where it is not known.

    uid depends on the lawn, the work and the season year, never on dates, areas or the run.
    """

    uid: str
    start: dt.date
    end: dt.date
    by: dt.date | None
    summary: str
    text: str
    first: str = ""
    clock: tuple[int, int] | None = None
    zone: str = ""
    ahead: int = REMIND_DAYS

    @property
    def description(self) -> str:
        """All that is said of it, what comes first before the rest."""
        return "\n".join(filter(None, (self.first, self.text)))


def uid_of(name: str) -> str:
    """The uid of the event of a name."""
    return str(uuid.uuid5(_NAMESPACE, name))


def season_events(advice: Advice, lawn_name: str) -> tuple[Event, ...]:
    """The seasons to come or open of work that is taken up and that nothing holds back.

    Parts of the lawn share an event: it runs from the first opening to the cautious last good day,
    the earliest of theirs, which every other view names. What is settled on stands in the calendar
    as a day of work instead.
    """
    shared: dict[tuple[str, str, int], list[tuple[Item, Opening]]] = {}
    for item in advice.taken_up():
        opening = opening_of(item)
        if opening is not None and item.appointed is None and not item.decision.conflicts:
            key = (item.operation.id, opening.window.id, opening.season)
            shared.setdefault(key, []).append((item, opening))
    return tuple(_event(_surest(seasons), advice, lawn_name) for seasons in shared.values())


def _surest(seasons: list[tuple[Item, Opening]]) -> list[tuple[Item, Opening]]:
    """The parts of which it is known that they need it, or all where that is known of none."""
    return [each for each in seasons if each[0].sure] or seasons


def opening_of(item: Item) -> Opening | None:
    """The season that the verdict speaks of, or the next of the same work after a missed one."""
    if item.verdict == "missed":
        return coming(item.decision)
    return item.decision.outlook.current


def _event(seasons: list[tuple[Item, Opening]], advice: Advice, lawn_name: str) -> Event:
    operation, window = seasons[0][0].operation, seasons[0][1].window
    areas = listed(tuple(item.part.label for item, _ in seasons if item.part.label))
    title = operation.title + (f" ({areas})" if len(seasons) < len(advice.parts) else "")
    if not any(item.sure for item, _ in seasons):
        title += ", if it is needed"
    start = min(opening.opens.p50 for _, opening in seasons)
    last = max(min(_last_day(item, opening) for item, opening in seasons), start)
    by: dt.date | None = last
    if (last - start).days >= LONGEST_DAYS:
        summary, end, by = f"{title}: season begins", start + ONE_DAY, None
    else:
        summary, end = f"{title}: in season", last + ONE_DAY
    return Event(
        uid=uid_of(f"{lawn_name}/{operation.id}/{window.id}/{seasons[0][1].season}"),
        start=start,
        end=end,
        by=by,
        summary=summary,
        text=_text(seasons, advice),
        first="\n".join(_waits_for(seasons[0][0], advice)),
    )


def _last_day(item: Item, opening: Opening) -> dt.date:
    """The item's deadline, or that of a season which is not open yet."""
    if item.date is not None and item.date.kind == "deadline":
        return item.date.day
    return opening.closes.p10


def _text(seasons: list[tuple[Item, Opening]], advice: Advice) -> str:
    """When, how sure, what hurts: complete without the rest of the program."""
    book, (first, opening) = advice.case.book, seasons[0]
    said = [f"As of {say_date(advice.on)} {advice.on.year}, {opening.window.title}."]
    by_dates: dict[str, list[str]] = {}
    for item, each in seasons:
        by_dates.setdefault(_dates(each, advice), []).append(item.part.label)
    for dates, areas in by_dates.items():
        where = listed(tuple(area for area in areas if area))
        said.append(f"{where}: {dates}" if where and len(by_dates) > 1 else dates)
    unknown: dict[str, None] = {}
    for item, _ in seasons:
        open_facts = [n for n in item.decision.outcomes if item.decision.values.get(n) is None]
        if item.need is None and open_facts:
            unknown[book.vocabulary[open_facts[0]].title] = None
    if unknown:
        said.append(f"First find out: {listed(tuple(unknown))}.")
    cautions = [book.cautions[id].short for id in first.operation.safety]
    if cautions:
        said.append(f"Mind: {' '.join(cautions)}")
    said.append("Labels and local codes stand above this.")
    if week := advice.case.command("week"):
        said.append(f"'{week}' says what to do now.")
    return "\n".join(sentence(line) for line in said)


def _waits_for(item: Item, advice: Advice) -> list[str]:
    """Before anything else: what work that breaks the soil waits for, whatever the day."""
    place, said = advice.case.site.place, []
    for rule in gate_rules(item.operation, advice.case.book):
        days = rule.days_ahead(place.country, place.subdivision)
        ahead = f" ({days} {'working ' if rule.working_days else ''}days ahead)" if days else ""
        said.append(f"Only after: {rule.title}. First {rule.asked(place.country)}{ahead}.")
    return said


def _dates(opening: Opening, advice: Advice) -> str:
    opens, closes, years = opening.opens, opening.closes, opening.years
    said = f"opens about {say_date(opens.p50)}, closes about {say_date(closes.p50)}"
    if years > 1:
        said += f". In 8 years of 10 it opens {span(opens)} and closes {span(closes)}"
    if years + opening.never < ROUGH_UNDER:
        said += f". Rough: from {basis_words(advice, years)} "
    return said
