"""YAML is read without surprises, and no input escapes as anything but `BadInput`."""

from __future__ import annotations

import contextlib
import datetime as dt
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from advisor.base.problems import BadInput, Place
from advisor.base.strict_yaml import load_bytes, load_file, load_text


def refusal(text: str | bytes) -> str:
    with pytest.raises(BadInput) as caught:
        load_bytes(text if isinstance(text, bytes) else text.encode(), "f")
    return str(caught.value)


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        ("true", True),
        ("false", False),
        ("null", None),
        ("", None),
        ("3", 3),
        ("-3", -3),
        ("0.50", 0.5),
        (".5", 0.5),
        ("2026-09-01", dt.date(2026, 9, 1)),
        ("NO", "NO"),
        ("on", "on"),
        ("yes", "yes"),
        ("1:30", "1:30"),
        ("010", "010"),
        ("1e5", "1e5"),
        ("~", "~"),
        ("80 %", "80 %"),
        ('"3"', "3"),
        ('"2026-09-01"', "2026-09-01"),
        ("'true'", "true"),
    ],
)
def test_only_plain_forms_are_resolved(written: str, wanted: object) -> None:
    value = load_text(f"a: {written}", "f").data["a"]
    assert value == wanted
    assert type(value) is type(wanted)


def test_places_of_keys_and_values() -> None:
    document = load_text("areas:\n  - name: front\n    size: 3 m2\n", "f")
    assert document.place(("areas", 0, "size")) == Place("f", 3, 11)
    assert document.place(("areas", 0, "size"), key=True) == Place("f", 3, 5)
    # The longest existing prefix answers for what is not there.
    assert document.place(("areas", 0, "sun")) == Place("f", 2, 5)
    assert document.place(("areas", 3, "sun")) == Place("f", 2, 3)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("a: 1\nb:\n  c: 2\n  c: 3\n", "f:4:3: key 'c' stands twice (first on line 3); keep one"),
        ("a: *x", "f:1:4: alias '*x' is not allowed; write the value out"),
        ("a: &x 1", "f:1:4: anchor '&x' is not allowed; write the value out"),
        ("a: {<<: {b: 1}}", "f:1:5: merge key '<<' is not allowed; write the values out"),
        ("a: !!int '3'", "f:1:4: tag 'tag:yaml.org,2002:int' is not allowed; remove it"),
        ("? [a, b]\n: 1", "f:1:3: a key must be a single word, not a list or mapping"),
        ("a: 2026-02-30", "f:1:4: '2026-02-30' is no date of the calendar; write YYYY-MM-DD"),
        ("a: b\x00c", "f:1:5: control character 0x00; remove it"),
        ("a: 1\nb: c\x7f", "f:2:5: control character 0x7f; remove it"),
        ("a: b\x85c", "f:1:5: control character 0x85; remove it"),
        ("a: b\u2028c", "f:1:5: control character 0x2028; remove it"),
        ("a: 1\nb: [1", "f:2:4: not YAML: did not find expected ',' or ']'; check indentation, "),
        ('a: "b\nc: d\n', "f:1:4: not YAML: found unexpected end of stream; check"),
        ("# nothing\n", "f:1: the file is empty"),
        ("a: " + "9" * 30, "f:1:4: number '999999999999…' has 30 digits; write a shorter one"),
        (b"a: 1\nb: \xff", "f:2: byte 0xff is not UTF-8 text; save the file as UTF-8"),
    ],
)
def test_refusals(text: str | bytes, wanted: str) -> None:
    assert refusal(text).startswith(wanted)


def test_all_problems_at_once() -> None:
    assert len(refusal("a: 2026-02-30\na: 1\nb: 2026-13-01\n").splitlines()) == 3


def test_deep_nesting_is_refused() -> None:
    assert "not YAML" in refusal("[" * 20_000)


def test_missing_file_and_folder(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such file"):
        load_file(tmp_path / "none.yaml")
    with pytest.raises(BadInput, match="cannot be read"):
        load_file(tmp_path)


def test_byte_order_mark_and_windows_line_ends() -> None:
    document = load_bytes(b"\xef\xbb\xbfa: 1\r\nb: two\r\n", "f")
    assert document.data == {"a": 1, "b": "two"}
    assert document.place(("b",)) == Place("f", 2, 4)


@given(st.one_of(st.text(), st.text(alphabet=":-[]{}#&*!|>'\"%@ \n\tab01,.?")))
def test_any_text_is_read_or_refused(text: str) -> None:
    with contextlib.suppress(BadInput):
        load_bytes(text.encode("utf-8", "surrogatepass"), "f")


plain = st.text(alphabet="abcdefghij", min_size=1, max_size=8)
trees = st.recursive(
    plain | st.integers(-(10**9), 10**9) | st.booleans() | st.dates(dt.date(1000, 1, 1)),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(plain, inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(plain, trees, min_size=1, max_size=4))
def test_what_the_yaml_library_writes_is_read_back(tree: dict[str, object]) -> None:
    text = yaml.safe_dump(tree, allow_unicode=True)
    assert load_text(text, "f").data == tree
