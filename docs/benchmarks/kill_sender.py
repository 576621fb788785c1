"""Kill senders many times and count doubles and losses, for each policy.

    python docs/benchmarks/kill_sender.py --kills 500 --senders 2 --store postgresql

It needs the `test` extra. `--store postgresql` starts a server of its own, whose programs must be
installed. Seeds are fixed; when a kill strikes depends on the machine all the same.
"""

from __future__ import annotations

import argparse
import contextlib
import signal
import sys
import tempfile
import time
from pathlib import Path

SUPPORT = Path(__file__).resolve().parents[2] / "tests" / "delivery" / "support"
POLICIES = ("reconcile", "hold", "resend")
HEAD = ("store", "policy", "senders", "seed", "mails", "kills", "struck", "crashes", "doubles",
        "lost", "unknown", "not taken", "seconds")  # fmt: skip


def main(given: argparse.Namespace) -> int:
    """Print a table; the number of broken promises."""
    sys.path.insert(0, str(SUPPORT))
    from postgres import Cluster, cluster

    print(*HEAD, sep="\t", flush=True)
    with contextlib.ExitStack() as stack:
        running: Cluster | None = None
        if given.store == "postgresql":
            running = stack.enter_context(cluster(on_disk=True))
        runs = [(policy, seed) for policy in given.policy for seed in range(1, given.seeds + 1)]
        return sum(one_run(given, policy, seed, running) for policy, seed in runs)


def one_run(given: argparse.Namespace, policy: str, seed: int, running: object) -> int:
    """One edition, sent to its end; the number of broken promises."""
    from kills import kill_often

    crashes = 0

    def crash(number: int) -> None:
        """Stop the database below running senders, as a crash would, and start it again."""
        nonlocal crashes
        if running is not None and crashes < given.crashes and number % 5 == 4:
            running.stop(signal.SIGQUIT)  # type: ignore[attr-defined]
            time.sleep(0.1)
            running.start()  # type: ignore[attr-defined]
            time.sleep(0.3)
            crashes += 1

    began = time.perf_counter()
    mails = given.kills * 6
    with tempfile.TemporaryDirectory() as folder:
        url = running.database() if running is not None else ""  # type: ignore[attr-defined]
        result = kill_often(
            Path(folder), policy, given.kills, seed, readers=mails, faults=10,
            senders=given.senders, url=url, strike=crash,
        )  # fmt: skip
    seconds = f"{time.perf_counter() - began:.0f}"
    row = (
        given.store, policy, given.senders, seed, mails, result.kills, result.struck, crashes,
        result.doubles, result.lost, result.unknown, result.undelivered, seconds,
    )  # fmt: skip
    print(*row, sep="\t", flush=True)
    doubles = result.doubles if policy != "resend" else 0
    return result.lost + result.wrong + doubles


if __name__ == "__main__":
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    words.add_argument("--kills", type=int, default=500)
    words.add_argument("--senders", type=int, default=1)
    words.add_argument("--seeds", type=int, default=1)
    words.add_argument("--store", choices=("sqlite", "postgresql"), default="sqlite")
    words.add_argument("--policy", choices=POLICIES, nargs="+", default=POLICIES)
    words.add_argument("--crashes", type=int, default=0, help="of PostgreSQL itself")
    sys.exit(bool(main(words.parse_args())))
