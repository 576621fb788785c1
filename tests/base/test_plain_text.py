"""What steers a terminal or turns the direction of reading, against Unicode's own categories."""

from __future__ import annotations

import json
import sys
import unicodedata

import pytest

from advisor.base.text import control_in, encodable, one_line, visible

#: Unicode Standard Annex 9, table 4: embeddings, overrides and isolates.
TURNING = {"LRE", "RLE", "PDF", "LRO", "RLO", "LRI", "RLI", "FSI", "PDI"}


def test_just_the_controls_are_shown_as_escapes():
    for number in range(sys.maxunicode + 1):
        character = chr(number)
        steers = unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp")
        steers |= unicodedata.bidirectional(character) in TURNING
        steers &= character not in "\n\t"
        assert (visible(character) != character) is steers, hex(number)
        assert (control_in(f"a{character}") == character) is steers


def test_an_escape_says_which_character_it_was():
    assert visible("a\x1b[31m\x07\u202eb\x9b\x85\x7f") == (
        r"a\u001b[31m\u0007\u202eb\u009b\u0085\u007f"
    )
    assert visible("two\nlines\tand a tab") == "two\nlines\tand a tab"
    assert one_line("two\nlines\tand a tab\r") == r"two\nlines\tand a tab\u000d"


def test_json_still_says_the_same():
    data = {"name": "a\x1b\u202e\x9b\x7f\u2028\ud800 “½” 🌱"}
    shown = visible(json.dumps(data, ensure_ascii=False))
    assert control_in(shown) is None
    assert json.loads(shown) == data
    for encoding in ("latin-1", "ascii"):
        assert json.loads(encodable(shown, encoding))["name"].startswith("a\x1b\u202e\x9b")


@pytest.mark.parametrize(
    ("text", "encoding", "said"),
    [
        ("3.0 – 4.5 lb … “now”", "latin-1", "3.0 - 4.5 lb ... 'now'"),
        ("½ in, 27 °C, café", "latin-1", "½ in, 27 °C, café"),
        ("1½ in, 27 °C, café, ≥ −2", "ascii", "1 1/2 in, 27 deg C, cafe, >= -2"),
        ("東 🌱", "latin-1", r"\u6771 \ud83c\udf31"),
        ("東 🌱", "utf-8", "東 🌱"),
    ],
)
def test_what_an_encoding_lacks_is_spelt_out(text, encoding, said):
    assert encodable(text, encoding) == said
