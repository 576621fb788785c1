"""How long `advisor ask` takes, as a multiple of `python -c "import pandas"` on the same machine.

The whole process is timed, from start to exit: the demo site, which has 30 years of daily weather,
and one question. Two states of the machine:

- warm: everything was run once before;
- cold: no parsed rule book and no compiled bytecode, for both commands alike (each run gets empty
  cache folders of its own). The operating system's own file cache stays as it is, because emptying
  it takes a superuser, so this is not the first run after a reboot.

The two commands take turns, so that a busy moment hits both; the medians are compared. Wall-clock
time is judged; the ratio of processor time, which a busy machine disturbs less, stands beside it.

    python docs/benchmarks/startup.py [--runs 7]

Exits with 1 if a ratio is over its target.
"""

from __future__ import annotations

import argparse
import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

TARGETS = {"warm": 1.6, "cold": 3.0}
QUESTION = "should I dethatch this year"
DAY = "2026-09-05"


def _seconds(arguments: list[str], caches: Path) -> tuple[float, float]:
    """Wall-clock and processor seconds of one run of Python with its caches in the given folder.

    Raises `SystemExit` if the command fails.
    """
    ours = ("PYTHONDONTWRITEBYTECODE", "PYTHONPATH")
    environment = {k: v for k, v in os.environ.items() if k not in ours}
    # `-m` would take the package from the folder it runs in; run elsewhere, like a keeper.
    environment |= {"XDG_CACHE_HOME": str(caches), "PYTHONPYCACHEPREFIX": str(caches / "bytecode")}
    before = os.times()
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=caches,
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    wall = time.perf_counter() - start
    after = os.times()
    if done.returncode:
        raise SystemExit(f"{' '.join(arguments)}: exit {done.returncode}\n{done.stderr}")
    used = after.children_user + after.children_system
    return wall, used - before.children_user - before.children_system


def _compare(state: str, site: Path, runs: int) -> bool:
    commands = {
        "ask": ["-m", "advisor", "ask", str(site), QUESTION, "--on", DAY],
        "import": ["-c", "import pandas"],
    }
    times: dict[str, list[tuple[float, float]]] = {name: [] for name in commands}
    with tempfile.TemporaryDirectory() as folder:
        shared = Path(folder) / "warm"
        shared.mkdir()
        if state == "warm":
            for arguments in commands.values():
                _seconds(arguments, shared)
        for run in range(runs):
            for name, arguments in commands.items():
                own = Path(folder) / f"{name}{run}"
                own.mkdir()
                times[name].append(_seconds(arguments, shared if state == "warm" else own))
    walls = {name: [wall for wall, _ in taken] for name, taken in times.items()}
    ask, pandas = (statistics.median(walls[name]) for name in commands)
    used = [statistics.median(processor for _, processor in times[name]) for name in commands]
    met = ask / pandas <= TARGETS[state]
    print(
        f"{state}: advisor ask {ask:.2f} s, import pandas {pandas:.2f} s, ratio {ask / pandas:.2f} "
        f"(target {TARGETS[state]}: {'met' if met else 'MISSED'}); processor time "
        f"{used[0]:.2f} and {used[1]:.2f} s, ratio {used[0] / used[1]:.2f}"
    )
    for name, taken in walls.items():
        print(f"  {name}: {min(taken):.2f} to {max(taken):.2f} s")
    return met


def main() -> int:
    """Print both ratios."""
    parser = argparse.ArgumentParser(description="Time advisor ask against import pandas.")
    parser.add_argument("--runs", type=int, default=7, help="runs of each command and state")
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as folder:
        demo = [sys.executable, "-m", "advisor", "demo", "--to", folder]
        subprocess.run(demo, stdout=subprocess.DEVNULL, check=True)
        site = Path(folder) / "site"
        with (site / "weather.csv").open(encoding="utf-8") as file:
            days = sum(1 for line in file if line[:1].isdigit())
        print(
            f"Python {platform.python_version()}, {os.cpu_count()} cores, {days / 365.25:.1f} "
            f"years of daily weather, medians of {runs}"
        )
        met = [_compare(state, site, runs) for state in TARGETS]
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
