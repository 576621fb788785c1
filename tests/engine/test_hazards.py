"""Each way to break the engine that its C source offers, tried through our session.

Every case runs in a process of its own with freed memory overwritten, so that a crash or a read of
freed memory is a failed test and does not take the others with it. `docs/engine.md` lists them.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.decide.engine.encode import fact_text
from advisor.decide.engine.ruleset import MAX_CODES

PRELUDE = """
from advisor.decide.engine.compile import compile_program
from advisor.decide.engine.model import *
from advisor.decide.engine.plain import evaluate_plainly
from advisor.decide.engine.session import Session
from advisor.rulebook.conditions import Group, Leaf
NUMBER = FactKind("number")
def over(fact, limit=1.0): return Leaf(fact, "over", limit)
def same(formulas, kinds, *many):
    with Session(compile_program(formulas, kinds)) as session:
        for values in many:
            found, wanted = session.evaluate(values), evaluate_plainly(formulas, values)
            assert found == wanted, (values, found, wanted)
def memory():
    return int(open("/proc/self/statm").read().split()[1]) * 4096
"""

HAZARDS = {
    "a state in which no rule of ours fires": """
        for _ in range(3): same({"f": over("n")}, {"n": NUMBER}, *[{}] * 500)
    """,
    "the same facts in use again and again": """
        kinds = {f"n{i}": NUMBER for i in range(15)}
        tree = Group("all", tuple(over(n) for n in kinds))
        same({"f": tree}, kinds, *[dict.fromkeys(kinds, v) for v in (0.0, 2.0)] * 500)
    """,
    "numbers with an exponent": """
        odd = (1e-05, 1e22, 5e-324, 1.7e308, -1e-07, 1e16, 2**53, -(2**53))
        for limit in odd:
            tree = {"f": over("n", limit), "g": Leaf("n", "is", limit), "h": over("m")}
            same(tree, {"n": NUMBER, "m": NUMBER}, *({"n": v, "m": 2.0} for v in odd))
    """,
    "a fact that the engine cannot read": """
        from advisor.decide.engine.model import EngineFault
        from advisor.decide.engine.program import Program
        good = Program.facts
        Program.facts = lambda self, values: [*good(self, values), '{"s":9,"v":1e-05,"id":"i9"}']
        try:
            Session(compile_program({"f": over("n")}, {"n": NUMBER})).evaluate({"n": 2.0})
        except EngineFault as fault:
            assert "dropped some of its facts" in str(fault)
        else:
            raise AssertionError("the engine lost a fact and nobody noticed")
    """,
    "a conjunction after an alternative": """
        a, b, c, d = (over(n) for n in "abcd")
        tree = Group("all", (Group("any", (a, b)), Group("all", (c, d)), Group("any", (c, d))))
        values = [dict(zip("abcd", ((i >> k & 1) * 2.0 for k in range(4)))) for i in range(16)]
        same({"f": tree, "g": Group("none", (tree,))}, dict.fromkeys("abcd", NUMBER), *values)
    """,
    "alternatives that are all true": """
        kinds = {f"n{i}": NUMBER for i in range(60)}
        each = [over(n) for n in kinds]
        groups = tuple(Group("any", tuple(each[k : k + 12])) for k in range(0, 60, 12))
        same({"f": Group("all", groups)}, kinds, dict.fromkeys(kinds, 2.0))
    """,
    "one fact for several comparisons": """
        band = Group("all", (over("n", 0.0), Leaf("n", "under", 10.0), Leaf("n", "is_not", 5.0)))
        both = Group("all", (band, Group("any", (over("n", 3.0), over("n", 7.0)))))
        same({"f": both}, {"n": NUMBER}, *({"n": float(v)} for v in range(-1, 12)))
    """,
    "more conditions than the engine joins": """
        kinds = {f"n{i}": NUMBER for i in range(50)}
        tree = Group("all", tuple(over(n) for n in kinds))
        good = dict.fromkeys(kinds, 2.0)
        same({"f": tree}, kinds, good, {**good, "n49": 0.0}, {**good, "n0": None})
    """,
    "many limits of one fact": """
        formulas = {f"f{i}": over("n", float(i)) for i in range(150)}
        same(formulas, {"n": NUMBER}, {"n": 149.0}, {"n": 200.0}, {"n": -1.0}, {})
    """,
    "one limit in many rules": """
        formulas = {f"f{i}": Group("all", (over("n"), over(f"m{i % 3}"))) for i in range(300)}
        kinds = {"n": NUMBER, **{f"m{i}": NUMBER for i in range(3)}}
        same(formulas, kinds, *({n: v for n in kinds} for v in (0.0, 2.0, None)))
    """,
    "many facts": """
        kinds = {f"n{i}": NUMBER for i in range(150)}
        same({n + "?": over(n) for n in kinds}, kinds, dict.fromkeys(kinds, 2.0), {})
    """,
    "as many signals as we allow": """
        formulas = {"f0": over("n")}
        formulas |= {f"f{i}": Combination("all", (f"f{i - 1}",)) for i in range(1, 477)}
        same(formulas, {"n": NUMBER}, {"n": 2.0}, {"n": 0.0}, {})
    """,
    "threads": """
        import threading
        formulas, errors = {"f": Group("all", (over("n"), over("m")))}, []
        session = Session(compile_program(formulas, {"n": NUMBER, "m": NUMBER}))
        def work(seed):
            for i in range(500):
                values = {"n": float((i + seed) % 3), "m": 2.0}
                if session.evaluate(values) != evaluate_plainly(formulas, values):
                    errors.append(values)
        threads = [threading.Thread(target=work, args=(i,)) for i in range(4)]
        [t.start() for t in threads]; [t.join() for t in threads]
        assert not errors
    """,
    "a fork": """
        import os
        session = Session(compile_program({"f": over("n")}, {"n": NUMBER}))
        assert session.evaluate({"n": 2.0}).truths == {"f": True}
        session._lock.acquire()  # as if another thread held it
        child = os.fork()
        if child == 0:
            os._exit(0 if session.evaluate({"n": 0.0}).truths == {"f": False} else 1)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
        session._lock.release()
        assert session.evaluate({"n": 2.0}).truths == {"f": True}
    """,
    "a clock that is frozen and moved": """
        import freezegun, datetime
        with freezegun.freeze_time("2026-09-05") as clock:
            for _ in range(100):
                same({"f": over("n")}, {"n": NUMBER}, {"n": 2.0}, {})
                clock.tick(datetime.timedelta(seconds=30))
    """,
    "memory that only grows": """
        session = Session(compile_program({"f": over("n")}, {"n": NUMBER}))
        for _ in range(5000): session.evaluate({"n": 2.0})
        before = memory()
        for _ in range(20000): session.evaluate({"n": 2.0})
        for _ in range(2000):
            with Session(session.program) as other: other.evaluate({"n": 2.0})
        assert memory() - before < 4_000_000, memory() - before
    """,
}


@pytest.mark.parametrize("hazard", HAZARDS)
def test_hazard_is_contained(
    hazard: str, run_python: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    body = "\n".join(line.removeprefix("        ") for line in HAZARDS[hazard].splitlines())
    done = run_python("-c", PRELUDE + body, MALLOC_PERTURB_="165")
    assert done.returncode == 0, done.stderr


def test_decimal_comma(
    tmp_path: Path, run_python: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    """The engine reads numbers with the C library, which stops at the point in this locale."""
    localedef = shutil.which("localedef")
    made = localedef and subprocess.run(
        [localedef, "-i", "de_DE", "-f", "UTF-8", str(tmp_path / "de_DE.UTF-8")],
        check=False,
        capture_output=True,
    )
    if not made or made.returncode:
        pytest.skip("no localedef, or no sources of a locale with a decimal comma")
    comma = """
