"""A forked command does what one in an interpreter of its own does."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import forked
import pytest


@pytest.mark.parametrize(
    ("words", "typed", "status"),
    [
        (("rules", "show", "lime"), b"", 0),
        (("week", "nowhere"), b"", 2),
        (("identify",), b"3\n?\n1\n1\n1\n1\n1\n1\n", 0),
        (("wek",), b"", 2),
    ],
)
def test_it_says_the_same(
    words: tuple[str, ...], typed: bytes, status: int, tmp_path: Path
) -> None:
    whole = subprocess.run(
        [sys.executable, "-m", "advisor", *words], input=typed, capture_output=True, cwd=tmp_path,
        check=False,
    )  # fmt: skip
    forked_one = forked.advisor(*words, stdin=typed, cwd=tmp_path, text=False)
    assert (whole.returncode, forked_one.returncode) == (status, status)
    assert forked_one.stdout == whole.stdout
    # The parser names the program as it was started.
    assert forked_one.stderr == whole.stderr.replace(b"python -m advisor", b"advisor")


def test_it_leaves_nothing_behind(tmp_path: Path) -> None:
    before = Path.cwd(), dict(os.environ), sys.argv, sys.stdout
    forked.advisor("week", "nowhere", cwd=tmp_path)
    assert (Path.cwd(), dict(os.environ), sys.argv, sys.stdout) == before


def test_a_fault_is_told() -> None:
    done = forked.advisor("week", "a\0b", "--on", object())
    assert done.returncode != 0
    assert done.stderr
