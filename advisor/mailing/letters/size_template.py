"""A digest with places left open for what depends on the size of the lawn.

Readers with one set of decisions differ in their amounts alone. So the digest is rendered once with
a mark where each task's effort stands, and the marks are filled in for each reader. Where a mark
does not come out as one line of text and one word of HTML, the digest is rendered in full.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from advisor.base.record import Record, replace
from advisor.mailing.letters.letter import NO_MAIL, Letter
from advisor.render.digest.render import LINE, escaped, fold, head_words
from advisor.render.digest.view import HEAD_WORDS, Digest, fitted, reductions

_INDENT = "    "
_OPEN, _CLOSE, _FIRST = "\ue000", "\ue001", 0xE100


class Pattern:
    """All digests that differ in nothing but the efforts of their tasks.

    digest: before it is fitted, its tasks without efforts. render: makes a letter of a fitted one.
    """

    def __init__(self, digest: Digest, render: Callable[[Digest], Letter]) -> None:
        self._digest = digest
        self._render = render
        self._stages: dict[tuple[bool, ...], _Stages] = {}

    def letter(self, efforts: Sequence[str]) -> Letter:
        """The digest with these efforts, one for each task; an empty one is not told."""
        shape = tuple(map(bool, efforts))
        if shape not in self._stages:
            marks = [_mark(i) if told else "" for i, told in enumerate(shape)]
            self._stages[shape] = _Stages(_with_efforts(self._digest, marks), self._render)
        folded = [fold(effort, _INDENT) for effort in efforts]
        found = self._stages[shape].fitting(folded)
        if not found.sound:
            return self._render(fitted(_with_efforts(self._digest, efforts), head_words))
        return found.filled(efforts, folded)


class _Stages:
    """The marked digest with no, one, two … reductions, each rendered when it is first needed."""

    def __init__(self, marked: Digest, render: Callable[[Digest], Letter]) -> None:
        self._render = render
        self._rest: Iterator[Digest] = reductions(marked)
        self._known: list[tuple[Digest, int]] = []
        self._open: dict[int, _Open] = {}

    def fitting(self, folded: Sequence[str]) -> _Open:
        """The first stage whose head is short enough with these efforts, or else the last one."""
        stage = 0
        while self._words(stage, folded) > HEAD_WORDS and self._reach(stage + 1):
            stage += 1
        if stage not in self._open:
            digest, _ = self._known[stage]
            self._open[stage] = _opened(digest, self._render(digest))
        return self._open[stage]

    def _reach(self, stage: int) -> bool:
        while len(self._known) <= stage:
            digest = next(self._rest, None)
            if digest is None:
                return False
            self._known.append((digest, head_words(digest)))
        return True

    def _words(self, stage: int, folded: Sequence[str]) -> int:
        """Words of the head, in which each mark is one word."""
        self._reach(stage)
        digest, words = self._known[stage]
        return words + sum(len(folded[at].split()) - 1 for at in _marks_of(digest))


class _Open(Record, frozen=True):
    """A rendered digest with its marks. sound: each mark can be filled in by itself."""

    letter: Letter
    marks: tuple[int, ...]
    sound: bool

    def filled(self, efforts: Sequence[str], folded: Sequence[str]) -> Letter:
        """The letter with these efforts."""
        text, html = self.letter.text, self.letter.html
        for at in self.marks:
            text = text.replace(f"{_INDENT}{_mark(at)}", folded[at])
            html = html.replace(_mark(at), escaped(efforts[at]))
        return Letter(self.letter.subject, text, html)


def _opened(digest: Digest, letter: Letter) -> _Open:
    head = letter.text.split(LINE)[0]
    marks = _marks_of(digest) if letter != NO_MAIL else ()
    sound = all(
        letter.text.count(_mark(at)) == 1
        and f"\n{_INDENT}{_mark(at)}\n" in head
        and letter.html.count(_mark(at)) == (1 if letter.html else 0)
        and _mark(at) not in letter.subject
        for at in marks
    )
    return _Open(letter, marks, sound)


def _with_efforts(digest: Digest, efforts: Sequence[str]) -> Digest:
    pairs = zip(digest.tasks, efforts, strict=True)
    return replace(digest, tasks=tuple(replace(task, effort=effort) for task, effort in pairs))


def _mark(at: int) -> str:
    """A word that nobody writes: of the code points that Unicode leaves to private use."""
    return f"{_OPEN}{chr(_FIRST + at)}{_CLOSE}"


def _marks_of(digest: Digest) -> tuple[int, ...]:
    efforts = (task.effort for task in digest.tasks)
    return tuple(ord(effort[1]) - _FIRST for effort in efforts if effort.startswith(_OPEN))
