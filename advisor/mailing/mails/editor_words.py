"""What the editor of a list may say in an edition."""

from __future__ import annotations

from html import escape

from advisor.base.problems import BadInput, Place
from advisor.mailing.mails.guard import body_text

LARGEST_BYTES = 6_000
"""Of one text on the page: three of them leave room for the largest digest."""
_PARAGRAPH_BYTES = 40


def checked_words(text: str, name: str) -> str:
    """The text, stripped. Raises `BadInput` for control characters and for what is too long."""
    plain = body_text(text.strip(), name)
    paragraphs = plain.count("\n") + 1
    size = len(escape(plain).encode()) + paragraphs * _PARAGRAPH_BYTES
    if size > LARGEST_BYTES:
        what = f"is {size:,} bytes on the page; at most {LARGEST_BYTES:,} fit, some 900 words"
        raise BadInput.at(Place(f"the editor's {name}"), what)
    return plain
