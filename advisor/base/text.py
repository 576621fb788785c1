"""Text of others: JSON as plain data, and words that steer no terminal and no log.

What comes from outside (a service's reason, the name of a site or a file) may hold the escape
sequences of a terminal, or the marks that let one name read as another (Unicode Standard Annex 9).
"""

from __future__ import annotations

import json
import re
from typing import Any
from unicodedata import normalize


def from_json(text: str | bytes) -> Any:
    """The data of a JSON text. Raises `ValueError` for anything else."""
    try:
        return json.loads(text)
    except RecursionError:
        raise ValueError("it is nested too deeply") from None


# C0 but for tab and line feed, DEL and C1, line and paragraph separators, the embeddings, overrides
# and isolates of the bidirectional algorithm, and halves of a surrogate pair.
_CONTROLS = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]"
)
# No spelling holds a quote or a backslash, so that JSON stays JSON.
_SPELT = {
    "–": "-", "—": "-", "−": "-", "‑": "-", "…": "...", "‘": "'", "’": "'", "“": "'", "”": "'",
    "≥": ">=", "≤": "<=", "×": "x", "→": "->", "·": "*", "•": "*", "µ": "u", "Δ": "change of ",
    "°": "deg ", "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "²": "2", "³": "3",
}  # fmt: skip


def control_in(text: str) -> str | None:
    """The first control character of a text, tab and line feed apart; None if it has none."""
    found = _CONTROLS.search(text)
    return found[0] if found else None


def visible(text: str) -> str:
    r"""The text with each control character as its escape, such as `\u001b`.

    JSON escapes them in the same way, so a text of JSON still says the same.
    """
    # Printable text holds none of them, and that is quicker to see.
    return text if text.isprintable() else _CONTROLS.sub(lambda found: escape(found[0]), text)


def uncapped(text: str) -> str:
    """Words with a capital as they stand inside a sentence."""
    return text[:1].lower() + text[1:]


def one_line(text: str) -> str:
    """As `visible`, with line feeds and tabs escaped as well."""
    return visible(text).replace("\n", "\\n").replace("\t", "\\t")


def escape(character: str) -> str:
    r"""A character as `\uXXXX`, or as two of them beyond the basic plane."""
    raw = character.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{raw[at : at + 4]}" for at in range(0, len(raw), 4))


def encodable(text: str, encoding: str) -> str:
    """The text as an encoding can carry it; what it lacks is spelt out, or else escaped."""
    try:
        text.encode(encoding)
        return text
    except UnicodeEncodeError:
        return "".join(_spelt(character, encoding) for character in text)


def _spelt(character: str, encoding: str) -> str:
    for spelling in (character, _SPELT.get(character), normalize("NFKD", character)):
        # A letter loses its accent rather than its place in the word.
        for tried in (spelling, spelling[:1]) if spelling else ():
            try:
                tried.encode(encoding)
                return tried
            except UnicodeEncodeError:
                continue
    return escape(character)
