"""A wait is declared once and holds both ways: no state of facts has both jobs done inside it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.base.problems import BadInput, Problems
from advisor.base.record import replace
from advisor.decide.engine.plain import truth
from advisor.decide.verdicts.judge import Judge
from advisor.facts.fact import FactDefinition
from advisor.rulebook.model import Example, Operation
from advisor.rulebook.order import Wait
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.rulebook.waits import expand_waits

BOOK = read_rulebook(cache=False)
WAITS = [wait for o in BOOK.operations.values() for wait in o.waits]
PAIRS = [(w, first, later) for w in WAITS for first in w.after for later in w.blocks]
IDS = [f"{w.name}-{first}-{later}" for w, first, later in PAIRS]
ENOUGH = settings(max_examples=150)


def values_of(definition: FactDefinition) -> st.SearchStrategy[float | bool | str | None]:
    """Any value of a fact, or that it is unknown."""
    if definition.kind == "flag":
        return st.sampled_from([True, False, None])
    if definition.kind == "choice":
        return st.sampled_from([*definition.choices, None])
    low = definition.lowest if definition.lowest is not None else -50.0
    high = definition.highest if definition.highest is not None else 400.0
    return st.one_of(st.none(), st.floats(low, high))


def verdict(operation: Operation, facts: dict[str, float | bool | str | None]) -> str:
    """In season, since out of it nothing may be done anyway."""
    return Judge(operation, BOOK.vocabulary).what_if(facts, "open", None)


def done_examples(operation: str, wait: Wait) -> list[Example]:
    """Examples of the file in which the job is to be done, on a grass that the wait is for."""
    return [
        e
        for e in BOOK.operations[operation].examples
        if not e.of and e.expect == "do" and (not wait.grasses or e.grass in wait.grasses)
    ]


def facts_near(
    draw: Callable[[st.SearchStrategy[Any]], Any], example: Example, operation: Operation
) -> dict[str, float | bool | str | None]:
    """The facts of an example in which the job is to be done, with some of them changed at will."""
    kinds = Judge(operation, BOOK.vocabulary).kinds
    names = sorted(name for name in kinds if name in BOOK.vocabulary)
    changed = draw(st.lists(st.sampled_from(names), max_size=4, unique=True))
    other = {name: draw(values_of(BOOK.vocabulary[name])) for name in changed}
    return {**example.facts, **other}


def with_wait(
    facts: dict[str, float | bool | str | None], wait: Wait, name: str, days: float, *, ahead: bool
) -> dict[str, float | bool | str | None]:
    """The facts with the wait running (`name`: the job done) or lying ahead (the job planned)."""
    if ahead:
        reached = {f"wait_reaches.{name}": True} if wait.days is None else {f"days_to.{name}": days}
        planned = f"wanted.{name}" if wait.rather else f"intended.{name}"
        return {**facts, planned: True, **reached}
    if wait.days is None:
        return {**facts, "seeding_wait_left": max(days, 1.0)}
    return {**facts, f"days_since.{name}": days}


def days_within(wait: Wait) -> st.SearchStrategy[float]:
    return st.floats(0, wait.days or 400.0, exclude_max=True)


@pytest.mark.sample(10)
@pytest.mark.parametrize(("wait", "first", "later"), PAIRS, ids=IDS)
@ENOUGH
@given(data=st.data())
def test_nothing_blocked_is_done_while_the_wait_runs(
    wait: Wait, first: str, later: str, data: st.DataObject
) -> None:
    example = data.draw(st.sampled_from(done_examples(later, wait)))
    operation = BOOK.operations[later].for_grass(BOOK.grasses[example.grass])
    facts = facts_near(data.draw, example, operation)
    facts = with_wait(facts, wait, first, data.draw(days_within(wait)), ahead=False)
    assert verdict(operation, facts) != "do"


AHEAD = [(w, first, later) for w, first, later in PAIRS if w.ahead]


@pytest.mark.sample(4)
@pytest.mark.parametrize(
    ("wait", "first", "later"), AHEAD, ids=[f"{w.name}-{f}-{b}" for w, f, b in AHEAD]
)
@ENOUGH
@given(data=st.data())
def test_the_first_gives_way_to_what_is_planned_within_the_wait(
    wait: Wait, first: str, later: str, data: st.DataObject
) -> None:
    """So where the later job may be done today, the first may not: `do` implies `intended`."""
    example = data.draw(st.sampled_from(done_examples(first, wait)))
    operation = BOOK.operations[first].for_grass(BOOK.grasses[example.grass])
    facts = facts_near(data.draw, example, operation)
    facts = with_wait(facts, wait, later, data.draw(days_within(wait)), ahead=True)
    assert verdict(operation, facts) != "do"


@pytest.mark.parametrize(("wait", "first", "later"), PAIRS, ids=IDS)
def test_it_is_the_wait_that_stops_them(wait: Wait, first: str, later: str) -> None:
    """Without what follows from the wait the same facts come to `do`, in some example at least."""
    sides = [(later, first, False), *([(first, later, True)] if wait.ahead else [])]
    for asked, other, ahead in sides:
        stopped = []
        for example in done_examples(asked, wait):
            operation = BOOK.operations[asked].for_grass(BOOK.grasses[example.grass])
            kept = tuple(c for c in operation.conflicts if c.wait != wait.name)
            facts = with_wait(dict(example.facts), wait, other, 1.0, ahead=ahead)
            assert verdict(operation, facts) != "do", example.name
            stopped.append(verdict(replace(operation, conflicts=kept), facts) == "do")
        assert any(stopped), asked


@pytest.mark.parametrize(("wait", "first", "later"), PAIRS, ids=IDS)
def test_each_wait_ends_on_its_day(wait: Wait, first: str, later: str) -> None:
    by_wait = {c.id: c for c in BOOK.operations[later].conflicts if c.wait == wait.name}
    conflict = by_wait.get(wait.id) or by_wait[f"{wait.id}_{first}"]
    if wait.days is None:
        fact, inside, over = "seeding_wait_left", 1.0, 0.0
    else:
        fact, inside, over = f"days_since.{first}", wait.days - 1, wait.days
    assert truth(conflict.when, {fact: inside}) is True
    assert truth(conflict.when, {fact: over}) is False
    # Never done forbids nothing; a preventer that nobody remembers is asked for.
    assert truth(conflict.when, {}) is (None if wait.days is None else False)


@pytest.mark.parametrize(
    ("wait", "first", "later"), AHEAD, ids=[f"{w.name}-{f}-{b}" for w, f, b in AHEAD]
)
def test_a_plan_far_enough_off_forbids_nothing(wait: Wait, first: str, later: str) -> None:
    (conflict,) = (c for c in BOOK.operations[first].conflicts if c.id == f"{wait.id}_{later}")
    family = "wanted" if wait.rather else "intended"
    planned = {f"{family}.{later}": True}
    if wait.days is None:
        within, after = {f"wait_reaches.{later}": True}, {f"wait_reaches.{later}": False}
    else:
        within = {f"days_to.{later}": wait.days - 1}
        after = {f"days_to.{later}": wait.days}  # type: ignore[dict-item]
    assert truth(conflict.when, planned | within) is True
    assert truth(conflict.when, planned | after) is False
    assert truth(conflict.when, {f"{family}.{later}": False} | within) is False


RATHER = [(w, first, later) for w, first, later in AHEAD if w.rather]


@ENOUGH
@given(data=st.data())
def test_what_is_not_wished_for_gives_way_to_what_is_planned(data: st.DataObject) -> None:
    """`do` of the first implies that it is intended, so never both, wished for or not."""
    wait, first, later = data.draw(st.sampled_from(RATHER))
    example = data.draw(st.sampled_from(done_examples(later, wait)))
    operation = BOOK.operations[later].for_grass(BOOK.grasses[example.grass])
    facts = facts_near(data.draw, example, operation)
    unwished = {f"wanted.{later}": data.draw(st.sampled_from([False, None]))}
    assert verdict(operation, {**facts, f"intended.{first}": True, **unwished}) != "do"


def test_a_wish_stands_above_the_plan() -> None:
    for wait, first, later in RATHER:
        (conflict,) = (
            c for c in BOOK.operations[later].conflicts if c.id == f"{wait.id}_or_{first}"
        )
        planned = {f"intended.{first}": True}
        assert truth(conflict.when, planned) is True
        assert truth(conflict.when, planned | {f"wanted.{later}": True}) is False
        assert truth(conflict.when, {f"intended.{first}": False}) is False
        assert truth(conflict.when, {}) is False


def test_who_asks_for_either_hears_of_the_choice() -> None:
    for wait, first, later in AHEAD:
        for told_at, other in ((first, later), (later, first)):
            advice = {a.id: a for a in BOOK.operations[told_at].advice}
            assert advice[f"choice_{wait.id}_{other}"].says == wait.choice


def test_evidence_of_a_wait_is_known_wherever_it_reaches() -> None:
    for wait, first, later in PAIRS:
        for id in (first, later):
            operation = BOOK.operations[id]
            follows = [c for c in operation.conflicts if c.wait == wait.name]
            assert all(name in operation.evidence for c in follows for name in c.evidence)


def test_seed_waits_as_printed() -> None:
    """Nebraska (Lancaster 279-97): no broadleaf weed killer within a month before seed."""
    (month,) = (w for w in WAITS if w.name == "broadleaf_weeds.weed_killer")
    assert month.days == 30
    (preventer,) = (w for w in WAITS if w.name == "preemergent.preventer")
    assert preventer.days is None


def expand(*waits: Wait) -> list[str]:
    bare = {
        id: replace(
            o,
            waits=tuple(w for w in waits if w.declared == id),
            conflicts=tuple(c for c in o.conflicts if not c.wait),
            advice=tuple(a for a in o.advice if not a.wait),
        )
        for id, o in BOOK.operations.items()
    }
    problems = Problems()
    expand_waits(bare, problems)
    try:
        problems.raise_if_any()
    except BadInput as error:
        return [problem.what for problem in error.problems]
    return []


def test_two_waits_of_one_name_at_one_job_are_refused() -> None:
    one = next(w for w in WAITS if w.name == "broadleaf_weeds.weed_killer")
    other = replace(one, declared="preemergent", after=("preemergent",))
    assert any("rename the wait" in what for what in expand(one, other))
    assert expand(one) == []
