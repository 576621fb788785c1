"""The table of verdicts: from the states of the gates to one of seven words.

The order of thought behind it: no need is said first, even where something forbids the work; then
the season; then what forbids it; then what is not known; then what is not ready.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.engine.model import Effect, Table

NEED, READY, CONFLICT = "need", "ready", "conflict"
WINDOW, LASTING = "window_state", "conflict_outlasts_window"

_TRUTH = ("true", "false", "unknown")
WINDOW_STATES = ("before", "open", "over")

INPUTS: Mapping[str, tuple[str, ...]] = {
    NEED: _TRUTH,
    WINDOW: (*WINDOW_STATES, "unknown"),
    CONFLICT: _TRUTH,
    LASTING: _TRUTH,
    READY: _TRUTH,
}

_NEEDED = {NEED: "true|unknown"}
_IN_SEASON = {**_NEEDED, WINDOW: "open|unknown"}
_FREE = {**_IN_SEASON, CONFLICT: "false"}

TABLE = Table(
    inputs=INPUTS,
    rows=(
        ({NEED: "false"}, "not_needed"),
        ({**_NEEDED, WINDOW: "over"}, "missed"),
        ({**_NEEDED, WINDOW: "before"}, "wait"),
        ({**_IN_SEASON, CONFLICT: "true", LASTING: "true"}, "ruled_out"),
        ({**_IN_SEASON, CONFLICT: "true", LASTING: "false|unknown"}, "hold"),
        ({**_IN_SEASON, CONFLICT: "unknown"}, "measure"),
        ({**_FREE, NEED: "unknown"}, "measure"),
        ({**_FREE, NEED: "true", WINDOW: "unknown"}, "measure"),
        ({**_FREE, NEED: "true", WINDOW: "open", READY: "unknown"}, "measure"),
        ({**_FREE, NEED: "true", WINDOW: "open", READY: "false"}, "hold"),
        ({**_FREE, NEED: "true", WINDOW: "open", READY: "true"}, "do"),
    ),
)


def intended_effects(wanted: str) -> tuple[Effect, ...]:
    """What other operations may build on: the keeper's wish, or need and window this year.

    Never the verdict itself: a drought that holds the sowing must not lift what the coming sowing
    forbids. What a law or a label rules out for the whole window is not intended. `wanted` is the
    name of the flag fact that carries the wish.
    """
    allowed = {LASTING: "false|unknown"}
    return (
        Effect("intended", {**allowed, wanted: "true"}),
        Effect("intended", {**allowed, NEED: "true", WINDOW: "before|open"}),
    )
