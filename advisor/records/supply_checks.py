"""Checks across the keys of `supplies:` in site.yaml. They read the document, not the model."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.base.problems import Problem
from advisor.base.strict_yaml import Document, Loc
from advisor.base.units import UnitError, parse_quantity, show

LABEL_ROUNDING = 0.005
"""How far the shares of a seed label may be from 100 %, as they are printed rounded (chosen)."""
_REST = ("weed_seed", "other_crop", "inert")


def supply_problems(document: Document) -> Iterator[Problem]:
    """Labels that do not add up, and bags that are described in two ways."""
    root = document.data if isinstance(document.data, dict) else {}
    supplies = root.get("supplies")
    if not isinstance(supplies, dict):
        return
    seed = supplies.get("seed")
    for i, bag in enumerate(seed if isinstance(seed, list) else []):
        if isinstance(bag, dict):
            yield from _seed_problems(document, ("supplies", "seed", i), bag)
    top = supplies.get("topdressing")
    if isinstance(top, dict) and top.get("bag") is not None and top.get("bulk") is not None:
        what = "topdressing is sold by the 'bag' or in 'bulk'; keep the one that the price is for"
        yield Problem(document.place(("supplies", "topdressing", "bulk"), key=True), what)


def _seed_problems(document: Document, loc: Loc, bag: dict[str, Any]) -> Iterator[Problem]:
    parts = bag.get("parts")
    if parts and bag.get("grass") is not None:
        what = "a bag has one 'grass', or 'parts' for a mixture; keep one of them"
        yield Problem(document.place((*loc, "parts"), key=True), what)
        return
    if not parts and bag.get("grass") is None:
        what = "say which 'grass' is in the bag, or its 'parts'"
        yield Problem(document.place(loc), what)
        return
    listed = parts if isinstance(parts, list) else [bag]
    shares = [p.get("purity") if isinstance(p, dict) else None for p in listed]
    rest = [bag.get(key) for key in _REST]
    given = [share for share in (*shares, *rest) if share is not None]
    try:
        total = sum(parse_quantity(share, "share") for share in given)
    except UnitError:
        return
    complete = len(given) == len(shares) + len(rest)
    if total > 1 + LABEL_ROUNDING or (complete and total < 1 - LABEL_ROUNDING):
        what = (
            f"pure seed, weed seed, other crop and inert matter add up to "
            f"{_percent(total)}; a label adds up to 100 %"
        )
        yield Problem(document.place(loc), what)


def _percent(share: float) -> str:
    return f"{100 * share:.4g} %" if share else show(share, "share")
