"""What an answer rests on: sources told once and tied by numbers, and whose weather it is."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from pathlib import Path

from advisor.answers.answer import Answer
from advisor.answers.words import sentence
from advisor.base.record import Record
from advisor.cases.case import Case
from advisor.rulebook.conditions import Evidence
from advisor.weather.gaps import fill_gaps, gap_report
from advisor.weather.table import WeatherTable


def weather_line(case: Case) -> str:
    """For instance `Weather: weather.csv, through today, 30 full years.`"""
    if case.weather is None or case.weather.first > case.on:
        basis = "monthly normals only, so dates are rough" if case.normals else "no record yet"
        return f"Weather: {basis}."
    known = case.weather.until(case.on)
    owners = {origin.attribution for origin in known.origins}
    notes = [note for note in known.notes if note not in owners]
    parts = list(dict.fromkeys((*_whose(known, case.on), _length(known), *notes)))
    gaps = gap_report(fill_gaps(known))
    if not gaps.startswith("no gaps"):
        parts.append(gaps)
    return f"Weather: {', '.join(parts)}."


def _whose(table: WeatherTable, on: dt.date) -> tuple[str, ...]:
    """Each record behind the table with its age."""
    file, name = table.source.file, Path(table.source.file).name
    if not table.origins:
        return table.source.attribution.replace(file, name), _age(table.age_days(on))
    said = []
    for origin in table.origins:
        if origin.forecast:
            made = (on - origin.last).days if origin.last else 0
            age = "issued today" if made <= 0 else _age(made)
        else:
            age = _age((on - min(origin.last, on)).days if origin.last else None)
        said.append(f"{origin.attribution.replace(file, name)}, {age}")
    return tuple(said)


def _age(days: int | None) -> str:
    if days is None:
        return "nothing observed yet"
    if days == 0:
        return "through today"
    return f"{days} day old" if days == 1 else f"{days} days old"


def _length(table: WeatherTable) -> str:
    years = len(table.years)
    if years == 0:
        return "less than a full year, so dates are rough or missing"
    return f"{years} full years" if years > 1 else "1 full year, so dates are rough"


# Where a number of our own is worked out says something only to who has the program's files.
_FILE = re.compile(r"[;,] (?:tests|docs)/[^ ]+(?P<at> .+)?$")


class Claim(Record, frozen=True):
    """A sentence and the sources that it rests on."""

    says: str
    sources: tuple[str, ...] = ()

    def numbered(self, numbers: Numbers) -> str:
        """The sentence with the numbers of its sources before its full stop."""
        if not self.sources or not self.says:
            return self.says
        end = self.says[-1] if self.says[-1] in ".!?" else ""
        return f"{self.says.removesuffix(end)} {numbers.of(self.sources)}{end}"


class Numbers:
    """The numbers of sources in the order in which they are first cited."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def of(self, sources: Iterable[str]) -> str:
        """`[1, 4]`."""
        return f"[{', '.join(map(str, self.all_of(sources)))}]"

    def all_of(self, sources: Iterable[str]) -> list[int]:
        """Their numbers, the lowest first."""
        return sorted(self._numbers.setdefault(s, len(self._numbers) + 1) for s in sources)

    @property
    def sources(self) -> tuple[str, ...]:
        """All that were cited, the first first."""
        return tuple(self._numbers)


class Line(Record, frozen=True):
    """A title with one sentence, and the sources that this rests on. mind: cautions after it."""

    title: str
    says: str
    sources: tuple[str, ...] = ()
    mind: str = ""

    def numbered(self, numbers: Numbers) -> str:
        """The sentence with the numbers of its sources, and the cautions after it."""
        return f"{Claim(self.says, self.sources).numbered(numbers)} {self.mind}".rstrip()


def claims_of(answer: Answer) -> tuple[Claim, ...]:
    """The telling reasons of an answer, most important first."""
    return tuple(Claim(sentence(r.says), source_names(r.evidence)) for r in answer.told)


def claim(text: str, answer: Answer) -> Claim:
    """A sentence about an answer, with the sources of those of its reasons that it states."""
    lowered = text.lower()
    stated = (e for r in answer.told if r.says.lower() in lowered for e in r.evidence)
    return Claim(sentence(text), source_names(stated))


def source_names(evidence: Iterable[Evidence]) -> tuple[str, ...]:
    """Each source once, without the names of the program's own files."""
    names = (_FILE.sub(lambda m: f";{m['at']}" if m["at"] else "", str(e)) for e in evidence)
    return tuple(dict.fromkeys(names))


def cite(claims: Iterable[Claim], numbers: Numbers) -> str:
    """Sentences with the numbers of their sources."""
    return " ".join(claim.numbered(numbers) for claim in claims)
