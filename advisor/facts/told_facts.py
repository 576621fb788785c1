"""Facts that were told: by the site file, the grass file, the law of the place, the journal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping

from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.facts.fact import Fact, FactDefinition, Value, Vocabulary
from advisor.records.entry import Entry
from advisor.records.journal import Journal
from advisor.records.record import Site

RYEGRASS = "perennial_ryegrass"


def site_facts(
    site: Site, traits: Mapping[str, str], on: dt.date, area: str | None = None
) -> dict[str, Fact]:
    """What is stated about an area (None: the whole lawn); traits are those of its grass."""
    age = None if site.sown_on is None else float((on - site.sown_on).days)
    country = site.place.country
    stated: dict[str, Value | None] = {
        "in_united_states": None if country is None else country == "US",
        "irrigated": site.water.irrigated,
        "can_water_seed": site.water.can_water_seed,
        "stand_age": age if age is None or age >= 0 else None,
        "sun": _sun(site, area),
        "ryegrass_share": _share(site, RYEGRASS, area),
        **traits,
    }
    return {
        name: Fact(name, value, "stated", None, "" if value is not None else "not in site.yaml")
        for name, value in stated.items()
    }


def _sun(site: Site, area: str | None) -> str | None:
    """How much sun an area gets; of the whole lawn only what all its areas have in common."""
    areas = [site.area(area)] if area else site.areas
    told = {part.sun for part in areas}
    return next(iter(told)) if len(told) == 1 else None


def _share(site: Site, grass: str, area: str | None) -> float | None:
    """The share of a grass in the stand: 0 if it is not named, None if its share is not."""
    stand = site.stand_of(area)
    shares = [part.share for part in stand if part.grass == grass]
    if not shares:
        return 0.0
    if len(stand) == 1:
        return 1.0
    return shares[0]


Day = tuple[int, int]
"""Month and day of the month."""

LONGEST_BAN_DAYS = 366


class LocalLaw(Record, frozen=True):
    """The rules on feeding that were read for a place.

    checked: whether any were. bans: first and last day of each period without feeding, both inside
    it. phosphorus: whether phosphorus is limited; None where no rule on it was read. left_out: the
    active ingredients that a rule bars, or may bar, on the day advised on. pesticides: whether it
    bars all but those of low risk; None where no such rule was read.
    """

    checked: bool = False
    bans: tuple[tuple[Day, Day], ...] = ()
    phosphorus: bool | None = None
    left_out: frozenset[str] = frozenset()
    pesticides: bool | None = None

    def bans_feeding(self, day: dt.date) -> bool:
        """Whether a ban forbids feeding on the day; what was not read bans nothing."""
        return any(_inside(day, ban) for ban in self.bans)


NOT_CHECKED = LocalLaw()
_NOTE = "the rules of this place were not checked"


def law_facts(law: LocalLaw, on: dt.date) -> Iterator[Fact]:
    """The facts of the law on a day. What was not read is unknown, never free."""
    note = "" if law.checked else _NOTE
    left = float(_days_left(law.bans, on)) if law.bans else None
    yield Fact("law_ban_left", left, "stated", None, note or "no dates of a ban were found")
    until = float(_days_to(law.bans, on)) if law.bans else None
    yield Fact("law_ban_in", until, "stated", None, note or "no dates of a ban were found")
    yield Fact("law_phosphorus", law.phosphorus, "stated", None, note)
    yield Fact("pesticides_barred", law.pesticides, "stated", None, "" if law.pesticides else _NOTE)


def barred_at_hand(at_hand: Fact, law: LocalLaw) -> Fact:
    """Whether the law leaves out the active ingredient at hand; unknown if that is."""
    value = None if at_hand.value is None else at_hand.value in law.left_out
    return Fact("preventer_barred", value, "recorded", at_hand.on)


def _days_left(bans: tuple[tuple[Day, Day], ...], on: dt.date) -> int:
    """Days from `on` to the first day on which feeding is allowed; 0 outside every ban."""
    day = on
    while (day - on).days < LONGEST_BAN_DAYS and any(_inside(day, ban) for ban in bans):
        day += ONE_DAY
    return (day - on).days


def _days_to(bans: tuple[tuple[Day, Day], ...], on: dt.date) -> int:
    """Days from `on` to the first day of the next ban; 0 inside one."""
    day = on
    while (day - on).days < LONGEST_BAN_DAYS and not any(_inside(day, ban) for ban in bans):
        day += ONE_DAY
    return (day - on).days


def _inside(day: dt.date, ban: tuple[Day, Day]) -> bool:
    first, last = ban
    at = (day.month, day.day)
    return first <= at <= last if first <= last else at >= first or at <= last


AGREE_MM = 6.0
"""Two thatch readings agree within this much (¼ in, chosen from memory of how plugs vary)."""


def record_facts(
    journal: Journal, vocabulary: Vocabulary, area: str | None, on: dt.date
) -> dict[str, Fact]:
    """One fact for every record fact of the vocabulary; unknown ones say why in their note.

    `journal` must be as of `on`. A reading is void when it is older than the fact allows, or was
    taken before work that changed what it measured.
    """
    found: dict[str, Fact] = {}
    for definition in (vocabulary[name] for name in vocabulary):
        if definition.varies != "record":
            continue
        family, _, operation = definition.name.partition(".")
        if family == "days_since":
            found[definition.name] = _days_since(definition, journal, operation, area, on)
        elif family == "wanted":
            found[definition.name] = _wish(definition, journal, operation, area, on)
        else:
            found[definition.name] = _reading(definition, journal, area, on)
    found["thatch_confirmed"] = _confirmed(vocabulary["thatch_depth"], journal, area, on)
    return found


def valid_readings(
    definition: FactDefinition, journal: Journal, area: str | None, on: dt.date
) -> Iterator[Entry]:
    """The readings of a fact that still count, oldest first."""
    changed = _last_change(definition.invalidated_by, journal, area)
    for entry in journal.observations(definition.name, area):
        stale = definition.stale_after is not None and _age(entry, on) > definition.stale_after
        if not stale and (changed is None or entry.date > changed):
            yield entry


def _reading(definition: FactDefinition, journal: Journal, area: str | None, on: dt.date) -> Fact:
    valid = tuple(valid_readings(definition, journal, area, on))
    if valid:
        return Fact(definition.name, _value(valid[-1]), "measured", valid[-1].date)
    last = journal.latest(definition.name, area)
    note = "no record"
    if last is not None:
        changed = _last_change(definition.invalidated_by, journal, area)
        voided = changed is not None and last.date <= changed
        why = "work since then has changed it" if voided else f"{_age(last, on)} days old"
        note = f"the last reading, {last.date}, no longer counts: {why}"
    return Fact(definition.name, None, "measured", None, note)


def _days_since(
    definition: FactDefinition, journal: Journal, operation: str, area: str | None, on: dt.date
) -> Fact:
    last = journal.last_done(operation, area)
    if last is None:
        return Fact(definition.name, None, "recorded", None, "never recorded")
    return Fact(definition.name, float(_age(last, on)), "recorded", last.date)


def _wish(
    definition: FactDefinition, journal: Journal, operation: str, area: str | None, on: dt.date
) -> Fact:
    stale = definition.stale_after
    since = on - dt.timedelta(days=stale) if stale is not None else None
    wish = journal.wishes(area, since).get(operation)
    if wish is None:
        return Fact(definition.name, None, "stated", None, "no wish recorded")
    return Fact(definition.name, bool(wish.value), "stated", wish.date)


def _confirmed(thatch: FactDefinition, journal: Journal, area: str | None, on: dt.date) -> Fact:
    """True when readings of two days agree. One reading, or two that differ, leave it unknown."""
    readings = tuple(valid_readings(thatch, journal, area, on))
    name = "thatch_confirmed"
    if not readings:
        return Fact(name, None, "measured", None, "no thatch reading yet")
    last = readings[-1]
    others = [r for r in readings if r.date != last.date]
    if any(abs(_number(r) - _number(last)) <= AGREE_MM for r in others):
        return Fact(name, True, "measured", last.date)
    note = "readings of different days differ" if others else "only one day's reading"
    return Fact(name, None, "measured", last.date, note)


def _last_change(operations: Iterable[str], journal: Journal, area: str | None) -> dt.date | None:
    done = (journal.last_done(operation, area) for operation in operations)
    return max((entry.date for entry in done if entry is not None), default=None)


def _age(entry: Entry, on: dt.date) -> int:
    return (on - entry.date).days


def _value(entry: Entry) -> Value | None:
    value = entry.value
    return float(value.toordinal()) if isinstance(value, dt.date) else value


def _number(entry: Entry) -> float:
    assert isinstance(entry.value, float)
    return entry.value
