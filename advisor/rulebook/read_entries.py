"""What the entries of a rule file have in common: trees, days, names, evidence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from advisor.base.checked_model import FileModel
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document
from advisor.base.units import UnitError, parse_quantity
from advisor.rulebook.actives import Actives
from advisor.rulebook.conditions import Condition, Group
from advisor.rulebook.model import Boundary, Grass
from advisor.rulebook.operation_file import BoundaryEntry, ForEntry
from advisor.rulebook.read_conditions import ConditionReader
from advisor.rulebook.read_options import read_warns
from advisor.rulebook.texts import check_once, check_text

F = TypeVar("F", bound=FileModel)
WINDOW_FACTS = ("site", "weather")
"""What a window's trees may read: records are frozen as of today and cannot be run over years."""


@dataclass
class Entries(Generic[F]):
    """Reads entries of one file, collecting problems."""

    file: F
    document: Document
    trees: ConditionReader
    problems: Problems
    all_grasses: Mapping[str, Grass]
    actives: Actives
    _nothing: Group = field(default_factory=lambda: Group("all", ()))

    def tree(self, data: Any, *loc: str | int, window: bool = False) -> Condition:
        return self.trees.read(data, loc, WINDOW_FACTS if window else ()) or self._nothing

    def days(self, text: str, *loc: str | int, least: int | None = None) -> int:
        try:
            found = round(parse_quantity(text, "d"))
        except UnitError as error:
            self.problems.add(self.document.place(loc), str(error))
            return 0
        if least is not None and found < least:
            what = f"'{text}' is no time ahead; wanted one day or more, such as '28 d'"
            self.problems.add(self.document.place(loc), what)
        return found

    def quantity(self, text: str, unit: str, *loc: str | int) -> float:
        try:
            return parse_quantity(text, unit)
        except UnitError as error:
            self.problems.add(self.document.place(loc), str(error))
            return 0.0

    def known(
        self,
        ids: list[str],
        known: Mapping[str, object] | frozenset[str],
        noun: str,
        *loc: str | int,
    ) -> tuple[str, ...]:
        for i, id in enumerate(ids):
            if id not in known:
                what = f"{noun} '{id}' is not declared{did_you_mean(id, known)}"
                self.problems.add(self.document.place((*loc, i)), what)
        return tuple(ids)

    def grasses(self, entry: ForEntry, *loc: str | int) -> frozenset[str]:
        """The grasses that an entry admits; empty if it says nothing, for all of them."""
        self.known(entry.grasses, self.all_grasses, "grass", *loc, "grasses")
        if entry == ForEntry():
            return frozenset()
        found = frozenset(
            id
            for id, grass in self.all_grasses.items()
            if (not entry.season_type or grass.traits.get("season_type") in entry.season_type)
            and (not entry.grasses or id in entry.grasses)
        )
        if not found and set(entry.grasses) <= self.all_grasses.keys():
            self.problems.add(
                self.document.place(loc), "no grass is of this kind; mend the words after 'for'"
            )
        return found

    def once(self, noun: str, ids: list[str], key: str) -> None:
        places = [self.document.place((key, i, "id")) for i in range(len(ids))]
        check_once(ids, noun, places, self.problems)
        for i, entry in enumerate(getattr(self.file, key)):
            says = getattr(entry, "says", "")
            check_text(says, (), self.document.place((key, i, "says")), self.problems)

    def cited(self, ids: list[str], *loc: str | int) -> tuple[str, ...]:
        return self.known(ids, self.trees.evidence, "evidence", *loc, "evidence")

    def warns(self, names: list[str], *loc: str | int) -> frozenset[str]:
        return read_warns(names, self.actives, self.document, (*loc, "warns"), self.problems)

    def boundary(self, entry: BoundaryEntry, *loc: str | int) -> Boundary:
        return Boundary(entry.day, self.days(entry.plus, *loc, "plus"))
