"""Checks across the parts of site.yaml.

They read the document rather than the model, so that they find what they can even where a key
elsewhere was refused; what has the wrong shape is passed over, the model has told of it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator
from typing import Any

from advisor.base.problems import Problem, did_you_mean
from advisor.base.strict_yaml import Document, Loc
from advisor.base.units import UnitError, parse_quantity, show
from advisor.records.limit_checks import limit_problems
from advisor.records.place_checks import place_problems
from advisor.records.supply_checks import supply_problems
from advisor.records.words import UNKNOWN_GRASS, as_name

_ROUNDING = 0.005
_MOST_PARTS = 20
"""Grasses on one seed label that are looked at; no label lists more."""


def cross_problems(
    document: Document, known_grasses: Collection[str] | None, today: dt.date
) -> Iterator[Problem]:
    """Everything that is wrong between the parts of a site file."""
    yield from place_problems(document, today)
    yield from _stand_problems(document, ("stand",), known_grasses)
    for i, _ in _items(document, "areas"):
        yield from _stand_problems(document, ("areas", i, "stand"), known_grasses)
    yield from _unknown_grass(document, ("sowing",), known_grasses, sown=True)
    yield from _twice(document, ("areas",), "name", "area")
    yield from _twice(document, ("water", "zones"), "name", "zone")
    yield from _zone_problems(document)
    for i, _ in _items(document, "supplies", "seed"):
        here: Loc = ("supplies", "seed", i)
        for loc in ((*here, "grass"), *((*here, "parts", j, "grass") for j in range(_MOST_PARTS))):
            yield from _unknown_grass(document, loc, known_grasses, sown=True)
        yield from _future(document, (*here, "tested"), today)
    yield from supply_problems(document)
    yield from limit_problems(document)
    for loc in (("sown_on",), ("water", "restrictions_checked")):
        yield from _future(document, loc, today)


def _stand_problems(
    document: Document, loc: Loc, known_grasses: Collection[str] | None
) -> Iterator[Problem]:
    parts = _items(document, *loc)
    for i, _ in parts:
        yield from _unknown_grass(document, (*loc, i, "grass"), known_grasses)
    yield from _twice(document, loc, "grass", "grass")
    given = [part["share"] for _, part in parts if part.get("share") is not None]
    if not given:
        return
    if len(given) < len(parts):
        i, part = next((i, part) for i, part in parts if part.get("share") is None)
        what = f"grass '{part.get('grass')}' has no share, but others have; add it"
        yield Problem(document.place((*loc, i)), what)
        return
    try:
        total = sum(parse_quantity(share, "share") for share in given)
    except UnitError:
        return
    if abs(total - 1) > _ROUNDING:
        what = f"the shares add up to {show(total, 'share')}; they must add up to 100 %"
        yield Problem(document.place(loc), what)


def _unknown_grass(
    document: Document, loc: Loc, known_grasses: Collection[str] | None, *, sown: bool = False
) -> Iterator[Problem]:
    grass = _at(document, *loc)
    name = as_name(grass)
    if known_grasses is None or not isinstance(name, str) or name in known_grasses:
        return
    if name != UNKNOWN_GRASS:
        other = ", ".join(sorted(known_grasses) + ([] if sown else [UNKNOWN_GRASS]))
        hint = did_you_mean(name, known_grasses) or f"; known: {other}"
        yield Problem(document.place(loc), f"grass '{grass}' is not in the rule book{hint}")
    elif sown:
        what = "'dont_know' cannot be sown; name the seed or leave the key out"
        yield Problem(document.place(loc), what)


def _twice(document: Document, loc: Loc, key: str, noun: str) -> Iterator[Problem]:
    first: dict[str, int] = {}
    for i, part in _items(document, *loc):
        name = as_name(part.get(key))
        if not isinstance(name, str):
            continue
        if name in first:
            line = document.place((*loc, first[name], key)).line
            what = f"{noun} '{part[key]}' stands twice (first on line {line}); keep one"
            yield Problem(document.place((*loc, i, key)), what)
        first.setdefault(name, i)


def _zone_problems(document: Document) -> Iterator[Problem]:
    areas = [as_name(area.get("name")) for _, area in _items(document, "areas")]
    known = [name for name in areas if isinstance(name, str)]
    for i, zone in _items(document, "water", "zones"):
        named = zone.get("areas")
        for j, name in enumerate(named if isinstance(named, list) else []):
            if isinstance(name, str) and as_name(name) not in known:
                hint = did_you_mean(name, known) or f"; known: {', '.join(known)}"
                what = f"zone '{zone.get('name')}' waters area '{name}', which is not listed{hint}"
                yield Problem(document.place(("water", "zones", i, "areas", j)), what)


def _future(document: Document, loc: Loc, today: dt.date) -> Iterator[Problem]:
    day = _at(document, *loc)
    if isinstance(day, dt.date) and day > today:
        what = f"{loc[-1]} {day} lies in the future (today is {today}); write a day that has been"
        yield Problem(document.place(loc), what)


def _at(document: Document, *loc: str | int) -> Any:
    """What stands at a location, or None."""
    found: Any = document.data
    for part in loc:
        if isinstance(found, dict):
            found = found.get(part)
        else:
            inside = isinstance(found, list) and int(part) < len(found)
            found = found[int(part)] if inside else None
    return found


def _items(document: Document, *loc: str | int) -> list[tuple[int, dict[str, Any]]]:
    """The mappings in the list at a location, with their index."""
    found = _at(document, *loc)
    listed = found if isinstance(found, list) else []
    return [(i, item) for i, item in enumerate(listed) if isinstance(item, dict)]
