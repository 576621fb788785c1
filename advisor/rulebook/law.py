"""Laws and ordinances that could be read, as typed data. What is not here was not checked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Literal

from advisor.base.record import Record
from advisor.rulebook.actives import Bar, Standing, standing
from advisor.rulebook.conditions import Evidence

Subject = Literal[
    "phosphorus", "nitrogen_cap", "blackout", "buffer", "conditions", "watering", "pesticide",
    "ingredient",
]  # fmt: skip
FEEDING_SUBJECTS: tuple[Subject, ...] = (
    "blackout", "nitrogen_cap", "phosphorus", "buffer", "conditions",
)  # fmt: skip
Per = Literal["dose", "year"]
Day = tuple[int, int]
"""Month and day of the month."""


class LawRule(Record, frozen=True):
    """One rule of a place.

    says: the rule in a sentence. exceptions: when it does not hold. first, last: the first and the
    last day of a blackout, both inside it. most: nitrogen in g/m², for one dose or a year, all of
    it or (soluble) its quick part only. keep_off: metres from water. grasses: empty for all. bar:
    what a rule on pesticides or an ingredient makes of active ingredients.
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
    bar: Bar | None = None

    @property
    def read(self) -> bool:
        """Whether its source was read; what was only heard of makes advice more careful."""
        return self.bar is None or self.bar.status == "read"

    @property
    def checked(self) -> dt.date | None:
        """The day on which its source was last read; the oldest of several."""
        return min((e.checked for e in self.evidence if e.checked is not None), default=None)


class Laws(Record, frozen=True):
    """The rules of one place. subdivision, county, town: empty where the larger place is meant."""

    id: str
    title: str
    country: str
    subdivision: str
    county: str
    rules: tuple[LawRule, ...]
    town: str = ""

    def holds_at(self, country: str, subdivision: str, county: str, town: str) -> bool:
        """Whether a place lies inside."""
        return (
            country.upper() in _MEMBERS.get(self.country, (self.country,))
            and self.subdivision in ("", subdivision.upper())
            and self.county.casefold() in ("", plain_county(county))
            and self.town.casefold() in ("", town.strip().casefold())
        )


_MEMBERS = {
    "EU": frozenset(
        ("AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE",
         "IT", "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK")
    )
}  # fmt: skip
"""Countries that make rules together."""


def plain_county(name: str) -> str:
    """A county's name without the word: `Seminole County` and `seminole` are one."""
    return name.strip().casefold().removesuffix(" county").strip()


def laws_at(
    laws: Mapping[str, Laws],
    country: str | None,
    subdivision: str | None,
    county: str | None,
    town: str | None = None,
) -> tuple[Laws, ...]:
    """The laws that hold at a place, those of the larger place first."""
    if not country:
        return ()
    place = (country, subdivision or "", county or "", town or "")
    found = (x for x in laws.values() if x.holds_at(*place))
    return tuple(sorted(found, key=_smallness))


def _smallness(law: Laws) -> tuple[bool, bool, bool, bool, str]:
    shared = law.country in _MEMBERS
    return not shared, bool(law.subdivision), bool(law.county), bool(law.town), law.id


def left_by(laws: Iterable[Laws], on: dt.date) -> Standing:
    """What the laws of a place leave of the active ingredients on a day."""
    return standing((rule.bar for law in laws for rule in law.rules if rule.bar), on)


def rules_on(laws: Iterable[Laws], subjects: Iterable[str], grass: str = "") -> tuple[LawRule, ...]:
    """The rules on some subjects that concern a grass (empty: any)."""
    wanted = frozenset(subjects)
    return tuple(
        rule
        for law in laws
        for rule in law.rules
        if rule.subject in wanted and (not rule.grasses or not grass or grass in rule.grasses)
    )
