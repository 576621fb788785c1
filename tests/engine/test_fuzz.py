"""Random programs: the engine and the plain reader agree, and the harness notices when not."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

FUZZ = str(Path(__file__).with_name("long_fuzz.py"))
Run = Callable[..., subprocess.CompletedProcess[str]]


def fuzz(run_python: Run, *arguments: str) -> dict[str, int]:
    done = run_python(FUZZ, *arguments)
    assert done.stdout, done.stderr
    counted: dict[str, int] = json.loads(done.stdout.splitlines()[-1])
    return counted


@pytest.mark.slow
@pytest.mark.sample(1)
@pytest.mark.parametrize("seed", range(20260905, 20260909))
def test_engine_agrees_with_the_plain_reader(run_python: Run, seed: int) -> None:
    found = fuzz(run_python, "--evaluations", "5000", "--seed", str(seed))
    assert (found["mismatches"], found["faults"], found["crashes"]) == (0, 0, 0)
    assert found["evaluations"] == 5_000
    assert min(found["true"], found["false"], found["unknown"]) > 2_500
    assert found["refused"] < found["rulesets"] / 20


@pytest.mark.parametrize("sabotage", ["complement", "dist", "numbers", "unknown"])
def test_a_broken_encoding_is_noticed(run_python: Run, sabotage: str) -> None:
    found = fuzz(run_python, "--evaluations", "300", "--seed", "3", "--sabotage", sabotage)
    if sabotage == "numbers" and found["crashes"]:
        return  # what the engine does after a number it cannot read is left to chance
    assert found["mismatches"] + found["faults"] > 5
    if sabotage in ("complement", "dist"):
        assert found["mismatches"] > 5


def test_a_crash_is_counted(run_python: Run) -> None:
    found = fuzz(run_python, "--evaluations", "10", "--processes", "2", "--sabotage", "crash")
    assert found["crashes"] == 2
