"""Time of plans on 5,000 random crews, days and tasks, and how many could be proved the cheapest.

Run from the checkout: python docs/benchmarks/plans.py [SEED]. The limit is 0.2 s for 95 of
100 plans. Every plan is checked by the checker that knows nothing of how plans are made.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "planning")]

from random_plans import random_crew, random_days, random_tasks  # noqa: E402

from advisor.planning.check_plan import plan_faults  # noqa: E402
from advisor.planning.make_plan import make_plan  # noqa: E402

PLANS = 5_000
MOST_TASKS = 12
LIMIT_S = 0.2


def main() -> int:
    rng = random.Random(int(sys.argv[1]) if len(sys.argv) > 1 else 1)
    times, faults, proved = [], 0, 0
    for _ in range(PLANS):
        tasks, days, crew = random_tasks(rng, MOST_TASKS), random_days(rng), random_crew(rng)
        start = time.perf_counter()
        plan = make_plan(tasks, days, crew)
        times.append(time.perf_counter() - start)
        faults += bool(plan_faults(plan, tasks, days, crew))
        proved += plan.proved
    times.sort()
    p95 = times[int(0.95 * PLANS)]
    print(f"{PLANS} plans: {faults} break a rule, {proved} proved the cheapest of their kind")
    print(
        f"median {times[PLANS // 2] * 1000:.1f} ms, 95 % under {p95 * 1000:.0f} ms, "
        f"longest {times[-1] * 1000:.0f} ms"
    )
    return 0 if not faults and p95 <= LIMIT_S else 1


if __name__ == "__main__":
    sys.exit(main())
