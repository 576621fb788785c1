"""What is said to an answer, and what stands against a job."""

from __future__ import annotations

from typing import Literal

from advisor.base.record import Record
from advisor.rulebook.conditions import Condition
from advisor.rulebook.options import Options, Standing, with_options
from advisor.rulebook.wait import Strength

VerdictName = Literal["do", "wait", "hold", "not_needed", "missed", "ruled_out", "measure"]


class Conflict(Record, frozen=True):
    """Something that forbids the operation while `when` is true.

    wait: the declared wait that it follows from (`Wait.name`); empty for one of the file's own.
    """

    id: str
    when: Condition
    says: str
    strength: Strength
    evidence: tuple[str, ...] = ()
    grasses: frozenset[str] = frozenset()
    wait: str = ""


class Advice(Record, frozen=True):
    """A sentence added to an answer with one of `verdicts` while `when` is true.

    wait: as in `Conflict`. options: active ingredients to choose from, said after it. warns: those
    that it speaks against; where the law leaves none of them it is not said. hired: it sends the
    keeper to whoever may do it for hire.
    """

    id: str
    says: str
    verdicts: frozenset[VerdictName]
    when: Condition | None = None
    instead: str | None = None
    grasses: frozenset[str] = frozenset()
    evidence: tuple[str, ...] = ()
    wait: str = ""
    options: Options | None = None
    warns: frozenset[str] = frozenset()
    hired: bool = False

    def said(self, law: Standing) -> str:
        """What is said where the law is so; empty for nothing."""
        if (self.warns and self.warns <= law.left_out) or (self.hired and law.nobody_hired):
            return ""
        return with_options(self.says, self.options, law.left_out)
