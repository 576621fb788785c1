"""No test may depend on how fast the machine is: a busy one is slow, not wrong."""

from __future__ import annotations

import ast
from pathlib import Path

from hypothesis import settings

TESTS = Path(__file__).parents[1]
CLOCKS = {"monotonic", "perf_counter", "process_time", "time", "thread_time", "times"}
#: Read the clock, but no test passes or fails by what it says.
ALLOWED = {
    "cli/test_killed.py": "within which time a command is killed at a random moment",
    "mailing/support/kills.py": "how long to wait for a sender before it is killed",
    "engine/long_fuzz.py": "a script that prints how long it ran",
    "fetch/conftest.py": "a clock that runs on from a set day",
}


def readings(source: str) -> list[int]:
    """The lines that read a clock of `time` or `os`."""
    found = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Attribute(value=ast.Name(id="time" | "os"), attr=name) if name in CLOCKS:
                found.append(node.lineno)
            case ast.ImportFrom(module="time", names=names):
                found += [node.lineno for alias in names if alias.name in CLOCKS]
    return found


def test_no_test_reads_the_clock() -> None:
    found = {
        str(path.relative_to(TESTS)): lines
        for path in TESTS.rglob("*.py")
        if (lines := readings(path.read_text(encoding="utf-8")))
    }
    assert set(found) == set(ALLOWED), found


def test_clocks_are_seen() -> None:
    assert readings("import time\nx = time.monotonic()\n") == [2]
    assert readings("from time import perf_counter, sleep\n") == [1]
    assert readings("import os\nos.times()\n") == [2]
    assert readings("import time\ntime.sleep(1)\n") == []


def test_random_examples_have_no_deadline() -> None:
    assert settings().deadline is None
