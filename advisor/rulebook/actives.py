"""Active ingredients by name, to choose from, and what the law of a place leaves of them."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Literal

from advisor.base.record import Record, field

SYNTHETIC = "synthetic"
"""What a law names that bars all but ingredients of low risk."""


class Active(Record, frozen=True):
    """One active ingredient. group: its class, empty if it has none. also: other names."""

    id: str
    group: str = ""
    also: tuple[str, ...] = ()
    low_risk: bool = False


class Actives(Record, frozen=True, dict=True):
    """All that are known. Texts may name one, or a class, in the singular or plural."""

    all: Mapping[str, Active] = field(default_factory=dict)

    @cached_property
    def groups(self) -> Mapping[str, frozenset[str]]:
        """The members of each class."""
        found: dict[str, frozenset[str]] = {}
        for active in self.all.values():
            if active.group:
                found[active.group] = found.get(active.group, frozenset()) | {active.id}
        return found

    @cached_property
    def names(self) -> frozenset[str]:
        """What a law may name."""
        return frozenset((*self.all, *self.groups, SYNTHETIC))

    def meant_by(self, names: Iterable[str]) -> frozenset[str]:
        """The ingredients that a law means by these names."""
        found: frozenset[str] = frozenset()
        for name in names:
            if name == SYNTHETIC:
                found |= {id for id, active in self.all.items() if not active.low_risk}
            else:
                found |= self.groups.get(name, frozenset((name,)) & self.all.keys())
        return found

    def named_in(self, text: str) -> frozenset[str]:
        """The ingredients that a text names, by themselves or by their class.

        One `or its like` means its class.
        """
        found: frozenset[str] = frozenset()
        for word, like in self._pattern.findall(text) if self.all else ():
            named = self._spoken[word.casefold()]
            found |= named
            for id in named if like else ():
                found |= self.groups.get(self.all[id].group, frozenset())
        return found

    @cached_property
    def _spoken(self) -> Mapping[str, frozenset[str]]:
        said: dict[str, frozenset[str]] = {}
        for group, members in self.groups.items():
            said[group.casefold()] = members
            said[_singular(group).casefold()] = members
        for active in self.all.values():
            for name in (active.id, *active.also):
                said[name.casefold()] = frozenset((active.id,))
        return said

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        longest_first = sorted(self._spoken, key=len, reverse=True)
        names = "|".join(map(re.escape, longest_first))
        return re.compile(rf"(?i)(?<!\w)({names})(?!\w)( (?:and|or) its like)?")


def _singular(group: str) -> str:
    return group[:-3] + "y" if group.endswith("ies") else group.removesuffix("s")


NOTHING: frozenset[str] = frozenset()
Effect = Literal["barred", "doubtful", "ask", "allowed"]
Status = Literal["read", "second_hand", "memory"]
Bound = Literal["home", "hired"]
CHOICES = ("pesticide", "ingredient")
"""The subjects of law that bear on a choice of ingredients."""
ASK = "ask first whether home use is allowed where you live"


class Option(Record, frozen=True):
    """A choice in words, and the ingredients that it names."""

    says: str
    actives: frozenset[str]


class Options(Record, frozen=True):
    """`lead` one, another or a third. none: said instead where the law leaves none."""

    lead: str
    any: tuple[Option, ...]
    none: str = ""

    @property
    def actives(self) -> frozenset[str]:
        """All ingredients that are named."""
        return frozenset().union(*(option.actives for option in self.any))

    def said(self, left_out: frozenset[str]) -> str:
        """What is left, with the question whether it is allowed: silence is no permission."""
        names = [option.says for option in self.any if not option.actives & left_out]
        if not names:
            return self.none
        listed = " or ".join(filter(None, (", ".join(names[:-1]), names[-1])))
        return f"{f'{self.lead} {listed}'.strip()} – {ASK}"


def with_options(says: str, options: Options | None, left_out: frozenset[str] = NOTHING) -> str:
    """A text and, in a sentence of its own, what there is to choose from."""
    chosen = options.said(left_out) if options is not None else ""
    return ". ".join(filter(None, (says, chosen[:1].upper() + chosen[1:])))


class Bar(Record, frozen=True):
    """What a rule makes of some active ingredients.

    named: as the law names them. actives: what it means. effect: barred; doubtful, where a ban is
    likely but was not read as such; ask, where it hangs on a town or a label; or allowed. begins,
    ends: first and last day, open where None. everything: whether all but low risk is meant.
    """

    named: tuple[str, ...]
    actives: frozenset[str]
    effect: Effect
    status: Status
    binds: frozenset[Bound]
    begins: dt.date | None = None
    ends: dt.date | None = None
    everything: bool = False

    def holds(self, on: dt.date) -> bool:
        """Whether it is in force on a day."""
        return (self.begins is None or self.begins <= on) and (self.ends is None or on <= self.ends)

    def is_near(self, on: dt.date) -> bool:
        """Whether it is in force, or will be within a year."""
        ahead = self.begins is not None and on < self.begins <= on + dt.timedelta(days=365)
        return self.holds(on) or ahead


class Standing(Record, frozen=True):
    """left_out: the ingredients that no advice may name as a choice. all_barred: whether a law that
    was read bars home users from all but low risk. nobody_hired: whether it bars whoever works for
    hire as well, or may."""

    left_out: frozenset[str] = frozenset()
    all_barred: bool = False
    nobody_hired: bool = False


def standing(bars: Iterable[Bar], on: dt.date) -> Standing:
    """What the rules of a place leave on a day."""
    strict = [bar for bar in bars if bar.effect in ("barred", "doubtful") and bar.holds(on)]
    left_out = frozenset().union(*(bar.actives for bar in strict if "home" in bar.binds))
    whole = [bar for bar in strict if bar.everything]
    return Standing(
        left_out,
        all_barred=any(bar.effect == "barred" and "home" in bar.binds for bar in whole),
        nobody_hired=any("hired" in bar.binds for bar in whole),
    )
