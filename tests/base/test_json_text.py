"""JSON of others: data, or a `ValueError` and nothing else."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import advisor
from advisor.base.text import from_json


@pytest.mark.parametrize(
    "text", ["", "[" * 1_000_000, '{"a":' * 200_000, "{", "\x1b", b"\xff\xff", "[1] x"]
)
def test_what_is_no_json_is_a_value_error(text):
    with pytest.raises(ValueError, match=r"."):
        from_json(text)


def test_nobody_else_calls_the_parser():
    """`json.loads` raises `RecursionError` too, which the callers forget."""
    root = Path(advisor.__file__).parent
    # The rule book's parts are our own, kept under a check sum.
    known = {"base/text.py", "rulebook/packed.py"}
    found = set()
    for path in root.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            named = isinstance(node, ast.Attribute) and node.attr in ("load", "loads")
            if named and isinstance(node.value, ast.Name) and node.value.id == "json":
                found.add(path.relative_to(root).as_posix())
    assert found == known
