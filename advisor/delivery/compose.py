"""The digest of a case, with all that cases of one weather cell have in common computed once."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from functools import partial

from advisor.answers.lawn import Lawn, Part, parts_on
from advisor.delivery.case import Case, lawn_of
from advisor.delivery.letter import Letter
from advisor.delivery.mail_words import for_mail
from advisor.delivery.weather_places import CellWeather
from advisor.digest.edition import compose_edition
from advisor.digest.render import digest_html, digest_text
from advisor.digest.view import Digest, Line
from advisor.facts.axis import Axis, build_axis
from advisor.rulebook.model import RuleBook

_SHORT_COMING = 2


@dataclass(frozen=True)
class Editor:
    """What the editor of a list says in an edition; empty where there is nothing to say."""

    note: str = ""
    question: str = ""
    correction: str = ""

    @property
    def lines(self) -> tuple[Line, ...]:
        said = (
            ("From the editor", self.note),
            ("Put right from last week", self.correction),
            ("A reader's question", self.question),
        )
        return tuple(Line(title, text) for title, text in said if text)


class Composer:
    """Composes the digests of one weather cell on one day.

    The days of the axis are laid out once, and each set of decisions is made once for all readers
    who differ only in the size of their lawn.
    """

    def __init__(
        self, weather: CellWeather, book: RuleBook, on: dt.date, today: dt.date, editor: Editor
    ) -> None:
        self.weather = weather
        self.book = book
        self.on = on
        self.today = today
        self.editor = editor
        self._axes: dict[float, Axis | None] = {}
        self._decided: Case | None = None
        self._parts: dict[str | None, tuple[Part, ...]] = {}
        self.distinct = 0
        """How many sets of decisions have been made."""

    def letter(self, case: Case) -> Letter:
        """The digest of a case as text and HTML."""
        lawn = lawn_of(case, self.weather, self.book, self.today)
        edition = compose_edition(lawn, self.on, partial(self._parts_of, case))
        digest = shortened(for_mail(edition.digest))
        digest = replace(digest, editor=self.editor.lines)
        subject = f"{digest.lead.rstrip('.')} ({digest.site})"
        return Letter(subject, digest_text(digest), digest_html(digest))

    def _parts_of(
        self, case: Case, lawn: Lawn, on: dt.date, *, unknown_as: str | None = None
    ) -> tuple[Part, ...]:
        # Only the last set is kept: cases come in order, and a set takes some memory.
        if self._decided != case.of_any_size:
            self._decided, self._parts = case.of_any_size, {}
        if unknown_as not in self._parts:
            self.distinct += 1
            latitude = case.latitude
            if latitude not in self._axes:
                self._axes[latitude] = build_axis(lawn.weather, lawn.normals, on, latitude)
            found = parts_on(lawn, on, unknown_as=unknown_as, axis=self._axes[latitude])
            self._parts[unknown_as] = found
        return tuple(replace(part, size_m2=case.area_m2) for part in self._parts[unknown_as])


def shortened(digest: Digest) -> Digest:
    """A short mail where there is nothing to do, to find out or to prepare this week."""
    if digest.tasks or digest.finding or digest.dated or digest.held:
        return digest
    return replace(digest, leave="", cautions=(), sources=(), coming=digest.coming[:_SHORT_COMING])
