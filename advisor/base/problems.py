"""Where something is wrong, what is wrong, and the one exception that carries it to the keeper."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from advisor.base.record import Record


class Place(Record, frozen=True, order=True):
    """A spot in a file. `line` and `column` count from 1; None where they mean nothing."""

    file: str
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        parts = [self.file, *(str(n) for n in (self.line, self.column) if n is not None)]
        return ":".join(parts)


class Problem(Record, frozen=True):
    """One thing that is wrong: found what, wanted what, and how to mend it."""

    place: Place
    what: str

    def __str__(self) -> str:
        return f"{self.place}: {self.what}"


MOST_TOLD = 100
MOST_FOUND = 200
"""So many problems are looked for: each costs time, and nobody mends more at a sitting."""


class BadInput(Exception):
    """Input that cannot be used.

    found: every problem, in file order. problems: those that are told, the first hundred and then
    how many more there are.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.found = tuple(sorted(dict.fromkeys(problems), key=_file_order))
        self.problems = self.found
        if hidden := self.found[MOST_TOLD:]:
            number = f"{len(hidden)} or" if len(self.found) >= MOST_FOUND else str(len(hidden))
            what = f"{number} more problems from here on; mend the ones above first"
            self.problems = (*self.found[:MOST_TOLD], Problem(hidden[0].place, what))
        super().__init__("\n".join(str(p) for p in self.problems))

    def __reduce__(self) -> tuple[type[BadInput], tuple[tuple[Problem, ...]]]:
        # Raised in one process it is told in another, with all its problems.
        return BadInput, (self.found,)

    @classmethod
    def at(cls, place: Place, what: str) -> BadInput:
        """A single problem at one place."""
        return cls([Problem(place, what)])


class Problems:
    """Collects problems, so that all of them are reported at once.

    When there are very many, it raises `BadInput` with them at once, and no more are looked for.
    """

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def add(self, place: Place, what: str) -> None:
        self._found.append(Problem(place, what))
        self._stop_if_many()

    def take(self, error: BadInput) -> None:
        self._found.extend(error.found)
        self._stop_if_many()

    def __bool__(self) -> bool:
        return bool(self._found)

    def _stop_if_many(self) -> None:
        if len(self._found) >= MOST_FOUND:
            raise BadInput(self._found)

    def raise_if_any(self) -> None:
        """Raise `BadInput` with everything collected, if anything was."""
        if self._found:
            raise BadInput(self._found)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`, did you mean 'x'?` for the nearest known word, or an empty string. Case is ignored."""
    by_lower = {name.casefold(): name for name in known}
    near = get_close_matches(word.casefold(), list(by_lower), n=1, cutoff=0.6)
    return f", did you mean '{by_lower[near[0]]}'?" if near else ""


def _file_order(problem: Problem) -> tuple[str, int, int]:
    place = problem.place
    return (place.file, place.line or 0, place.column or 0)
