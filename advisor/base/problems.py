"""Where something is wrong, what is wrong, and the one exception that carries it to the keeper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, order=True)
class Place:
    """A spot in a file. `line` and `column` count from 1; None where they mean nothing."""

    file: str
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        parts = [self.file, *(str(n) for n in (self.line, self.column) if n is not None)]
        return ":".join(parts)


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: found what, wanted what, and how to mend it."""

    place: Place
    what: str

    def __str__(self) -> str:
        return f"{self.place}: {self.what}"


class BadInput(Exception):
    """Input that cannot be used. Carries every problem found, in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        found = dict.fromkeys(problems)
        self.problems = tuple(sorted(found, key=_file_order))
        super().__init__("\n".join(str(p) for p in self.problems))

    def __reduce__(self) -> tuple[type[BadInput], tuple[tuple[Problem, ...]]]:
        # Raised in one process it is told in another, with all its problems.
        return BadInput, (self.problems,)

    @classmethod
    def at(cls, place: Place, what: str) -> BadInput:
        """A single problem at one place."""
        return cls([Problem(place, what)])


class Problems:
    """Collects problems, so that all of them are reported at once."""

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def add(self, place: Place, what: str) -> None:
        self._found.append(Problem(place, what))

    def take(self, error: BadInput) -> None:
        self._found.extend(error.problems)

    def __bool__(self) -> bool:
        return bool(self._found)

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
