"""Hold the engine to the plain reader on random programs and print how often they differ.

    python tests/engine/long_fuzz.py --evaluations 500000 --seed 1 --processes 2

`advisor` must be installed, or PYTHONPATH name the folder that holds it. Each process that dies
counts as a crash. `--sabotage` breaks the engine's side on purpose, to show that this harness can
fail.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from random import Random

from random_programs import Case, random_case, random_values

from advisor.base.record import replace
from advisor.decide.engine import encode, ruleset
from advisor.decide.engine.compile import compile_program
from advisor.decide.engine.model import EngineFault, Evaluation, FactKind, RuleSetError, Values
from advisor.decide.engine.plain import evaluate_plainly
from advisor.decide.engine.session import Session

SABOTAGE = ("complement", "dist", "numbers", "unknown", "crash")
DAYS = (20, 100, 300)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--evaluations", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--sabotage", choices=SABOTAGE)
    parser.add_argument("--worker", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.worker:
        print(json.dumps(run(asked.seed, asked.evaluations, asked.sabotage)))
        return 0
    started = time.perf_counter()
    share = -(-asked.evaluations // asked.processes)
    command = [sys.executable, __file__, "--worker", "--evaluations", str(share)]
    command += ["--sabotage", asked.sabotage] if asked.sabotage else []
    workers = [
        subprocess.Popen([*command, "--seed", str(asked.seed + i)], stdout=subprocess.PIPE)
        for i in range(asked.processes)
    ]
    outputs = [worker.communicate()[0] for worker in workers]
    crashes = sum(worker.returncode != 0 for worker in workers)
    total: dict[str, float] = {}
    for worker, output in zip(workers, outputs, strict=True):
        if worker.returncode == 0:
            for key, count in json.loads(output).items():
                total[key] = total.get(key, 0) + count
    total["crashes"] = crashes
    total["seconds"] = round(time.perf_counter() - started, 1)
    print(json.dumps(total))
    return int(bool(crashes or total.get("mismatches") or total.get("faults")))


def run(seed: int, evaluations: int, sabotage: str | None) -> dict[str, int]:
    """Compare until so many evaluations are done; the counts."""
    if sabotage:
        break_on_purpose(sabotage)
    rng = Random(seed)
    names = "rulesets refused evaluations mismatches faults true false unknown"
    count = dict.fromkeys(names.split(), 0)
    while count["evaluations"] < evaluations:
        case = random_case(rng)
        try:
            program = compile_program(case.formulas, case.kinds, case.table, case.effects)
        except RuleSetError:
            count["refused"] += 1
            continue
        count["rulesets"] += 1
        with Session(program) as session:
            compare(rng, case, session, count, evaluations)
    return count


def compare(
    rng: Random, case: Case, session: Session, count: dict[str, int], evaluations: int
) -> None:
    for _ in range(rng.choice(DAYS)):
        if count["evaluations"] >= evaluations:
            return
        values = random_values(rng, case, rng.choice([0, 0.1, 0.4, 0.9]))
        wanted = evaluate_plainly(case.formulas, values, case.table, case.effects)
        session.program = replace(session.program, kinds=shuffled(rng, session.program.kinds))
        count["evaluations"] += 1
        for truth in wanted.truths.values():
            count["unknown" if truth is None else str(truth).lower()] += 1
        try:
            found = session.evaluate(values)
        except EngineFault as error:
            count["faults"] += 1
            if count["faults"] < 4:
                print(f"fault: {error} at {values}", file=sys.stderr)
            continue
        if found != wanted:
            count["mismatches"] += 1
            if count["mismatches"] < 4:
                print(f"mismatch: {found} != {wanted} at {values}", file=sys.stderr)


def shuffled(rng: Random, kinds: Mapping[str, FactKind]) -> dict[str, FactKind]:
    """The order of a program's kinds is the order in which its facts reach the engine."""
    return dict(rng.sample(list(kinds.items()), len(kinds)))


def break_on_purpose(what: str) -> None:
    """Put a fault into the engine's side, and only there."""
    if what == "complement":
        encode.COMPLEMENT["under"] = "over"
    elif what == "dist":
        ruleset.DISTINCT_OFF = ""
    elif what == "numbers":
        encode.number_text = repr
    elif what == "crash":
        Session.evaluate = lambda *_: os.abort()
    else:
        Session.evaluate = _forgetting(Session.evaluate)


def _forgetting(evaluate: Callable[[Session, Values], Evaluation]) -> Callable[..., Evaluation]:
    """Leave out the second pass's facts, as if no formula were ever unknown."""

    def broken(self: Session, values: Values) -> Evaluation:
        self.program = replace(self.program, closed=())
        return evaluate(self, values)

    return broken


if __name__ == "__main__":
    sys.exit(main())
