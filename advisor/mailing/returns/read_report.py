"""What a mail in the bounce folder is: a report by the standards, a wish to leave, or noise.

Only read, nothing believed: whose mail it is about is decided by signatures (`who_it_is_about`).
Standards: RFC 6522 (multipart/report), 3464 (delivery status), 5965 (complaints), 8098 (receipts),
3834 (automatic answers).
"""

from __future__ import annotations

import re
from email import message_from_bytes
from email.header import decode_header
from email.message import Message
from enum import StrEnum

from advisor.base.record import Record, replace
from advisor.mailing.returns.mail_folder import LARGEST_BYTES
from advisor.mailing.returns.status_codes import Code, find_code

MOST_PARTS = 40
"""More boundaries than that are no bounce; the parser takes one level of its stack for each."""
LONGEST_LINE, MOST_FOLDED = 2_000, 50
"""Bytes of a line, and lines that continue one header: longer ones take the parser for ever."""
LONGEST_SUBJECT = 2_000
_TAGGED = re.compile(
    r"[A-Za-z0-9._-]{1,64}\+[0-9]{1,18}-[0-9A-Za-z]{1,64}@[A-Za-z0-9][A-Za-z0-9.-]{0,254}"
)
_ID = re.compile(r"<[!-;=?-~]{3,250}>")
_LEAVE = re.compile(r"unsubscribe ([A-Za-z0-9_-]{20,800})", re.I)
_TO = ("Delivered-To", "X-Original-To", "Envelope-To", "To")
_COMPLAINTS = ("abuse", "fraud")  # RFC 5965 section 7.3


class What(StrEnum):
    """The sorts of mail. notice: a delivery status that is no failure. receipt: a mail was shown.

    answer: somebody's automatic answer. unclear: none that the standards know.
    """

    FAILURE = "failure"
    NOTICE = "notice"
    COMPLAINT = "complaint"
    LEAVE = "leave"
    RECEIPT = "receipt"
    ANSWER = "answer"
    UNCLEAR = "unclear"


class Failed(Record, frozen=True):
    """One recipient's failure. addresses: lower-case; as it was named at first and in the end."""

    code: Code
    addresses: tuple[str, ...]


class Report(Record, frozen=True):
    """A mail read. message_id: its own. tagged: addresses that may carry a reader's signed code.

    returned_id: the Message-ID of the mail that it is about. token: of a wish to leave. subject and
    why: to show to a person, hostile as they came.
    """

    what: What
    message_id: str = ""
    tagged: tuple[str, ...] = ()
    returned_id: str = ""
    failed: tuple[Failed, ...] = ()
    token: str = ""
    subject: str = ""
    why: str = ""


def read_report(raw: bytes) -> Report:
    """What a mail is. Never raises, whatever the bytes are."""
    if len(raw) > LARGEST_BYTES:
        return Report(What.UNCLEAR, why=f"is larger than {LARGEST_BYTES:,} bytes")
    if raw.lower().count(b"boundary") > MOST_PARTS:
        return Report(What.UNCLEAR, why="has too many parts in parts")
    if _has_endless_header(raw):
        return Report(What.UNCLEAR, why="has lines or headers that are too long")
    try:
        return _read(message_from_bytes(raw))
    except Exception as error:  # the parser's own faults with hostile mails are many
        return Report(What.UNCLEAR, why=f"cannot be taken apart ({type(error).__name__})")


def _has_endless_header(raw: bytes) -> bool:
    folded = 0
    for line in raw.splitlines():
        folded = folded + 1 if line[:1] in (b" ", b"\t") else 0
        if len(line) > LONGEST_LINE or folded > MOST_FOLDED:
            return True
    return False


