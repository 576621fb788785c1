"""Plans within limits, with machines from door to door, against the checker and brute force."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))  # for random_plans
from random_plans import (
    best_by_force,
    random_crew,
    random_days,
    random_limits,
    random_tasks,
    with_engines,
)

from advisor.planning.check_plan import plan_faults
from advisor.planning.make_plan import make_plan


@pytest.mark.sample(5)
@pytest.mark.parametrize("seed", range(100))
def test_every_random_plan_keeps_every_limit(seed: int) -> None:
    """50 for each seed, 5,000 in all."""
    rng = random.Random(1000 + seed)
    for _ in range(50):
        tasks = with_engines(random_tasks(rng, 8))
        days, crew = random_limits(rng, random_days(rng), random_crew(rng))
        assert plan_faults(make_plan(tasks, days, crew), tasks, days, crew) == []


@pytest.mark.sample(4)
@pytest.mark.parametrize("seed", range(20))
def test_as_cheap_as_brute_force_within_limits(seed: int) -> None:
    """10 for each seed, 200 in all."""
    rng = random.Random(2000 + seed)
    for number in range(10):
        tasks = with_engines(random_tasks(rng, 5))
        days, crew = random_limits(rng, random_days(rng)[:2], random_crew(rng))
        plan = make_plan(tasks, days, crew)
        assert plan_faults(plan, tasks, days, crew) == []
        assert plan.cost == pytest.approx(best_by_force(tasks, days, crew)), number