import locale
locale.setlocale(locale.LC_ALL, "de_DE.UTF-8")
assert locale.localeconv()["decimal_point"] == ","
same({"f": over("n", 12.4)}, {"n": NUMBER}, {"n": 12.6})
"""
    good = run_python("-c", PRELUDE + comma, LOCPATH=str(tmp_path))
    assert good.returncode == 0, good.stderr
    unguard = (
        "import advisor.decide.engine.session as s\ns._read_decimals_with_points = lambda: None\n"
    )
    bad = run_python("-c", PRELUDE + unguard + comma, LOCPATH=str(tmp_path))
    assert "AssertionError" in bad.stderr, "without the guard the engine should misread 12.4"


def test_fact_identifiers_do_not_collide() -> None:
    """The engine tells facts apart by a 32-bit FNV-1a hash of their identifiers alone.

    FNV-1a: Fowler, Noll, Vo; offset basis and prime of the 32-bit variant (IETF RFC 9923).
    """

    def fnv1a(text: str) -> int:
        found = 0x811C9DC5
        for byte in text.encode():
            found = ((found ^ byte) * 0x01000193) & 0xFFFFFFFF
        return found

    assert fnv1a("foobar") == 0xBF9CF968  # test vector of the FNV authors
    names = [f"i{code}" for code in range(MAX_CODES)]
    assert all(f'"id":"{name}"' in fact_text(code) for code, name in enumerate(names))
    engines_own = ["sid-0", "$pulse"]
    assert len({fnv1a(name) for name in names + engines_own}) == len(names) + len(engines_own)
