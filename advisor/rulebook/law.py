"""Laws and ordinances that could be read, as typed data. What is not here was not checked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from advisor.rulebook.evidence import Evidence

Subject = Literal[
    "phosphorus", "nitrogen_cap", "blackout", "buffer", "conditions", "watering", "pesticide"
]
FEEDING_SUBJECTS: tuple[Subject, ...] = (
    "blackout", "nitrogen_cap", "phosphorus", "buffer", "conditions",
)  # fmt: skip
Per = Literal["dose", "year"]
Day = tuple[int, int]
"""Month and day of the month."""


@dataclass(frozen=True)
class LawRule:
    """One rule of a place.

    says: the rule in a sentence. exceptions: when it does not hold. first, last: the first and the
    last day of a blackout, both inside it. most: nitrogen in g/m², for one dose or a year, all of
    it or (soluble) its quick part only. keep_off: metres from water. grasses: empty for all.
    """

    id: str
    subject: Subject
    says: str
    evidence: tuple[Evidence, ...]
    exceptions: tuple[str, ...] = ()
    first: Day | None = None
    last: Day | None = None
    most: float | None = None
    per: Per | None = None
    soluble: bool = False
    keep_off: float | None = None
    grasses: frozenset[str] = frozenset()

    @property
    def checked(self) -> dt.date | None:
        """The day on which its source was last read; the oldest of several."""
        return min((e.checked for e in self.evidence if e.checked is not None), default=None)


@dataclass(frozen=True)
class Laws:
    """The rules of one place. subdivision, county: empty where the larger place is meant."""

    id: str
    title: str
    country: str
    subdivision: str
    county: str
    rules: tuple[LawRule, ...]

    def holds_at(self, country: str, subdivision: str, county: str) -> bool:
        """Whether a place lies inside."""
        return (
            self.country == country.upper()
            and self.subdivision in ("", subdivision.upper())
            and self.county.casefold() in ("", plain_county(county))
        )


def plain_county(name: str) -> str:
    """A county's name without the word: `Seminole County` and `seminole` are one."""
    return name.strip().casefold().removesuffix(" county").strip()


def laws_at(
    laws: Mapping[str, Laws], country: str | None, subdivision: str | None, county: str | None
) -> tuple[Laws, ...]:
    """The laws that hold at a place, those of the larger place first."""
    if not country:
        return ()
    found = (x for x in laws.values() if x.holds_at(country, subdivision or "", county or ""))
    return tuple(sorted(found, key=lambda x: (bool(x.subdivision), bool(x.county), x.id)))


def rules_on(laws: Iterable[Laws], subjects: Iterable[str], grass: str = "") -> tuple[LawRule, ...]:
    """The rules on some subjects that concern a grass (empty: any)."""
    wanted = frozenset(subjects)
    return tuple(
        rule
        for law in laws
        for rule in law.rules
        if rule.subject in wanted and (not rule.grasses or not grass or grass in rule.grasses)
    )
