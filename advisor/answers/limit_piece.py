"""A limit's sentence in its parts, and from where it is read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable

from advisor.answers.limit_days import LimitDays
from advisor.answers.limit_hours import LimitHours
from advisor.answers.limit_words import KINDS, NEGATED
from advisor.base.record import Record
from advisor.records.limits import Limits


class Unclear(Exception):
    """A limit that lacks something, or says too much: a clause that goes on from `but`."""


class Asked(Record, frozen=True):
    """From where a limit is read. limits: those that stand. money: code of the keeper's money.
    hired: the machines that the keeper hires. back: for a key, the command that takes back its last
    record, as the end of a sentence. earliest: when work can begin on a day, minutes after
    midnight; hours of which only the length is told begin then.
    """

    on: dt.date
    latitude: float
    limits: Limits
    money: str
    hired: frozenset[str]
    back: Callable[[str], str]
    earliest: Callable[[dt.date], int]


class Piece(Record, frozen=True):
    """A sentence in its parts. words: those left. sums: of money, with their currency's word."""

    words: tuple[str, ...]
    days: LimitDays
    hours: LimitHours
    machines: tuple[str, ...]
    sums: tuple[tuple[str, str], ...]

    def says(self, some: Iterable[str]) -> bool:
        return not frozenset(self.words).isdisjoint(some)

    @property
    def no(self) -> bool:
        return self.says(NEGATED)

    @property
    def dated(self) -> bool:
        return bool(self.days.every or self.days.spans)


def such(kind: str) -> str:
    """What to write instead."""
    return f"write such as {KINDS[kind].such}"
