"""What may stand in a mail. Everything is refused here, before the email package sees it.

The standard library's email package lets a line feed that hides inside an encoded word become a
header of its own (CVE-2024-6923 and those after it), and it accepts NUL. So it is not relied on.
"""

from __future__ import annotations

import re
import unicodedata

from advisor.base.problems import BadInput, Place
from advisor.base.text import control_in

#: Octets of a header's value before encoding. Our choice; RFC 5322 section 2.1.1 allows 998 a line.
LONGEST_VALUE = 900
#: RFC 5321 section 4.5.3.1: a local part has up to 64 octets, a path 256 with its two brackets.
LONGEST_LOCAL, LONGEST_ADDRESS = 64, 254

# Marks that turn the direction of what follows: a name could be made to read as another.
_TURNS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")
# Controls, separators of lines and paragraphs, halves of a pair, and what is no character.
_REFUSED = frozenset({"Cc", "Zl", "Zp", "Cs", "Cn"})
_ATOM = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
_ADDRESS = re.compile(
    rf"{_ATOM}(\.{_ATOM})*@([A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?\.)*"
    r"[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?"
)
_URI = re.compile(r"(https://|mailto:)[A-Za-z0-9!#$%&'()*+./:;=?@_~-]+")


def header_text(text: str, name: str) -> str:
    """The text of a header, unchanged. Raises `BadInput` if it could become more than that."""
    if len(text.encode("utf-8", "surrogatepass")) > LONGEST_VALUE:
        raise _refuse(name, f"is longer than {LONGEST_VALUE} bytes; shorten it")
    # Printable ASCII holds none of them, and is as good as all that there is.
    for character in "" if text.isascii() and text.isprintable() else text:
        if unicodedata.category(character) in _REFUSED or character in _TURNS:
            what = f"holds a control character (U+{ord(character):04X}); remove it"
            raise _refuse(name, what)
    if "=?" in text or "?=" in text:
        raise _refuse(name, "holds '=?' or '?=', which mail programs decode; write it differently")
    return text


def body_text(text: str, name: str) -> str:
    """The text of a part, unchanged; of the controls, line feeds and tabs may stand in it."""
    # Nothing that is printable is a control, and that is quicker to see in a long text.
    if text.replace("\n", "").isprintable():
        return text
    if found := control_in(text):
        what = f"holds a control character (U+{ord(found):04X}); remove it"
        raise _refuse(name, what)
    return text


def address(text: str, name: str) -> str:
    """A plain address, its domain in ASCII form (RFC 5890). Raises `BadInput` for anything else.

    Quoted local parts and those outside ASCII are refused: few servers take them (RFC 6531).
    """
    header_text(text, name)
    local, at, domain = text.rpartition("@")
    if at and not domain.isascii():
        try:
            domain = domain.encode("idna").decode("ascii")
        except UnicodeError:
            raise _refuse(name, f"'{text}' has no usable domain") from None
    plain = f"{local}@{domain}"
    if not at or len(local) > LONGEST_LOCAL or len(plain) > LONGEST_ADDRESS:
        raise _refuse(name, f"'{text}' is no address; wanted one such as you@example.org")
    if not _ADDRESS.fullmatch(plain):
        raise _refuse(name, f"'{text}' is no address; wanted one such as you@example.org")
    return plain


def uri(text: str, name: str) -> str:
    """An https or mailto URI that can stand between angle brackets, unchanged."""
    header_text(text, name)
    if not _URI.fullmatch(text):
        raise _refuse(name, f"'{text}' cannot be used; wanted https://… or mailto:… in ASCII")
    return text


def _refuse(name: str, what: str) -> BadInput:
    return BadInput.at(Place(f"the mail's {name}"), what)
