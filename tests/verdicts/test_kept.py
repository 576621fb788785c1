"""What is kept of judgements: the same as a judge says who has judged nothing before."""

from __future__ import annotations

import random
from types import SimpleNamespace

import pytest

from advisor.decide.engine.model import Values
from advisor.decide.verdicts.decision_cache import KeptRules
from advisor.decide.verdicts.judge import Judge, keeper_facts
from advisor.decide.verdicts.what_would_change import outcomes_of, settled_share
from advisor.rulebook.conditions import leaves
from advisor.rulebook.read_rulebook import read_rulebook

BOOK = read_rulebook()
STATES = ("before", "open", "over", "unknown")
GRASSES = ("kentucky_bluegrass", "tall_fescue", "bermudagrass")


def drawn(chance: random.Random, judge: Judge, fact: str):
    """A value of a fact; numbers lie at its limits, beside them or anywhere."""
    kind = judge.kinds[fact]
    if chance.random() < 0.3:
        return None
    if kind.kind == "choice":
        return chance.choice(kind.values)
    if kind.kind == "flag":
        return chance.choice((True, False))
    operation = judge.operation
    trees = (operation.need, operation.ready, *(c.when for c in operation.conflicts))
    limits = [leaf.limit for tree in trees for leaf in leaves(tree)
              if leaf.fact == fact and isinstance(leaf.limit, float)]  # fmt: skip
    return chance.choice(limits) * chance.choice((0.9, 1.0, 1.0, 1.1)) if limits else 1.0


def test_a_kept_judgement_is_that_of_a_fresh_judge():
    """Asked again with one thing changed, so that what is kept by too little shows."""
    chance, rules, asked = random.Random(20_261_126), KeptRules(BOOK), 0
    for id in chance.sample(sorted(BOOK.operations), 8):
        fits = [grass for grass in GRASSES if grass in BOOK.operations[id].grasses]
        judges = {
            grass: Judge(BOOK.operations[id].for_grass(BOOK.grasses[grass]), BOOK.vocabulary)
            for grass in fits
        }
        for _ in range(3):
            grass, state, lasting, units = fits[0], chance.choice(STATES), None, "us"
            facts = [fact for fact in judges[grass].kinds if "." not in fact or "wanted" in fact]
            values: Values = {fact: drawn(chance, judges[grass], fact) for fact in facts}
            for _ in range(14):
                own = rules.operation(id, grass)
                judge = judges[grass]
                fresh = (judge.judge(values, state, lasting),
                         outcomes_of(judge, values, state, lasting, units))  # fmt: skip
                assert rules.judged(own, grass, values, state, lasting, units) == fresh
                asked += 1
                of = SimpleNamespace(
                    operation=own.operation,
                    grass=grass,
                    values=values,
                    outlook=SimpleNamespace(state=state),
                    lasting=lasting,
                )
                for fact in keeper_facts(own.operation, BOOK.vocabulary)[:3]:
                    alone = settled_share(of, fact, BOOK.vocabulary)
                    assert rules.settled(of, fact) == alone
                what = chance.randrange(9)
                grass = chance.choice(fits) if what == 0 else grass
                state = chance.choice(STATES) if what == 1 else state
                lasting = chance.choice((True, False, None)) if what == 2 else lasting
                units = chance.choice(("us", "metric")) if what == 3 else units
                if what > 3:
                    fact = chance.choice(facts)
                    values = {**values, fact: drawn(chance, judges[grass], fact)}
    assert rules.distinct < asked, "none was asked for twice"


@pytest.mark.parametrize("id", sorted(BOOK.operations))
def test_the_gates_after_one_change_are_as_if_read_anew(id):
    chance, operation = random.Random(id), BOOK.operations[id]
    grass = BOOK.grasses[sorted(operation.grasses)[0]]
    judge = Judge(operation.for_grass(grass), BOOK.vocabulary)
    turned = 0
    values = {fact: drawn(chance, judge, fact) for fact in judge.kinds}
    truths = judge.truths(values)
    for _ in range(100):
        fact = chance.choice(sorted(judge.kinds))
        values = {**values, fact: drawn(chance, judge, fact)}
        after = judge.truths_after(truths, fact, values)
        assert after == judge.truths(values)
        turned += after != truths
        truths = after
    assert turned
