"""No view contradicts another, and none prints a value that belongs to no field of the advice,
more often than the ledger says; and the ledger may only fall.

Each of forty lawns is read on one drawn day; with `-m long` on all 24 days of its year.
`python tests/consistency/write_ledger.py` writes the counts anew; it refuses a rise.
"""

from __future__ import annotations

import ast
import datetime as dt
from collections.abc import Iterable
from pathlib import Path

import pairs
import planted
import pytest
from claims import counts
from lawns import FORTY, Lawn
from ledger import LEDGER, LONG, over, read
from readback import ReadBack
from shown import back_of, shown

READERS = (
    "reader.py", "tokens.py", "passages.py", "accounts.py", "orphans.py", "claims.py",
    "readback.py", "keyed.py", "rule_texts.py", "planted.py", "plain_files.py", "reckoning.py",
)  # fmt: skip
EACH = pytest.mark.parametrize("lawn", FORTY, ids=lambda lawn: lawn.name.split()[1])


def read_back(lawn: Lawn, day: dt.date, kept: Path) -> tuple[ReadBack, dict[str, str]]:
    of = shown(lawn, day, kept)
    return back_of(of, lawn.parts), of.texts


def check(back: ReadBack, texts: dict[str, str], key: str, ledger: Path) -> None:
    found = back.all(texts)
    assert not over(counts(found), read(ledger).get(key, {})), (key, found)


def plant(back: ReadBack, texts: dict[str, str], these: Iterable[str]) -> None:
    missed = [pair for pair in these if not planted.found(pair, back, texts)]
    assert not missed, "a fault that was planted there was not found"


@EACH
def test_no_more_contradictions_than_the_ledger_has(lawn: Lawn, kept: Path) -> None:
    """And a fault that is planted is found, once in each pair of a view and a field."""
    key = f"{lawn.name} {lawn.drawn}"
    back, texts = read_back(lawn, lawn.drawn, kept)
    check(back, texts, key, LEDGER)
    occurring, mine = planted.pairs(back, texts), pairs.listed().get(key, [])
    everywhere = {pair for of in pairs.listed().values() for pair in of}
    assert occurring <= everywhere, "nothing is planted there; write the ledger anew"
    assert set(mine) <= occurring, "no longer read, or no longer said; write the ledger anew"
    plant(back, texts, mine)


@pytest.mark.long
@EACH
def test_a_fault_is_found_in_every_pair_of_every_lawn(lawn: Lawn, kept: Path) -> None:
    back, texts = read_back(lawn, lawn.drawn, kept)
    plant(back, texts, sorted(planted.pairs(back, texts)))


@pytest.mark.long
@pytest.mark.skipif(not LONG.exists(), reason="its counts were never written")
@EACH
def test_the_same_on_every_day(lawn: Lawn, kept: Path) -> None:
    for day in lawn.days:
        check(*read_back(lawn, day, kept), f"{lawn.name} {day}", LONG)


def test_the_reader_shares_no_code_with_the_program() -> None:
    for name in READERS:
        tree = ast.parse((Path(__file__).parent / name).read_text(encoding="utf-8"))
        modules = {
            name
            for node in ast.walk(tree)
            for name in (
                [alias.name for alias in node.names] if isinstance(node, ast.Import)
                else [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            )
        }  # fmt: skip
        assert not any(module.split(".")[0] == "advisor" for module in modules)
