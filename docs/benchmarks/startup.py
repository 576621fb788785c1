"""How long warm commands take, as multiples of `python -c "import pandas"` on the same machine.

The whole process is timed, from start to exit: the demo site, which has 30 years of daily weather.
Two states of the machine:

- warm: everything was run once before;
- cold: nothing kept in the cache folder and no compiled bytecode, for both commands alike (each
  run gets empty cache folders of its own). The operating system's own file cache stays as it is,
  because emptying it takes a superuser, so this is not the first run after a reboot. Only `ask` is
  timed.

All commands take turns with the import, so that a busy moment hits each; the smallest times are
compared, and the medians stand beside them. Processor time (user and system) is judged, which a
busy machine disturbs less; the ratio of wall-clock time stands beside it.

    python docs/benchmarks/startup.py [--runs 7] [--only warm]

Exits with 1 if a ratio is over its target.
"""

from __future__ import annotations

import argparse
import os
import platform
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

DAY = "2026-09-05"
COMMANDS = {
    "ask": ["should I dethatch this year"],
    "week": [],
    "year": [],
    "weekends": [],
    "workplan": ["--from", "2026-09-12"],
    "amounts": [],
}
"""What each command is given besides the site and the day."""
TARGETS = {
    "warm": {
        "ask": 1.35, "week": 2.1, "year": 2.4, "weekends": 2.1, "workplan": 2.2, "amounts": 1.95,
    },
    "cold": {"ask": 3.0},
}  # fmt: skip


def _seconds(arguments: list[str], caches: Path) -> tuple[float, float]:
    """Wall-clock and processor seconds of one run of Python with its caches in the given folder.

    Raises `SystemExit` if the command fails.
    """
    ours = ("PYTHONDONTWRITEBYTECODE", "PYTHONPATH")
    environment = {k: v for k, v in os.environ.items() if k not in ours}
    # `-m` would take the package from the folder it runs in; run elsewhere, like a keeper.
    environment |= {"XDG_CACHE_HOME": str(caches), "PYTHONPYCACHEPREFIX": str(caches / "bytecode")}
    before = _used()
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
    if done.returncode:
        raise SystemExit(f"{' '.join(arguments)}: exit {done.returncode}\n{done.stderr}")
    return wall, _used() - before


def _used() -> float:
    """Processor seconds of all runs that have ended."""
    found = resource.getrusage(resource.RUSAGE_CHILDREN)
    return found.ru_utime + found.ru_stime


def _compare(state: str, site: Path, runs: int) -> bool:
    targets = TARGETS[state]
    commands = {"import pandas": ["-c", "import pandas"]} | {
        name: ["-m", "advisor", name, str(site), *COMMANDS[name], "--on", DAY] for name in targets
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
    pandas = times.pop("import pandas")
    print(f"{state}: import pandas {_said(pandas)}")
    found = [_judged(name, taken, pandas, targets[name]) for name, taken in times.items()]
    return all(found)


def _judged(
    name: str, taken: list[tuple[float, float]], pandas: list[tuple[float, float]], target: float
) -> bool:
    """Print a command's ratios; whether that of the smallest processor times is on target."""
    (wall, used), (wall_import, used_import) = (
        [[run[i] for run in runs] for i in (0, 1)] for runs in (taken, pandas)
    )
    least = min(used) / min(used_import)
    middle = statistics.median(used) / statistics.median(used_import)
    print(
        f"  {name:9} {least:.2f} (median {middle:.2f}, wall {min(wall) / min(wall_import):.2f}; "
        f"target {target}: {'met' if least <= target else 'MISSED'})  {_said(taken)}"
    )
    return least <= target


def _said(taken: list[tuple[float, float]]) -> str:
    used = [used for _, used in taken]
    return f"{min(used):.3f} s, median {statistics.median(used):.3f} s"


def main() -> int:
    """Print all ratios."""
    parser = argparse.ArgumentParser(description="Time warm commands against import pandas.")
    parser.add_argument("--runs", type=int, default=7, help="runs of each command and state")
    parser.add_argument("--only", choices=TARGETS, help="one state of the machine")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        demo = [sys.executable, "-m", "advisor", "demo", "--to", folder]
        subprocess.run(demo, stdout=subprocess.DEVNULL, check=True)
        site = Path(folder) / "site"
        with (site / "weather.csv").open(encoding="utf-8") as file:
            days = sum(1 for line in file if line[:1].isdigit())
        print(
            f"Python {platform.python_version()}, {os.cpu_count()} cores, {days / 365.25:.1f} "
            f"years of daily weather, processor time, the smallest of {given.runs}"
        )
        states = [given.only] if given.only else list(TARGETS)
        met = [_compare(state, site, given.runs) for state in states]
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
