"""What the law of the place makes of a day: days left of a ban on feeding, and its limits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.facts.fact import Fact

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
