"""Random formulas, tables, effects and facts, made to hit limits exactly and often be unknown."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from random import Random

from advisor.decide.engine.model import (
    CONCLUSION,
    TRUTH_STATES,
    UNKNOWN,
    Combination,
    Effect,
    FactKind,
    Formula,
    Table,
)
from advisor.facts.fact import Value
from advisor.rulebook.conditions import Condition, Group, Leaf

EXTREME = (
    1e-05,
    1e22,
    5e-324,
    1.7e308,
    -1e-7,
    -0.0,
    0,
    2**53,
    -(2**53),
    0.1,
    1 / 3,
    1e16,
    123456789.123456,
)
FIRST_DAY = dt.date(2024, 1, 1).toordinal()
WINDOW = ("before", "open", "over")
VERDICTS = ("do", "hold", "wait", "missed", "measure", "not_needed")


@dataclass(frozen=True)
class Case:
    """One random program; `limits` are those that its leaves used, by fact."""

    kinds: dict[str, FactKind]
    formulas: dict[str, Formula]
    table: Table
    effects: list[Effect]
    limits: dict[str, list[float]]


def random_case(rng: Random) -> Case:
    kinds = {f"n{i}": FactKind("number") for i in range(rng.randint(2, 12))}
    for i in range(2):
        kinds[f"c{i}"] = FactKind("choice", tuple(f"v{j}" for j in range(rng.randint(2, 6))))
        kinds[f"f{i}"] = FactKind("flag")
        kinds[f"d{i}"] = FactKind("date")
    kinds["window_state"] = FactKind("choice", WINDOW)
    limits: dict[str, list[float]] = {name: [] for name in kinds}
    formulas: dict[str, Formula] = {
        name: random_tree(rng, kinds, limits, rng.randint(0, 4))
        for name in ["need", "ready", *(f"conflict.{i}" for i in range(rng.randint(0, 5)))]
    }
    conflicts = tuple(name for name in formulas if name.startswith("conflict."))
    formulas["conflict"] = Combination("any", conflicts)
    for i in range(rng.randint(0, 3)):
        of = tuple(rng.choices(list(formulas), k=rng.randint(0, 4)))
        formulas[f"mixed{i}"] = Combination(rng.choice(["all", "any", "none"]), of)
    shuffled = list(formulas.items())
    rng.shuffle(shuffled)
    table = random_table(rng, formulas, kinds)
    return Case(kinds, dict(shuffled), table, random_effects(rng, table, kinds), limits)


def random_tree(
    rng: Random, kinds: dict[str, FactKind], limits: dict[str, list[float]], depth: int
) -> Condition:
    if depth == 0 or rng.random() < 0.25:
        return random_leaf(rng, kinds, limits)
    many = rng.random() < 0.05
    size = rng.randint(10, 24) if many else rng.choice([1, 2, 2, 3, 3, 4, 5])
    parts = tuple(random_tree(rng, kinds, limits, depth - 1) for _ in range(size))
    return Group(rng.choice(["all", "all", "any", "any", "none"]), parts)


def random_leaf(rng: Random, kinds: dict[str, FactKind], limits: dict[str, list[float]]) -> Leaf:
    fact = rng.choice(list(kinds))
    kind = kinds[fact]
    if rng.random() < 0.06:
        return Leaf(fact, "known", rng.random() < 0.5)
    if kind.kind in ("flag", "choice"):
        values: tuple[Value, ...] = kind.values or (False, True)
        if rng.random() < 0.5:
            return Leaf(fact, rng.choice(["is", "is_not"]), rng.choice(values))
        some = tuple(rng.sample(values, rng.randint(1, len(values))))
        return Leaf(fact, rng.choice(["one_of", "none_of"]), some)
    if rng.random() < 0.15:
        several = tuple(_limit(rng, kind, limits[fact]) for _ in range(rng.randint(1, 4)))
        return Leaf(fact, rng.choice(["one_of", "none_of"]), several)
    comparison = rng.choice(["over", "under", "at_least", "at_most"] * 2 + ["is", "is_not"])
    return Leaf(fact, comparison, _limit(rng, kind, limits[fact]))


def random_table(rng: Random, formulas: dict[str, Formula], kinds: dict[str, FactKind]) -> Table:
    """Rows made by splitting the space of all states again and again, so that they are disjoint."""
    names = ["need", "ready", "conflict", "window_state"]
    names += rng.sample(["f0", "c0"], rng.randint(0, 1))
    states = {
        n: TRUTH_STATES if n in formulas or n == "f0" else (*kinds[n].values, UNKNOWN)
        for n in names
    }
    rows: list[tuple[dict[str, str], str]] = []

    def split(region: dict[str, tuple[str, ...]]) -> None:
        open_names = [n for n in names if len(region[n]) > 1]
        if not open_names or rng.random() < 0.12:
            when = {n: "|".join(s) for n, s in region.items() if len(s) < len(states[n])}
            rows.append((when, rng.choice(VERDICTS)))
            return
        name = rng.choice(open_names)
        mixed = rng.sample(region[name], len(region[name]))
        cut = rng.randint(1, len(mixed) - 1)
        split({**region, name: tuple(mixed[:cut])})
        split({**region, name: tuple(mixed[cut:])})

    split(states)
    rng.shuffle(rows)
    return Table(states, rows)


def random_effects(rng: Random, table: Table, kinds: dict[str, FactKind]) -> list[Effect]:
    states = dict(table.inputs)
    states[CONCLUSION] = tuple(dict.fromkeys(conclusion for _, conclusion in table.rows))
    states["f1"] = TRUTH_STATES
    effects = []
    for _ in range(rng.randint(0, 5)):
        when = {}
        for name in rng.sample(list(states), rng.randint(0, 3)):
            wanted = rng.sample(states[name], rng.randint(1, min(2, len(states[name]))))
            when[name] = "|".join(wanted)
        effects.append(Effect(f"effect{rng.randint(0, 2)}", when))
    return effects


def random_values(rng: Random, case: Case, unknown: float) -> dict[str, Value | None]:
    """One day's facts in random order, of which the share `unknown` is not known."""
    found: dict[str, Value | None] = {}
    for name in rng.sample(list(case.kinds), len(case.kinds)):
        kind = case.kinds[name]
        if rng.random() < unknown:
            if rng.random() < 0.5:
                found[name] = None
        elif kind.kind in ("flag", "choice"):
            found[name] = rng.choice(kind.values or (False, True))
        else:
            found[name] = _limit(rng, kind, list(case.limits[name]))
    return found


def _limit(rng: Random, kind: FactKind, used: list[float]) -> float:
    if used and rng.random() < 0.5:
        limit = rng.choice(used)
    elif kind.kind == "date":
        limit = FIRST_DAY + rng.randint(0, 60)
    elif rng.random() < 0.04:
        limit = rng.choice(EXTREME)
    else:
        limit = round(rng.uniform(-50, 50), rng.randint(0, 6))
    used.append(limit)
    return limit
