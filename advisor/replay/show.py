"""A replay, or a comparison of two, as what the command prints."""

from __future__ import annotations

import json

from advisor.base.problems import BadInput, Place
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.replay.compare import compare
from advisor.replay.compare_text import compared_text
from advisor.replay.run import replay
from advisor.replay.to_json import compared_json, replay_json
from advisor.replay.to_text import replay_text
from advisor.rulebook.model import RuleBook


def show_replay(case: Case, *, grass: str = "", operation: str = "", as_json: bool = False) -> str:
    """The lawn's rule book over its record, as text or JSON. Raises what `replay` raises."""
    found = replay(case, grass=grass, operation=operation)
    return _json(replay_json(found)) if as_json else replay_text(found)


def show_comparison(
    case: Case, other: RuleBook, *, grass: str = "", operation: str = "", as_json: bool = False
) -> str:
    """The lawn's rule book beside another, on the same grass. Raises what `replay` raises, and
    `BadInput` where the other lacks the grass or the operation."""
    before = replay(case, grass=grass, operation=operation)
    if before.grass not in other.grasses:
        raise BadInput.at(Place("--rules"), f"these rule files lack the grass '{before.grass}'")
    after = replay(replace(case, book=other), grass=before.grass, operation=operation)
    moved = compare(before, after)
    if as_json:
        return _json(compared_json(before, after, moved))
    return compared_text(before, after, moved)


def _json(data: object) -> str:
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"
