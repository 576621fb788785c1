"""The committed table of verdicts: need 3 x window 4 x conflict 3 x ready 3 = 108 rows.

Written out from the order of thought, not from the program's own rows: `ROWS` lists, for each
(need, window, conflict), the verdicts for ready true, false, unknown. A conflict that outlasts the
window turns the holds of the conflict rows into `ruled_out`.
"""

from __future__ import annotations

from itertools import product

import pytest

from advisor.decide.engine.compile import compile_program
from advisor.decide.engine.model import FactKind
from advisor.decide.engine.session import Session
from advisor.decide.verdicts.judge import (
    CONFLICT,
    LASTING,
    NEED,
    READY,
    TABLE,
    WINDOW,
    WINDOW_STATES,
)
from advisor.rulebook.conditions import Leaf

NO, MI, WA, HO, ME, DO = "not_needed", "missed", "wait", "hold", "measure", "do"
# need, window, conflict: ready true, false, unknown
ROWS = """
true before false:   WA WA WA    true before true:   WA WA WA    true before unknown:   WA WA WA
true open false:     DO HO ME    true open true:     HO HO HO    true open unknown:     ME ME ME
true over false:     MI MI MI    true over true:     MI MI MI    true over unknown:     MI MI MI
true unknown false:  ME ME ME    true unknown true:  HO HO HO    true unknown unknown:  ME ME ME
false before false:  NO NO NO    false before true:  NO NO NO    false before unknown:  NO NO NO
false open false:    NO NO NO    false open true:    NO NO NO    false open unknown:    NO NO NO
false over false:    NO NO NO    false over true:    NO NO NO    false over unknown:    NO NO NO
false unknown false: NO NO NO    false unknown true: NO NO NO    false unknown unknown: NO NO NO
unknown before false:  WA WA WA  unknown before true:  WA WA WA  unknown before unknown:  WA WA WA
unknown open false:    ME ME ME  unknown open true:    HO HO HO  unknown open unknown:    ME ME ME
unknown over false:    MI MI MI  unknown over true:    MI MI MI  unknown over unknown:    MI MI MI
unknown unknown false: ME ME ME  unknown unknown true: HO HO HO  unknown unknown unknown: ME ME ME
"""
NAMES = {"NO": NO, "MI": MI, "WA": WA, "HO": HO, "ME": ME, "DO": DO}
VALUES = {"true": True, "false": False, "unknown": None}


def written_rows():
    words = ROWS.replace(":", " ").split()
    for i in range(0, len(words), 6):
        need, window, conflict = words[i : i + 3]
        for ready, verdict in zip(("true", "false", "unknown"), words[i + 3 : i + 6], strict=True):
            yield need, window, conflict, ready, NAMES[verdict]


@pytest.fixture(scope="module")
def session():
    flags = (NEED, READY, CONFLICT)
    kinds = {f"f_{name}": FactKind("flag") for name in flags}
    kinds |= {WINDOW: FactKind("choice", WINDOW_STATES), LASTING: FactKind("flag")}
    formulas = {name: Leaf(f"f_{name}", "is", True) for name in flags}
    with Session(compile_program(formulas, kinds, TABLE)) as made:
        yield made


def test_all_108_rows_are_written():
    keys = {row[:4] for row in written_rows()}
    truth = ("true", "false", "unknown")
    assert keys == set(product(truth, (*WINDOW_STATES, "unknown"), truth, truth))
    assert len(list(written_rows())) == 108


@pytest.mark.parametrize("lasting", [True, False, None])
@pytest.mark.parametrize(("need", "window", "conflict", "ready", "expected"), list(written_rows()))
def test_the_engine_gives_the_written_verdict(
    session, need, window, conflict, ready, expected, lasting
):
    values = {
        f"f_{NEED}": VALUES[need],
        f"f_{CONFLICT}": VALUES[conflict],
        f"f_{READY}": VALUES[ready],
        WINDOW: None if window == "unknown" else window,
        LASTING: lasting,
    }
    if expected == "hold" and conflict == "true" and lasting:
        expected = "ruled_out"
    assert session.evaluate(values).conclusion == expected
