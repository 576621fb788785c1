"""Condition trees from a rule file, checked against the vocabulary."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, cast, get_args

from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document, Loc
from advisor.base.units import UnitError, parse_quantity
from advisor.facts.fact import FactDefinition, Vocabulary
from advisor.rulebook.conditions import NUMERIC, Comparison, Condition, Group, Grouping, Leaf, Limit
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.texts import LEAF_PLACEHOLDERS, check_text

_COMPARISONS: tuple[Comparison, ...] = get_args(Comparison)
_GROUPINGS: tuple[Grouping, ...] = get_args(Grouping)
_LEAF_KEYS = ("fact", *_COMPARISONS, "says", "otherwise", "evidence", "range")
_GRASS = "grass."


@dataclass
class ConditionReader:
    """Reads the trees of one document. `varies`, where given, limits the facts allowed."""

    document: Document
    vocabulary: Vocabulary
    evidence: frozenset[str]
    limits: frozenset[str]
    problems: Problems

    def read(self, data: Any, loc: Loc, varies: Iterable[str] = ()) -> Condition | None:
        """The tree at `loc`, or None after adding to `problems`."""
        if not isinstance(data, dict):
            what = "wanted 'fact: …' with a comparison, or a list under 'all', 'any' or 'none'"
            self._add(loc, what)
            return None
        groupings = [g for g in _GROUPINGS if g in data]
        if groupings:
            return self._group(data, loc, groupings, frozenset(varies))
        return self._leaf(data, loc, frozenset(varies))

    def _add(self, loc: Loc, what: str, *, key: bool = False) -> None:
        self.problems.add(self.document.place(loc, key=key), what)

    def _group(
        self, data: dict[str, Any], loc: Loc, groupings: list[Grouping], varies: frozenset[str]
    ) -> Condition | None:
        how = groupings[0]
        for extra in [k for k in data if k != how]:
            self._add((*loc, extra), f"'{extra}' cannot stand beside '{how}'; nest it", key=True)
        parts = data[how]
        if not isinstance(parts, list) or not parts:
            self._add((*loc, how), f"'{how}' wants a list of at least one condition")
            return None
        read = [self.read(part, (*loc, how, i), varies) for i, part in enumerate(parts)]
        kept = tuple(part for part in read if part is not None)
        return Group(how, kept) if len(kept) == len(parts) else None

    def _leaf(self, data: dict[str, Any], loc: Loc, varies: frozenset[str]) -> Leaf | None:
        for key in [k for k in data if k not in _LEAF_KEYS]:
            known = did_you_mean(key, [*_LEAF_KEYS, *_GROUPINGS])
            self._add((*loc, key), f"unknown key '{key}' in a condition{known}", key=True)
        definition = self._fact(data, loc, varies)
        comparisons = [c for c in _COMPARISONS if c in data]
        if len(comparisons) != 1:
            found = " and ".join(f"'{c}'" for c in comparisons)
            found = found or f"none of {', '.join(_COMPARISONS)}"
            self._add(loc, f"a condition wants one comparison; found {found}")
            return None
        if definition is None:
            return None
        comparison = comparisons[0]
        limit = self._limit(data[comparison], comparison, definition, (*loc, comparison))
        cited = self._evidence(data, loc, comparison, data[comparison])
        for key in ("says", "otherwise"):
            place = self.document.place((*loc, key))
            check_text(str(data.get(key) or ""), LEAF_PLACEHOLDERS, place, self.problems)
        if limit is None:
            return None
        return Leaf(
            fact=definition.name,
            comparison=comparison,
            limit=limit,
            says=str(data.get("says") or ""),
            otherwise=str(data.get("otherwise") or ""),
            evidence=cited,
            range=str(data.get("range") or ""),
            error=definition.error,
            path=".".join(str(part) for part in loc),
            place=self.document.place(loc),
        )

    def _fact(
        self, data: dict[str, Any], loc: Loc, varies: frozenset[str]
    ) -> FactDefinition | None:
        name = data.get("fact")
        if not isinstance(name, str):
            self._add(loc, "a condition wants 'fact: NAME'")
            return None
        try:
            definition = self.vocabulary[name]
        except KeyError:
            near = did_you_mean(name, self.vocabulary)
            self._add((*loc, "fact"), f"fact '{name}' is not in facts.yaml{near}")
            return None
        if varies and definition.varies not in varies:
            allowed = " or ".join(sorted(varies))
            what = f"fact '{name}' varies with {definition.varies}; a window may use only {allowed}"
            self._add((*loc, "fact"), what)
        return definition

    def _evidence(
        self, data: dict[str, Any], loc: Loc, comparison: Comparison, limit: Any
    ) -> tuple[str, ...]:
        cited = data.get("evidence", [])
        if not isinstance(cited, list):
            self._add((*loc, "evidence"), "evidence wants a list of ids, such as [purdue]")
            return ()
        for i, name in enumerate(cited):
            if name not in self.evidence:
                near = did_you_mean(str(name), self.evidence)
                self._add((*loc, "evidence", i), f"evidence '{name}' is not declared below{near}")
        # A grass's limit has its evidence in the grass file.
        own = not str(limit).startswith(_GRASS)
        if comparison in NUMERIC and not cited and own:
            self._add(loc, "a number without evidence; add 'evidence: [ID]'")
        return tuple(str(name) for name in cited)

    def _limit(
        self, raw: Any, comparison: Comparison, definition: FactDefinition, loc: Loc
    ) -> Limit | tuple[Limit, ...] | None:
        if comparison == "known":
            if isinstance(raw, bool):
                return raw
            self._add(loc, f"'known' wants true or false; found '{raw}'")
            return None
        if comparison in ("one_of", "none_of"):
            if not isinstance(raw, list) or not raw:
                self._add(loc, f"'{comparison}' wants a list, such as [growing, slow]")
                return None
            values = [self._value(v, definition, (*loc, i)) for i, v in enumerate(raw)]
            return tuple(v for v in values if v is not None)
        if comparison in NUMERIC and definition.kind != "number":
            what = f"'{comparison}' compares numbers; '{definition.name}' is a {definition.kind}"
            what += ", so use 'is', 'is_not', 'one_of' or 'none_of'"
            self._add(loc, what)
            return None
        if isinstance(raw, str) and raw.startswith(_GRASS):
            return self._grass_limit(raw, loc)
        return self._value(raw, definition, loc)

    def _grass_limit(self, raw: str, loc: Loc) -> GrassLimit | None:
        name = raw.removeprefix(_GRASS)
        if name in self.limits:
            return GrassLimit(name)
        self._add(loc, f"no grass file states a limit '{name}'{did_you_mean(name, self.limits)}")
        return None

    def _value(self, raw: Any, definition: FactDefinition, loc: Loc) -> Limit | None:
        try:
            return read_value(raw, definition)
        except UnitError as error:
            self._add(loc, f"{definition.name}: {error}")
            return None


def read_value(raw: Any, definition: FactDefinition) -> Limit:
    """A fact's value as written in a rule or example. Raises `UnitError`."""
    if definition.kind == "number":
        if isinstance(raw, bool) or not isinstance(raw, (str, int, float)):
            raise UnitError(f"found '{raw}'; wanted a number with its unit")
        return parse_quantity(raw, definition.unit)
    if definition.kind == "flag":
        if not isinstance(raw, bool):
            raise UnitError(f"found '{raw}'; wanted true or false")
        return raw
    if definition.kind == "choice" and raw not in definition.choices:
        near = did_you_mean(str(raw), definition.choices)
        raise UnitError(f"'{raw}' is not one of {', '.join(definition.choices)}{near}")
    return cast(Limit, raw)
