"""Active ingredients by name: which a text names, and which a law means."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cached_property

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
