"""A sample and what it leaves are the whole; whatever is long leaves something in the short set.

The runs are those of pytest itself, on files made here.
"""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
import sampling

HERE = Path(__file__).parent
TESTS = HERE.parent
GRID = """\
import pytest

@pytest.mark.sample(2)
@pytest.mark.parametrize("number", range(10))
def test_grid(number): pass

@pytest.mark.long
def test_long(): pass

def test_short(): pass
"""


def collected(folder: Path, *words: str, seed: str = "1") -> set[str]:
    (folder / "test_grid.py").write_text(GRID)
    (folder / "pytest.ini").write_text("[pytest]\nmarkers =\n  long: -\n  sample: -\n")
    words = ("-p", "sampling", "-p", "no:cacheprovider", "--collect-only", "-q", *words)
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *words, "test_grid.py"], cwd=folder, check=True,
        env={**os.environ, "PYTHONPATH": str(HERE), sampling.SEED: seed, "PYTEST_ADDOPTS": ""},
        capture_output=True, text=True,
    )  # fmt: skip
    assert f"Samples drawn with {sampling.SEED}={seed}\n" in done.stdout
    return set(re.findall(r"test_grid\.py::(\S+)", done.stdout))


@pytest.mark.slow
def test_short_and_long_are_the_whole(tmp_path: Path) -> None:
    short, long = collected(tmp_path, "-m", "not long"), collected(tmp_path, "-m", "long")
    assert len(short) == 3
    assert "test_short" in short
    assert "test_long" in long
    assert not short & long
    assert short | long == collected(tmp_path)
    assert collected(tmp_path, "-m", "long or sample") == {*long, *short} - {"test_short"}


def test_a_sample_of_the_long_ones_takes_each_test_before_a_second_case(tmp_path: Path) -> None:
    found = collected(tmp_path, "-m", "long", "--sample", "3")
    assert len(found) == 3
    assert "test_long" in found


def test_another_seed_draws_others_and_the_same_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    found = set()
    for seed in ("2026-11-01", "2026-11-02", "2026-11-03", "2026-11-03"):
        monkeypatch.setenv(sampling.SEED, seed)
        found.add(tuple(sampling.drawn(range(50), 5, "a test")))
    assert len(found) == 3
    assert all(len(set(cases)) == 5 and list(cases) == sorted(cases) for cases in found)
    assert sampling.drawn(range(3), 5, "a test") == [0, 1, 2]


def called(function: ast.FunctionDef) -> set[str]:
    names = (node.func for node in ast.walk(function) if isinstance(node, ast.Call))
    return {name.id for name in names if isinstance(name, ast.Name)}


def test_each_long_test_has_a_short_one_that_checks_the_same() -> None:
    """Both call the function of their file that asserts."""
    seen = 0
    for path in TESTS.rglob("test_*.py"):
        text = path.read_text(encoding="utf-8")
        if "pytest.mark.long" not in text or path == Path(__file__):
            continue
        functions = [f for f in ast.parse(text).body if isinstance(f, ast.FunctionDef)]
        asserting = {
            f.name for f in functions if any(isinstance(n, ast.Assert) for n in ast.walk(f))
        }
        tests = [f for f in functions if f.name.startswith("test_")]
        long = [f for f in tests if "pytest.mark.long" in map(ast.unparse, f.decorator_list)]
        for each in long:
            others = [called(f) for f in tests if f not in long]
            assert any(called(each) & asserting & other for other in others), (path, each.name)
            seen += 1
    assert seen >= 3
