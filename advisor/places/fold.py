"""Place names brought to one form, so that accents, case and abbreviations do not matter."""

from __future__ import annotations

import re
import unicodedata

# Latin letters that Unicode does not decompose into a letter and an accent.
_LETTERS = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i"}
)
_SHORT = {"st": "saint", "ste": "sainte", "mt": "mount", "ft": "fort"}


def fold(text: str) -> str:
    """`St. Léonard` as `saint leonard`: lower case, no accents, single spaces, words in full."""
    letters = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(c for c in letters if not unicodedata.combining(c)).translate(_LETTERS)
    words = re.sub(r"[^\w]+|_", " ", re.sub(r"[.'’ʻ`]", "", plain)).split()
    return " ".join(_SHORT.get(word, word) for word in words)
