"""What the engine's tests share: the way to run code in a process of its own, and a small program.

Whatever could crash the interpreter runs in a subprocess, so that a crash is a failed test.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.decide.engine.model import TRUTH_STATES, Combination, Effect, FactKind, Table
from advisor.rulebook.conditions import Group, Leaf

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
sys.path.insert(0, str(HERE))  # for random_programs


@pytest.fixture(scope="session")
def run_python() -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run the interpreter with these arguments and environment; standard output is captured."""

    def run(*arguments: str, timeout: float = 300, **environment: str) -> object:
        path = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")])
        return subprocess.run(
            [sys.executable, *arguments],
            env={**os.environ, "PYTHONPATH": path, **environment},
            capture_output=True,
            text=True,
            timeout=timeout,
            check=False,
        )

    return run


@pytest.fixture
def small() -> dict[str, object]:
    """A program with two gates, a conflict, a window, a table and effects. Invented limits."""
    kinds = {
        "thatch": FactKind("number"),
        "moisture": FactKind("number"),
        "law": FactKind("flag"),
        "wanted": FactKind("flag"),
        "window_state": FactKind("choice", ("before", "open", "over")),
    }
    formulas = {
        "need": Leaf("thatch", "over", 12.7),
        "ready": Group("none", (Leaf("moisture", "under", 0.3), Leaf("moisture", "over", 0.8))),
        "conflict.law": Leaf("law", "is", True),
        "conflict": Combination("any", ("conflict.law",)),
    }
    windows = ("before", "open", "over", "unknown")
    inputs = {
        "need": TRUTH_STATES, "window_state": windows, "conflict": TRUTH_STATES,
        "ready": TRUTH_STATES,
    }  # fmt: skip
    maybe = {"need": "true|unknown"}
    table = Table(
        inputs,
        [
            ({"need": "false"}, "not_needed"),
            ({**maybe, "window_state": "over"}, "missed"),
            ({**maybe, "window_state": "before|unknown"}, "wait"),
            ({**maybe, "window_state": "open", "conflict": "true"}, "ruled_out"),
            ({**maybe, "window_state": "open", "conflict": "unknown"}, "measure"),
            ({"need": "unknown", "window_state": "open", "conflict": "false"}, "measure"),
            (
                {"need": "true", "window_state": "open", "conflict": "false", "ready": "unknown"},
                "measure",
            ),
            (
                {"need": "true", "window_state": "open", "conflict": "false", "ready": "false"},
                "hold",
            ),
            ({"need": "true", "window_state": "open", "conflict": "false", "ready": "true"}, "do"),
        ],
    )
    effects = [
        Effect("intended", {"wanted": "true"}),
        Effect("intended", {"need": "true", "window_state": "before|open"}),
        Effect("done_with", {"conclusion": "not_needed|missed"}),
    ]
    return {"formulas": formulas, "kinds": kinds, "table": table, "effects": effects}
