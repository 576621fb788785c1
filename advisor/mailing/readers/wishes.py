"""What a reader wishes of the mailing: units, text alone, and mail only in weeks with work."""

from __future__ import annotations

from typing import Any, Literal, cast, get_args

from advisor.base.record import Record, asdict
from advisor.base.units import System

Form = Literal["both", "text"]
Weeks = Literal["all", "needed"]


class Wishes(Record, frozen=True):
    """None where the reader has not said. form: of the mail, text and HTML or text alone.

    weeks: all, or only those in which there is something to do.
    """

    units: System | None = None
    form: Form | None = None
    weeks: Weeks | None = None

    def over(self, known: Wishes) -> Wishes:
        """These, and where nothing is said the wishes known before."""
        return Wishes(**{**known.told(), **self.told()})

    def told(self) -> dict[str, Any]:
        """What was said, as plain data."""
        return {name: v for name, v in asdict(self).items() if v is not None}


def form_of(text: str) -> Form:
    """Raises `ValueError` with what is wanted."""
    if text.lower() not in get_args(Form):
        raise ValueError("is no form of a mail; wanted both or text")
    return cast(Form, text.lower())


def weeks_of(text: str) -> Weeks:
    """Raises `ValueError` with what is wanted."""
    if text.lower() not in get_args(Weeks):
        raise ValueError("is no choice of weeks; wanted all or needed")
    return cast(Weeks, text.lower())
