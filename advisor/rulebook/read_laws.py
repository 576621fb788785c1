"""Law files (rules/laws/*.yaml)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Annotated, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document, Loc
from advisor.base.units import UnitError, parse_quantity
from advisor.rulebook.actives import Actives
from advisor.rulebook.conditions import Evidence, Source
from advisor.rulebook.law import Day, LawRule, Laws, Per, Subject, plain_county
from advisor.rulebook.read_bar import BarEntry, read_bar
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence
from advisor.rulebook.texts import check_once, check_text

_DAY = re.compile(r"(\d{2})-(\d{2})\Z")
_LENGTHS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_COUNTRY = re.compile(r"[A-Z]{2}\Z")
_PART = re.compile(r"[A-Z0-9]{1,3}\Z")
# What each subject must say in numbers, so that the rest of the program can use it.
_NEEDS: dict[str, tuple[str, ...]] = {
    "blackout": ("first", "last"),
    "nitrogen_cap": ("most", "per"),
    "buffer": ("keep_off",),
}
_NUMBERS = ("first", "last", "most", "per", "keep_off")


class _PlaceEntry(FileModel):
    country: str
    subdivision: str = ""
    county: str = ""
    town: str = ""


class _RuleEntry(FileModel):
    id: str
    subject: Subject
    says: Annotated[str, Field(min_length=1)]
    exceptions: list[str] = []
    first: str | None = None
    last: str | None = None
    most: str | None = None
    per: Per | None = None
    soluble: bool = False
    keep_off: str | None = None
    grasses: list[str] = []
    bar: BarEntry | None = None
    evidence: Annotated[list[str], Field(min_length=1)]


class _LawFile(FileModel):
    format: Literal[1]
    law: str
    title: Annotated[str, Field(min_length=1)]
    place: _PlaceEntry
    rules: Annotated[list[_RuleEntry], Field(min_length=1)]
    evidence: list[EvidenceEntry]


def read_laws(
    document: Document,
    sources: Mapping[str, Source],
    grasses: Iterable[str],
    actives: Actives,
) -> Laws:
    """The laws of one place. Raises `BadInput` with every problem found.

    A rule rests on published sources only, and each says on which day it was read; but for one that
    is only heard of and no more than doubts an ingredient.
    """
    file = check_document(_LawFile, document)
    problems = Problems()
    _check_place(file.place, document, problems)
    evidence = read_evidence(file.evidence, sources, document, problems)
    read = {e for r in file.rules if r.bar is None or r.bar.status == "read" for e in r.evidence}
    heard = {e for rule in file.rules for e in rule.evidence} - read
    for i, entry in enumerate(file.evidence):
        if entry.id not in heard and (entry.kind != "published" or entry.checked is None):
            what = f"evidence '{entry.id}': a law wants 'published' and the day it was 'checked'"
            problems.add(document.place(("evidence", i)), what)
    places = [document.place(("rules", i, "id")) for i in range(len(file.rules))]
    check_once([rule.id for rule in file.rules], "rule", places, problems)
    reader = _Rules(document, evidence, frozenset(grasses), actives, problems)
    rules = tuple(reader.rule(rule, ("rules", i)) for i, rule in enumerate(file.rules))
    problems.raise_if_any()
    place = file.place
    county = plain_county(place.county)
    return Laws(file.law, file.title, place.country, place.subdivision, county, rules, place.town)


def _check_place(place: _PlaceEntry, document: Document, problems: Problems) -> None:
    for key, shape, such in (("country", _COUNTRY, "US"), ("subdivision", _PART, "NJ")):
        text = getattr(place, key)
        if text and not shape.match(text):
            what = f"{key} '{text}' is no ISO 3166 code, such as {such}"
            problems.add(document.place(("place", key)), what)
    for key in ("county", "town"):
        if getattr(place, key) and not place.subdivision:
            problems.add(document.place(("place", key)), f"a {key} wants its 'subdivision'")


class _Rules:
    """Turns the entries of one file into rules, collecting problems."""

    def __init__(
        self,
        document: Document,
        evidence: Mapping[str, Evidence],
        grasses: frozenset[str],
        actives: Actives,
        problems: Problems,
    ) -> None:
        self.document, self.evidence = document, evidence
        self.grasses, self.actives, self.problems = grasses, actives, problems

    def rule(self, entry: _RuleEntry, loc: Loc) -> LawRule:
        wanted = _NEEDS.get(entry.subject, ())
        for key in _NUMBERS:
            given = getattr(entry, key) is not None
            if given != (key in wanted):
                verb = "has no" if given else "wants a"
                self._add(loc, f"a rule on {entry.subject} {verb} '{key}'")
        for text in (entry.says, *entry.exceptions):
            check_text(text, (), self.document.place(loc), self.problems)
        self._known(entry.grasses, self.grasses, "grass", (*loc, "grasses"))
        self._known(entry.evidence, self.evidence, "evidence", (*loc, "evidence"))
        cited = {id: self.evidence[id] for id in entry.evidence if id in self.evidence}
        return LawRule(
            id=entry.id,
            subject=entry.subject,
            says=entry.says,
            evidence=tuple(cited.values()),
            exceptions=tuple(entry.exceptions),
            first=self._day(entry.first, (*loc, "first")),
            last=self._day(entry.last, (*loc, "last")),
            most=self._amount(entry.most, "g/m2", (*loc, "most")),
            per=entry.per,
            soluble=entry.soluble,
            keep_off=self._amount(entry.keep_off, "m", (*loc, "keep_off")),
            grasses=frozenset(entry.grasses),
            bar=read_bar(
                entry.bar, entry.subject, self.actives, cited, self.document, (*loc, "bar"),
                self.problems,
            ),
        )  # fmt: skip

    def _add(self, loc: Loc, what: str) -> None:
        self.problems.add(self.document.place(loc), what)

    def _known(self, ids: list[str], known: Iterable[str], noun: str, loc: Loc) -> None:
        names = frozenset(known)
        for i, id in enumerate(ids):
            if id not in names:
                self._add((*loc, i), f"{noun} '{id}' is not known{did_you_mean(id, names)}")

    def _amount(self, text: str | None, unit: str, loc: Loc) -> float | None:
        if text is None:
            return None
        try:
            return parse_quantity(text, unit)
        except UnitError as error:
            self._add(loc, str(error))
            return None

    def _day(self, text: str | None, loc: Loc) -> Day | None:
        if text is None:
            return None
        found = _DAY.match(text)
        month, day = (int(x) for x in found.groups()) if found else (0, 0)
        if not (1 <= month <= 12 and 1 <= day <= _LENGTHS[month - 1]):
            self._add(loc, f"'{text}' is no day of the year; write month-day, such as '11-15'")
            return None
        return month, day
