"""How long the rule book takes: from the cache, and cold with all its checks.

- from cache: `read_rulebook()` in a fresh process after one that filled the cache, and every
  operation, source and example opened, so that nothing lazy is left out;
- one answer's share: the same without opening anything but one operation;
- cold read: every file parsed and checked without a cache;
- cold read and proof: the same, and then every inline example judged by the engine and every
  condition shown to decide one, which is what `advisor rules check` does.

Each is timed inside a process of its own, after the imports, which `startup.py` times. Wall-clock
time is judged; processor time, which a busy machine disturbs less, stands beside it.

    python docs/benchmarks/rulebook.py [--runs 7]

Exits with 1 if a median is over its target.
"""

from __future__ import annotations

import argparse
import os
import platform
import statistics
import subprocess
import sys
import tempfile

TARGETS = {
    "from cache": 0.3,
    "one answer's share": 0.3,
    "cold read": 1.5,
    "cold read and proof": 1.5,
}
"""Seconds."""

_TIMED = """
import time
from advisor.rulebook.parse_rulebook import parse_rulebook
from advisor.rulebook.prove import check_examples
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.decide.verdicts.example_judge import EngineExampleJudge
import advisor.cli
start, used = time.perf_counter(), time.process_time()
{work}
taken, used = time.perf_counter() - start, time.process_time() - used
examples = sum(len(operation.examples) for operation in book.operations.values())
print(taken, used, len(book.operations), len(book.grasses), examples)
"""
_WORK = {
    "from cache": (
        "book = read_rulebook()\n"
        "opened = [list(o.examples) for o in book.operations.values()], list(book.sources.values())"
    ),
    "one answer's share": "book = read_rulebook()\nbook.operations['overseeding']",
    "cold read": "book = read_rulebook(cache=False)",
    "cold read and proof": (
        "book = read_rulebook(cache=False)\n"
        "check_examples(book, EngineExampleJudge(book.vocabulary))"
    ),
}


def _run(work: str, caches: str) -> list[str]:
    code = _TIMED.replace("{work}", work)
    environment = os.environ | {"XDG_CACHE_HOME": caches}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    return done.stdout.split()


def main() -> int:
    """Print the medians beside their targets."""
    parser = argparse.ArgumentParser(description="Time reading and checking the rule book.")
    parser.add_argument("--runs", type=int, default=7, help="processes of each kind")
    runs = parser.parse_args().runs
    met = True
    with tempfile.TemporaryDirectory() as caches:
        _, _, operations, grasses, examples = _run(_WORK["from cache"], caches)
        print(
            f"Python {platform.python_version()}, {os.cpu_count()} cores; {operations} operations, "
            f"{grasses} grasses, {examples} examples; medians of {runs}"
        )
        for name, work in _WORK.items():
            runs_done = [_run(work, caches) for _ in range(runs)]
            taken = [float(wall) for wall, *_ in runs_done]
            used = statistics.median(float(processor) for _, processor, *_ in runs_done)
            median = statistics.median(taken)
            good = median <= TARGETS[name]
            met = met and good
            print(
                f"{name}: {median:.3f} s ({min(taken):.3f} to {max(taken):.3f}; "
                f"target {TARGETS[name]} s: {'met' if good else 'MISSED'}); processor {used:.3f} s"
            )
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
