"""The letter of a key, with all that keys of one weather cell have in common computed once."""

from __future__ import annotations

import datetime as dt
from functools import partial

from advisor.answers.sources import Line
from advisor.base.record import Record, replace
from advisor.cases.case import Case
from advisor.cases.parts import Part, candidates, parts_on
from advisor.decide.verdicts.decision_cache import KeptDay, KeptRules
from advisor.facts.axis import Axis, build_axis
from advisor.mailing.letters.attachments import Beside, beside_of
from advisor.mailing.letters.in_season import with_season
from advisor.mailing.letters.letter import NO_MAIL, Letter
from advisor.mailing.letters.letter_key import LetterKey
from advisor.mailing.letters.mail_words import for_mail
from advisor.mailing.letters.reader_case import case_of
from advisor.mailing.letters.said import earlier_in, said_of
from advisor.mailing.letters.size_template import Pattern
from advisor.mailing.mails.subject import subject_of
from advisor.mailing.readers.weather_places import CellWeather
from advisor.mailing.readers.wishes import Form, Weeks
from advisor.render.digest.edition import changes
from advisor.render.digest.leads import choose_jobs
from advisor.render.digest.render import digest_text, head_words, mail_html
from advisor.render.digest.tasks import effort_of
from advisor.render.digest.view import Digest, digest_of, fitted
from advisor.render.digest.week import Week, compose_week, resized
from advisor.rulebook.model import RuleBook

_SHORT_COMING = 2


class Editor(Record, frozen=True):
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
        self,
        weather: CellWeather,
        book: RuleBook,
        on: dt.date,
        today: dt.date,
        editor: Editor,
        rules: KeptRules | None = None,
    ) -> None:
        self.weather = weather
        self.book = book
        self.on = on
        self.today = today
        self.editor = editor
        self.kept = KeptDay(KeptRules(book) if rules is None else rules)
        self.axis: Axis | None = None
        """Made when it is first needed, or given: that of the same weather, place and day."""
        self._decided: LetterKey | None = None
        self._week: Week | None = None
        self._beside: Beside | None = None
        self._said = ""
        self._patterns: dict[tuple[Form, Weeks, str], Pattern] = {}
        self.distinct = 0
        """How many sets of decisions have been made."""

    def letter(self, key: LetterKey) -> Letter:
        """The digest of a key as text and HTML."""
        week = self.week_of(key)
        alike = key.form, key.weeks, key.said
        if alike not in self._patterns:
            self._patterns[alike] = self._pattern(week, *alike)
        jobs, _ = choose_jobs(week.do)
        efforts = [effort_of(resized(job, week.advice.case, key.area_m2)) for job in jobs]
        beside = self._beside if key.told_nothing else self._beside and self._beside.not_shown
        letter = self._patterns[alike].letter(efforts)
        return replace(letter, beside=beside, said="" if letter.is_none else self._said)

    def _pattern(self, week: Week, form: Form, weeks: Weeks, said: str) -> Pattern:
        digest = told(week, changes(earlier_in(said), week.answers, week.soil))
        return Pattern(digest, partial(self._letter, form, weeks))

    def _letter(self, form: Form, weeks: Weeks, fitting: Digest) -> Letter:
        """A fitted digest as a reader wishes to get it."""
        digest = replace(shortened(fitting), editor=self.editor.lines)
        if weeks == "needed" and not (worth_a_mail(digest) or self.editor.correction):
            return NO_MAIL
        page = mail_html(digest) if form == "both" else ""
        return Letter(subject_of(digest), digest_text(digest), page)

    def week_of(self, key: LetterKey) -> Week:
        """The week of a key, but for its size: told without amounts.

        The last one is kept for the keys that follow and differ in nothing else.
        """
        any_size = key.of_any_size
        if self._week is None or self._decided != any_size:
            # A key that fails must not leave the week of the one before to those after it.
            self._week, self._patterns = None, {}
            case = case_of(any_size, self.weather, self.book, self.on, self.today)
            week = compose_week(case, self._parts_of)
            self._beside = beside_of(any_size, week.advice, known=not candidates(case))
            self._said = said_of(week.answers)
            self._decided, self._week = any_size, week
            self.distinct += 1
        return self._week

    def _parts_of(self, case: Case, *, unknown_as: str | None = None) -> tuple[Part, ...]:
        if self.axis is None:
            # All keys of a cell lie at the cell's own position.
            latitude = case.site.place.latitude
            self.axis = build_axis(case.weather, case.normals, case.on, latitude)
        return parts_on(case, unknown_as=unknown_as, axis=self.axis, kept=self.kept)


def reader_digest(week: Week) -> Digest:
    """What a reader of a list is told of a week."""
    return shortened(fitted(told(week), head_words))


def told(week: Week, changed: tuple[str, ...] = ()) -> Digest:
    """All that a reader could be told of a week, however long. changed: since the last letter."""
    return for_mail(with_season(digest_of(week, changed), week))


def worth_a_mail(digest: Digest) -> bool:
    """Whether there is something to do: work that is no routine, a date to keep, an open season."""
    work = any(not task.routine for task in digest.tasks)
    return work or bool(digest.gates or digest.dated or digest.in_season)


def shortened(digest: Digest) -> Digest:
    """A short mail where there is nothing to do, to find out or to prepare this week."""
    seasons = digest.in_season or digest.dated or digest.held
    if digest.tasks or digest.finding or seasons:
        return digest
    return replace(digest, leave="", care=(), coming=digest.coming[:_SHORT_COMING])
