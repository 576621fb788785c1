"""Which comparison of a tree made it true on a day: the last one that was still missing."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from advisor.decide.windows.interval import FALSE, TRUE, Series, TruthArray
from advisor.decide.windows.tracks import tree_on_axis
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import Condition, Leaf


class Decisions:
    """The leaves of trees on a record's axis (one member), each computed once.

    site: values of facts that vary with the site.
    """

    def __init__(self, facts: WeatherFacts, site: Mapping[str, Series | None]) -> None:
        self._facts = facts
        self._site = site
        self._kept: dict[int, tuple[Condition, TruthArray]] = {}

    def truth(self, tree: Condition) -> TruthArray:
        """The tree's truth on each day, (days,)."""
        # The tree is kept with its truth: an id may not be used again while it stands for it.
        if id(tree) not in self._kept:
            self._kept[id(tree)] = (tree, tree_on_axis(tree, self._facts, self._site)[0])
        return self._kept[id(tree)][1]

    def deciders(self, tree: Condition, day: int) -> tuple[Leaf, ...]:
        """The leaves that gave the tree its truth on a day.

        Of parts that must all hold, those that came to hold last; of parts of which one suffices,
        those that hold, the longest-standing first. More than one where they came on the same day.
        """
        if isinstance(tree, Leaf):
            return (tree,)
        holds = bool(self.truth(tree)[day] == TRUE)
        all_needed = not holds if tree.how == "any" else holds
        wanted = TRUE if (tree.how == "none") != holds else FALSE
        parts = [part for part in tree.parts if self.truth(part)[day] == wanted]
        since = [self.since(part, day) for part in parts]
        if not parts:
            return ()
        chosen = max(since) if all_needed else min(since)
        return tuple(
            leaf
            for part, start in zip(parts, since, strict=True)
            if start == chosen
            for leaf in self.deciders(part, day)
        )

    def since(self, tree: Condition, day: int) -> int:
        """The first day of the run of days of equal truth that holds on a day."""
        truth = self.truth(tree)
        other = np.flatnonzero(truth[: day + 1] != truth[day])
        return int(other[-1]) + 1 if len(other) else 0
