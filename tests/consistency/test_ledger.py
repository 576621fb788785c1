"""No view contradicts another more often than the ledger says, and the ledger may only fall.

Each of forty lawns is read on one drawn day; with `-m long` on all 24 days of its year.
`python tests/consistency/write_ledger.py` writes the counts anew; it refuses a rise.
"""

from __future__ import annotations

import ast
import datetime as dt
from pathlib import Path

import pytest
from claims import contradictions, counts
from lawns import FORTY, Lawn, write
from ledger import LEDGER, LONG, over, read
from views import claims

EACH = pytest.mark.parametrize("lawn", FORTY, ids=lambda lawn: lawn.name.split()[1])


def check(lawn: Lawn, day: dt.date, ledger: Path, folder: Path) -> None:
    site = write(lawn, folder / "site")
    found = list(contradictions(claims(site, day, lawn.parts, folder), lawn.parts))
    allowed = read(ledger).get(f"{lawn.name} {day}", {})
    assert not over(counts(found), allowed), (day, found)


@EACH
def test_no_more_contradictions_than_the_ledger_has(lawn: Lawn, tmp_path: Path) -> None:
    check(lawn, lawn.drawn, LEDGER, tmp_path)


@pytest.mark.long
@pytest.mark.skipif(not LONG.exists(), reason="its counts were never written")
@EACH
def test_the_same_on_every_day(lawn: Lawn, tmp_path: Path) -> None:
    for day in lawn.days:
        check(lawn, day, LONG, tmp_path)


def test_the_reader_shares_no_code_with_the_program() -> None:
    for name in ("reader.py", "claims.py"):
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
