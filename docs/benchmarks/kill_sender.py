"""Kill senders many times and count doubles and losses, for each policy.

    python docs/benchmarks/kill_sender.py [KILLS] [SENDERS]

It needs the `test` extra. Seeds are fixed; when a kill strikes depends on the machine all the same.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

SUPPORT = Path(__file__).resolve().parents[2] / "tests" / "delivery" / "support"


def main(kills: int, senders: int) -> int:
    """Print a table; the number of broken promises."""
    sys.path.insert(0, str(SUPPORT))
    from kills import kill_often

    broken = 0
    print(f"{'policy':<10} {'kills':>5} {'doubles':>7} {'lost':>5} {'unknown':>7} {'seconds':>7}")
    for policy in ("reconcile", "hold", "resend"):
        began = time.perf_counter()
        with tempfile.TemporaryDirectory() as folder:
            result = kill_often(
                Path(folder), policy, kills, 11, readers=kills * 6, faults=10, senders=senders
            )
        seconds = time.perf_counter() - began
        print(
            f"{policy:<10} {result.kills:>5} {result.doubles:>7} {result.lost:>5} "
            f"{result.unknown:>7} {seconds:>7.0f}",
            flush=True,
        )
        broken += result.lost + result.wrong
        broken += result.doubles if policy != "resend" else 0
    return broken


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:3]]
    sys.exit(bool(main(*(given + [500, 1][len(given) :]))))