def _read(mail: Message) -> Report:
    """Raises whatever the library does."""
    returned = _returned(mail)
    parts = {part.get_content_type(): part for part in reversed(_parts(mail))}
    addresses = [*_all(mail, _TO), *_all(returned, ("Return-Path",))]
    told = Report(
        What.UNCLEAR, _id(mail), _codes(addresses), _id(returned), subject=_subject(mail)
    )  # fmt: skip
    if "message/feedback-report" in parts:
        return _complaint(_inner(parts["message/feedback-report"]), told)
    if "message/delivery-status" in parts:
        return _status(parts["message/delivery-status"], told)
    if "message/disposition-notification" in parts:
        return replace(told, what=What.RECEIPT)
    if leave := _LEAVE.fullmatch(told.subject):
        return replace(told, what=What.LEAVE, token=leave[1])
    if _header(mail, "Auto-Submitted").lower().startswith("auto-replied"):
        return replace(told, what=What.ANSWER)
    return replace(told, why="is no report of a known form")


def _complaint(fields: Message | None, told: Report) -> Report:
    """RFC 5965 section 3: the type, and the envelope's sender where the report gives it."""
    if _header(fields, "Feedback-Type").lower() not in _COMPLAINTS:
        return replace(told, why="is feedback of another type than abuse or fraud")
    tagged = told.tagged + _codes(_all(fields, ("Original-Mail-From",)))
    return replace(told, what=What.COMPLAINT, tagged=tagged)


def _status(part: Message, told: Report) -> Report:
    """The recipients' fields, which follow those of the whole message (RFC 3464 section 2.1)."""
    blocks = [block for block in part.get_payload() if isinstance(block, Message)]
    recipients = [block for block in blocks if "Action" in block]
    failed: list[Failed] = []
    for block in recipients:
        if _header(block, "Action").split("(")[0].strip().lower() != "failed":
            continue
        code = _code(block)
        if code is None:
            return replace(told, why="tells of no status")
        names = (_header(block, name) for name in ("Original-Recipient", "Final-Recipient"))
        failed.append(Failed(code, tuple(filter(None, map(_address, names)))))
    if failed:
        return replace(told, what=What.FAILURE, failed=tuple(failed))
    return replace(told, what=What.NOTICE) if recipients else replace(told, why="names no action")


def _code(block: Message) -> Code | None:
    """The status; where it says nothing but its class, the better one that the server gave."""
    code = find_code(_header(block, "Status"), at_start=True)
    if code is None or code.grade == 2:
        return None
    if code.detail == 0:
        kind, _, said = _header(block, "Diagnostic-Code").partition(";")
        better = find_code(said) if kind.strip().lower() == "smtp" else None
        if better is not None and better.grade == code.grade:
            return better
    return code


def _returned(mail: Message) -> Message | None:
    """The head of the mail that a report returns: the third part (RFC 6522 section 3)."""
    for part in _parts(mail):
        if part.get_content_type() == "message/rfc822":
            return _inner(part)
        if part.get_content_type() == "text/rfc822-headers":
            head = part.get_payload(decode=True)
            return message_from_bytes(head) if isinstance(head, bytes) else None
    return None


def _parts(mail: Message) -> list[Message]:
    """A report's own parts; a report that is attached to another mail is none."""
    held = mail.get_payload() if mail.get_content_type() == "multipart/report" else ()
    return [part for part in held if isinstance(part, Message)]


def _inner(part: Message) -> Message | None:
    held = part.get_payload()
    first = held[0] if isinstance(held, list) and held else None
    return first if isinstance(first, Message) else None


def _address(field: str) -> str:
    """The address of a `rfc822; reader@example.org`."""
    return field.partition(";")[2].strip().strip("<>").lower()


def _codes(texts: list[str]) -> tuple[str, ...]:
    """The addresses in some headers that have the form of ours, each once."""
    return tuple(dict.fromkeys(found for text in texts for found in _TAGGED.findall(text)))


def _header(mail: Message | None, name: str) -> str:
    return " ".join(str(mail.get(name, "")).split()) if mail is not None else ""


def _id(mail: Message | None) -> str:
    found = _ID.search(_header(mail, "Message-ID"))
    return found[0] if found else ""


def _all(mail: Message | None, names: tuple[str, ...]) -> list[str]:
    if mail is None:
        return []
    return [str(value) for name in names for value in mail.get_all(name, [])]


def _subject(mail: Message) -> str:
    parts = decode_header(_header(mail, "Subject")[:LONGEST_SUBJECT])
    told = (p.decode("ascii", "replace") if isinstance(p, bytes) else p for p, _ in parts)
    return " ".join("".join(told).split())
