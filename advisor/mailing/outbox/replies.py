"""What a mail server's reply means for one reader, by the phase in which it came.

RFC 5321: section 4.2.1 (the first digit decides), 4.2.5 (after the dot), 3.8 and 4.2 (421 at any
point). RFC 3463: the enhanced code; its subject 7 is about the sender, not about the reader.
"""

from __future__ import annotations

import re
from enum import StrEnum

from advisor.base.record import Record


class Phase(StrEnum):
    """How far the talk with the server had come."""

    CONNECT = "connect"
    GREET = "greet"
    LOGIN = "login"
    MAIL = "mail"
    RCPT = "rcpt"
    DATA = "data"
    DOT = "dot"


class Outcome(StrEnum):
    """What follows.

    sent: the server has taken it. retry: later again, this reader. failed: never again for this
    edition. slow: the server is full or busy; this reader again later, and all others too.
    ours: the fault is the sender's; stop the run, nobody is to blame. ambiguous: it may have been
    taken.
    """

    SENT = "sent"
    RETRY = "retry"
    FAILED = "failed"
    SLOW = "slow"
    OURS = "ours"
    AMBIGUOUS = "ambiguous"


class Reply(Record, frozen=True):
    """A server's reply, or none. code: 0 where the line broke or nothing came in time."""

    phase: Phase
    code: int
    text: str


#: The line broke or was silent.
BROKEN = 0
_ENHANCED = re.compile(r"(?:^|\s)([245])\.(\d{1,3})\.(\d{1,3})\b")
# Wants a login, a better login, or encryption: RFC 4954 section 6, RFC 3207 section 4.
_WANTS_LOGIN = frozenset({530, 534, 535, 538})
_BEFORE_READER = frozenset({Phase.CONNECT, Phase.GREET, Phase.LOGIN, Phase.MAIL})


def classify(reply: Reply) -> Outcome:
    """The outcome for the reader whose mail was under way."""
    phase, code = reply.phase, reply.code
    if code == BROKEN:
        return Outcome.AMBIGUOUS if phase is Phase.DOT else Outcome.SLOW
    if phase is Phase.DOT and 200 <= code < 300:
        return Outcome.SENT
    if code in (421, 452):
        return Outcome.SLOW
    if 400 <= code < 500:
        return Outcome.SLOW if phase in _BEFORE_READER else Outcome.RETRY
    if 500 <= code < 600:
        if phase in _BEFORE_READER or code in _WANTS_LOGIN or _about_sender(reply.text):
            return Outcome.OURS
        return Outcome.FAILED
    # A reply that the standard does not know here: nothing was promised before the dot.
    return Outcome.AMBIGUOUS if phase is Phase.DOT else Outcome.SLOW


def _about_sender(text: str) -> bool:
    found = _ENHANCED.search(text)
    return found is not None and found[1] == "5" and found[2] == "7"
