"""A wait: time that must pass after some jobs before others may be done."""

from __future__ import annotations

from typing import Literal

from advisor.base.problems import Place
from advisor.base.record import Record
from advisor.rulebook.options import Options

Strength = Literal["law", "label", "caution"]


class Wait(Record, frozen=True):
    """Declared once, in the file of a job at one of its ends.

    declared: that job. days: None where the wait goes by the active ingredient of the weed
    preventer. says: why, as told to whoever asks for a blocked job. ahead: the same, told to
    whoever asks for the first job while a blocked one is planned within the wait; empty: the first
    job need not give way. rather: the first job gives way only to a later one that is wished for;
    told to whoever asks for one that is not, while the first is planned. choice: what either way
    costs. options: ingredients to choose from, said after it. grasses: those on which the later
    jobs have to wait; empty: all of them.
    """

    id: str
    declared: str
    after: tuple[str, ...]
    blocks: tuple[str, ...]
    days: float | None
    strength: Strength
    says: str
    ahead: str
    rather: str
    choice: str
    range: str
    evidence: tuple[str, ...]
    grasses: frozenset[str] = frozenset()
    place: Place | None = None
    options: Options | None = None

    @property
    def name(self) -> str:
        """What tells it from the waits of other files."""
        return f"{self.declared}.{self.id}"
