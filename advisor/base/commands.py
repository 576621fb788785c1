"""Commands as a view prints them: whole, so that they can be typed or pasted as they stand.

In a sentence a command stands in single quotes: `'advisor week my-lawn' says more`. At the end of a
text it may stand bare after a colon. Its own words are quoted with double quotes alone, so that
both can be told apart.
"""

from __future__ import annotations

import re
import textwrap
from pathlib import Path

from advisor.base.text import one_line

PROGRAM = "advisor"
_HELD = "\x00"
"""A blank that no line is broken at."""
_PLAIN = re.compile(r"[A-Za-z0-9_@%+=:,./-]+")
# Even between double quotes a shell takes these for its own.
_STEERS = re.compile(r'[$`"\\!]+')
_IN_QUOTES = rf"""'{PROGRAM} (?:"[^"\n]*"|\\.|[^"'\\\n])*'"""
_AT_END = rf"(?:(?<=: )|^ *){PROGRAM} [a-z].*$"
_PRINTED = re.compile(f"{_IN_QUOTES}|{_AT_END}", re.MULTILINE)


def command(*words: str) -> str:
    """`advisor note "my lawn" "lines marked"`: the program and these words for a shell."""
    return " ".join((PROGRAM, *map(shell_word, words)))


def shell_word(text: str) -> str:
    """A word as a shell reads it back."""
    if _PLAIN.fullmatch(text):
        return text
    return f'"{_STEERS.sub(_outside, text)}"'


def _outside(found: re.Match[str]) -> str:
    """Characters that steer, with the quotes ended before them and begun again."""
    return f'"{"".join(f"{chr(92)}{character}" for character in found[0])}"'


def shell_folder(folder: Path) -> str:
    """A folder as a word that is not taken for an option."""
    name = str(folder)
    return f"./{name}" if name.startswith("-") else name


def typed_folder(folder: Path) -> str:
    """As `shell_folder`; empty if no screen can show its name, so that nobody can type it."""
    return shell_folder(folder) if one_line(str(folder)) == str(folder) else ""


def wrapped(text: str, width: int, lead: str = "") -> str:
    """Text in lines, the first after `lead`, the others below it. A command stays on one line, to
    be pasted, however long it is.
    """
    held = held_together(text, _HELD)
    lines = textwrap.wrap(
        held, width, initial_indent=lead, subsequent_indent=" " * len(lead),
        break_on_hyphens=False, break_long_words=_HELD not in held,
    )  # fmt: skip
    return "\n".join(lines).replace(_HELD, " ")


def held_together(text: str, blank: str) -> str:
    """The text with another character for the blanks of its commands."""
    return _PRINTED.sub(lambda found: found[0].replace(" ", blank), text)
