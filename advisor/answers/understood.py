"""What comes of reading a question: a request that can be answered, or a refusal with samples."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from advisor.answers.question_intent import Intent
from advisor.base.record import Record

_SAMPLES = (
    "Does my lawn need {}?",
    "When is the best time for {}?",
    "Is it too late for {}?",
    "Should I plan {} for next month?",
    "What happens if I skip {}?",
)
_WEEK_SAMPLE = "What should I do this week?"


class Understood(Record, frozen=True):
    """A question as the adviser reads it.

    `operation` is None only for the intent `week`. `date` is the day asked about, or the first of
    a range that ends on `until`; None means the day of asking. `also` are other operations named,
    in order; `read_as` are pairs of a misspelt word and the word it was taken for.
    """

    question: str
    operation: str | None
    intent: Intent
    date: dt.date | None = None
    until: dt.date | None = None
    also: tuple[str, ...] = ()
    grasses: tuple[str, ...] = ()
    read_as: tuple[tuple[str, str], ...] = ()


class NotUnderstood(Record, frozen=True):
    """Why a question cannot be placed, and questions that can."""

    question: str
    why: str
    samples: tuple[str, ...]

    @property
    def says(self) -> str:
        """What is wrong, and what can be asked, in one line."""
        return f"{self.why}; you can ask: {' · '.join(self.samples)}"


def samples(operations: Iterable[str]) -> tuple[str, ...]:
    """One question for each operation id, and the one for the week."""
    asked = (
        _SAMPLES[n % len(_SAMPLES)].format(id.replace("_", " ")) for n, id in enumerate(operations)
    )
    return (*asked, _WEEK_SAMPLE)
