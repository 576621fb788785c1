"""Tokens that name a reader and cannot be forged: for leaving, calendars, bounces, Message-IDs.

They hold the list's and the reader's ids, never an address (RFC 8058 section 3.1).
"""

from __future__ import annotations

import base64
import binascii
import hmac
import os
from hashlib import sha256
from pathlib import Path

from advisor.base.problems import BadInput, Place

KEY_VARIABLE = "ADVISOR_MAIL_KEY"
SHORTEST_KEY = 32
_MAC = 16
_VERSION = b"\x01"


class Forged(Exception):
    """A token that this key did not make. It says nothing about what is wrong with it."""


class Key(bytes):
    """A key that signs. earlier: keys that signed before it, whose tokens still count."""

    earlier: tuple[bytes, ...] = ()


def key_from_environment() -> bytes:
    """The secret of ADVISOR_MAIL_KEY, or of the file that ADVISOR_MAIL_KEY_FILE names.

    Its first line signs; what earlier keys have signed is believed if they stand on lines below.
    Raises `BadInput` if there is none, one is too short, or others may read the file.
    """
    whole = secret(KEY_VARIABLE, shortest=SHORTEST_KEY)
    lines = [line.strip() for line in whole.splitlines() if line.strip()]
    if any(len(line.encode()) < SHORTEST_KEY for line in lines):
        what = f"holds a line that is too short; wanted {SHORTEST_KEY} bytes or more on each"
        raise BadInput.at(Place(KEY_VARIABLE), what)
    key = Key(lines[0].encode())
    key.earlier = tuple(line.encode() for line in lines[1:])
    return key


def _all(key: bytes) -> tuple[bytes, ...]:
    return (key, *(key.earlier if isinstance(key, Key) else ()))


def secret(variable: str, *, shortest: int = 1) -> str:
    """A secret from the environment or from a file that only its owner can read."""
    place = Place(variable)
    named = os.environ.get(f"{variable}_FILE", "")
    if named:
        path = Path(named)
        place = Place(named)
        try:
            if path.stat().st_mode & 0o077:
                raise BadInput.at(place, "can be read by others; run 'chmod 600' on it")
            found = path.read_text(encoding="utf-8").strip()
        except (OSError, UnicodeDecodeError) as error:
            what = getattr(error, "strerror", None) or "is not text"
            raise BadInput.at(place, f"cannot be read: {what}") from None
    else:
        found = os.environ.get(variable, "")
    if not found:
        raise BadInput.at(place, f"is empty; set {variable} or {variable}_FILE")
    if len(found.encode()) < shortest:
        what = f"is too short; wanted {shortest} bytes or more, such as of 'openssl rand -hex 32'"
        raise BadInput.at(place, what)
    return found


def leaving_token(key: bytes, list_id: str, reader: str) -> str:
    """The opaque part of a reader's unsubscribe address, in the letters of base64url."""
    return _signed(key, b"leave", list_id, reader)


def read_leaving_token(key: bytes, token: str) -> tuple[str, str]:
    """The list and the reader of a token. Raises `Forged` for any that this key did not make."""
    list_id, reader = _fields(key, b"leave", token, 2)
    return list_id, reader


def calendar_token(key: bytes, list_id: str, reader: str, number: int) -> str:
    """The opaque part of the address of a reader's calendar. number: of the link, see the store."""
    return _signed(key, b"calendar", list_id, reader, str(number))


def read_calendar_token(key: bytes, token: str) -> tuple[str, str, int]:
    """The list, the reader and the number of a link. Raises `Forged`."""
    list_id, reader, number = _fields(key, b"calendar", token, 3)
    return list_id, reader, int(number)


def _signed(key: bytes, purpose: bytes, *texts: str) -> str:
    body = _VERSION + b"".join(map(_field, texts))
    return base64.urlsafe_b64encode(body + _mac(key, purpose, body)).decode().rstrip("=")


def _fields(key: bytes, purpose: bytes, token: str, wanted: int) -> list[str]:
    """The texts that a token was made of, once it is known that this key made it."""
    try:
        raw = base64.b64decode(token + "=" * (-len(token) % 4), altchars=b"-_", validate=True)
    except (ValueError, binascii.Error):
        raise Forged from None
    body, mac = raw[:-_MAC], raw[-_MAC:]
    # One token has one spelling, so that what is compared is what was sent.
    respelled = base64.urlsafe_b64encode(raw).decode().rstrip("=")
    ours = [hmac.compare_digest(mac, _mac(one, purpose, body)) for one in _all(key)]
    if not any(ours) or respelled != token:
        raise Forged
    found, at = [], 1
    while at < len(body):
        end = at + 1 + body[at]
        found.append(body[at + 1 : end].decode())
        at = end
    assert len(found) == wanted
    return found


def message_id(key: bytes, list_id: str, edition: str, reader: str, domain: str) -> str:
    """The same for every try to send one edition to one reader, and unique beside all others."""
    named = _field(list_id) + _field(edition) + _field(reader)
    return f"<{edition}.{_mac(key, b'message', named).hex()}@{domain}>"


def bounce_address(key: bytes, list_id: str, reader: str, bounces: str) -> str:
    """The envelope sender that tells which reader a bounce is about."""
    local, _, domain = bounces.rpartition("@")
    return f"{local}+{reader}-{_bounce_mac(key, list_id, reader)}@{domain}"


def reader_of_bounce(key: bytes, list_id: str, recipient: str) -> str:
    """The reader of a bounce's address. Raises `Forged` for one that this key did not make."""
    tagged = recipient.rpartition("@")[0].partition("+")[2]
    reader, _, mac = tagged.rpartition("-")
    wanted = [_bounce_mac(one, list_id, reader).encode() for one in _all(key)]
    ours = [hmac.compare_digest(mac.encode(), one) for one in wanted]
    if not reader or not any(ours):
        raise Forged
    return reader


def _bounce_mac(key: bytes, list_id: str, reader: str) -> str:
    return _mac(key, b"bounce", _field(list_id) + _field(reader)).hex()[:20]


def _mac(key: bytes, purpose: bytes, body: bytes) -> bytes:
    return hmac.new(key, purpose + b"\0" + body, sha256).digest()[:_MAC]


def _field(text: str) -> bytes:
    """Length and text: no two pairs of texts run together to the same bytes."""
    raw = text.encode()
    if len(raw) > 255:
        raise BadInput.at(Place("the mail's token"), f"'{text[:20]}…' is longer than 255 bytes")
    return bytes([len(raw)]) + raw
