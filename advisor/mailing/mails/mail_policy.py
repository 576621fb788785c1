"""How the email package writes our messages, without doing the same work anew for each.

A list's messages share most headers and most lines. The library's own results for these are kept
and used again; nothing is written here that the library would write differently.
"""

from __future__ import annotations

from email import quoprimime
from email.contentmanager import ContentManager
from email.header import Header
from email.headerregistry import HeaderRegistry
from email.message import EmailMessage
from email.policy import EmailPolicy
from functools import lru_cache
from typing import Any

# RFC 2047 section 2 allows an encoded word 75 octets; at 78 the library makes some of 76.
LONGEST = 76
# The email package would turn these into encoded words where they are long, which RFC 2047
# section 5 forbids in them; they are ASCII and checked, and stand as they are.
_AS_THEY_ARE = frozenset({"list-unsubscribe", "list-id", "message-id"})
_KEPT = 4096


class _KeptHeaders(HeaderRegistry):
    """The library's header objects, which cannot be changed, so that messages may share them.

    It would make a new class for each header of each message, and parse its text again.
    """

    def __init__(self) -> None:
        super().__init__()
        self._class = lru_cache(maxsize=None)(super().__getitem__)
        self._parsed = lru_cache(maxsize=_KEPT)(super().__call__)

    def __getitem__(self, name: str) -> type:
        return self._class(name)

    def __call__(self, name: str, value: Any) -> Any:
        # A value that is no text, such as an address, may be one that cannot be looked up.
        return self._parsed(name, value) if type(value) is str else super().__call__(name, value)


class MailPolicy(EmailPolicy):
    """The library's SMTP policy, with URIs and ids kept whole; folded only between two URIs."""

    def fold_binary(self, name: str, value: Any) -> bytes:
        # How a header folds depends on its name and its text alone: it is parsed from them.
        key = (name, str(value))
        if key not in _FOLDED:
            if len(_FOLDED) >= _KEPT:
                _FOLDED.clear()
            _FOLDED[key] = self._folded(name, value)
        return _FOLDED[key]

    def _folded(self, name: str, value: Any) -> bytes:
        if name.lower() == "subject":
            # Its own folding loses blanks between two encoded words; the older class keeps them.
            subject = Header(str(value), maxlinelen=75, header_name=name)
            return f"{name}: {subject.encode(linesep=self.linesep)}{self.linesep}".encode("ascii")
        if name.lower() not in _AS_THEY_ARE:
            return super().fold_binary(name, value)
        folded = str(value).replace(">, <", ">,\r\n <")
        return f"{name}: {folded}\r\n".encode("ascii")


_FOLDED: dict[tuple[str, str], bytes] = {}


def _set_text(part: EmailMessage, text: str, subtype: str = "plain") -> None:
    """What the library's handler does for `cte="quoted-printable"`, but line by line.

    text: with line feeds as its only line ends.
    """
    part["Content-Type"] = f'text/{subtype}; charset="utf-8"'
    part["Content-Transfer-Encoding"] = "quoted-printable"
    part.set_payload("\n".join(map(_encoded, text.removesuffix("\n").split("\n"))) + "\n")


@lru_cache(maxsize=_KEPT)
def _encoded(line: str) -> str:
    """A line in quoted-printable (RFC 2045 section 6.7), which encodes each by itself."""
    return quoprimime.body_encode(line.encode().decode("latin-1"), LONGEST)


_PARTS = ContentManager()
_PARTS.add_set_handler(str, _set_text)
POLICY = MailPolicy(
    linesep="\r\n",
    max_line_length=LONGEST,
    header_factory=_KeptHeaders(),
    content_manager=_PARTS,
)
