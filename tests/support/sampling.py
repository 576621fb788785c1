"""Which cases of a large grid run now: a sample, drawn anew for each commit; the rest are long.

`@pytest.mark.sample(6)` on a parametrised test leaves six of its cases in the short set and marks
the others `long`. `--sample 40` keeps forty of the tests that were selected, of each test one case
before of any two. What is drawn hangs on TEST_SEED; without it on the newest commit's date.
"""

from __future__ import annotations

import os
import random
import subprocess
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TypeVar

import pytest

SEED = "TEST_SEED"
T = TypeVar("T")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--sample", type=int, help="run so many of the tests, drawn by TEST_SEED")


def pytest_configure() -> None:
    # Before the workers start, so that all of them draw the same.
    if not os.environ.get(SEED):
        os.environ[SEED] = seed_of_checkout(Path(__file__).parent)


@pytest.hookimpl(wrapper=True)
def pytest_collection_modifyitems(
    config: pytest.Config, items: list[pytest.Item]
) -> Iterator[None]:
    mark_the_rest_long(items)
    yield  # here `-m` leaves out what is long
    if config.option.sample is not None:
        keep_a_sample(config, items, config.option.sample)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    terminalreporter.write_line(f"Samples drawn with {SEED}={seed()}")


def seed_of_checkout(folder: Path) -> str:
    """The newest commit's date; "0" where git does not tell of one."""
    asked = ["git", "-C", str(folder), "log", "-1", "--format=%cI"]
    try:
        said = subprocess.run(asked, capture_output=True, text=True, check=False).stdout.strip()
    except OSError:
        said = ""
    return said or "0"


def seed() -> str:
    return os.environ[SEED]


def dice(name: str) -> random.Random:
    """Dice for a test that draws for itself: the same in every process of a run."""
    return random.Random(f"{seed()} {name}")


def drawn(cases: Sequence[T], number: int, name: str) -> list[T]:
    """So many of the cases, in their order."""
    kept = dice(name).sample(range(len(cases)), min(number, len(cases)))
    return [cases[at] for at in sorted(kept)]


def in_turn(groups: Sequence[Sequence[T]], number: int, name: str) -> list[T]:
    """So many of the cases of all groups: one of each group, then a second, and so on."""
    throw = dice(name)
    mixed = [throw.sample(group, len(group)) for group in throw.sample(groups, len(groups))]
    deepest = max(map(len, mixed), default=0)
    return [group[at] for at in range(deepest) for group in mixed if at < len(group)][:number]


def by_test(items: Sequence[pytest.Item]) -> dict[str, list[pytest.Item]]:
    """The cases of each test, by its name without what stands in brackets."""
    groups: dict[str, list[pytest.Item]] = {}
    for item in items:
        groups.setdefault(item.nodeid.partition("[")[0], []).append(item)
    return groups


def mark_the_rest_long(items: Sequence[pytest.Item]) -> None:
    for name, cases in by_test(items).items():
        asked = cases[0].get_closest_marker("sample")
        if asked is None:
            continue
        kept = drawn(cases, asked.args[0], name)
        for case in cases:
            if case not in kept:
                case.add_marker(pytest.mark.long)


def keep_a_sample(config: pytest.Config, items: list[pytest.Item], number: int) -> None:
    chosen = in_turn(list(by_test(items).values()), number, "--sample")
    left = [item for item in items if item not in chosen]
    config.hook.pytest_deselected(items=left)
    items[:] = [item for item in items if item in chosen]
