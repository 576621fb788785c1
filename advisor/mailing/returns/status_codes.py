"""What an enhanced status code says about a reader: RFC 3463, as registered by RFC 5248.

One row for each code that means something of its own, and one for each subject (the second number)
for all others. The kinds are ours; the standards say what happened, not what a list should do.
"""

from __future__ import annotations

import re
from enum import StrEnum

from advisor.base.record import Record


class Kind(StrEnum):
    """What a failure means.

    hard: there is no such reader. soft: it may pass; only many in a row count. ours: the fault is
    the sender's or the mail's; the reader is not to blame.
    """

    HARD = "hard"
    SOFT = "soft"
    OURS = "ours"


class Meaning(Record, frozen=True):
    """kind: for a permanent failure. says: what happened. source: the standard's section."""

    kind: Kind
    says: str
    source: str


#: By subject and detail. A code that is not here counts as its subject does.
CODES = {
    (1, 1): Meaning(Kind.HARD, "no such mailbox", "RFC 3463 section 3.2, X.1.1"),
    (1, 2): Meaning(Kind.HARD, "no such mail domain", "RFC 3463 section 3.2, X.1.2"),
    (1, 3): Meaning(Kind.HARD, "the address is malformed", "RFC 3463 section 3.2, X.1.3"),
    (1, 6): Meaning(Kind.HARD, "moved, no new address", "RFC 3463 section 3.2, X.1.6"),
    (1, 7): Meaning(Kind.OURS, "our address is malformed", "RFC 3463 section 3.2, X.1.7"),
    (1, 8): Meaning(Kind.OURS, "our domain is not accepted", "RFC 3463 section 3.2, X.1.8"),
    (1, 10): Meaning(Kind.HARD, "the domain takes no mail", "RFC 7505 section 4.2, X.1.10"),
    (2, 1): Meaning(Kind.HARD, "mailbox disabled", "RFC 3463 section 3.3, X.2.1"),
    (2, 2): Meaning(Kind.SOFT, "mailbox full", "RFC 3463 section 3.3, X.2.2"),
    (2, 3): Meaning(Kind.OURS, "mail too long for the mailbox", "RFC 3463 section 3.3, X.2.3"),
    (3, 4): Meaning(Kind.OURS, "mail too big for the system", "RFC 3463 section 3.4, X.3.4"),
    (7, 17): Meaning(Kind.HARD, "the mailbox has a new owner", "RFC 7293, X.7.17"),
    (7, 18): Meaning(Kind.HARD, "the domain has a new owner", "RFC 7293, X.7.18"),
}
SUBJECTS = {
    0: Meaning(Kind.SOFT, "no reason given", "RFC 3463 section 3.1"),
    1: Meaning(Kind.SOFT, "something about the address", "RFC 3463 section 3.2"),
    2: Meaning(Kind.SOFT, "something about the mailbox", "RFC 3463 section 3.3"),
    3: Meaning(Kind.SOFT, "their mail system", "RFC 3463 section 3.4"),
    4: Meaning(Kind.SOFT, "network or routing", "RFC 3463 section 3.5"),
    5: Meaning(Kind.OURS, "the servers' talk", "RFC 3463 section 3.6"),
    6: Meaning(Kind.OURS, "the mail's content or form", "RFC 3463 section 3.7"),
    7: Meaning(Kind.OURS, "policy or reputation", "RFC 3463 section 3.8"),
}
_UNKNOWN = Meaning(Kind.SOFT, "a code of no known subject", "RFC 3463 section 2")
# Digits only, and no leading zeros (RFC 3463 section 2); a comment may follow (RFC 3464 2.1.1).
_CODE = re.compile(r"(?<![0-9.])([245])\.(0|[1-9][0-9]{0,2})\.(0|[1-9][0-9]{0,2})(?![0-9.])")


class Code(Record, frozen=True):
    """An enhanced status code: class 2 (success), 4 (it may pass) or 5 (for good)."""

    grade: int
    subject: int
    detail: int

    def __str__(self) -> str:
        return f"{self.grade}.{self.subject}.{self.detail}"


def find_code(text: str, *, at_start: bool = False) -> Code | None:
    """The first enhanced code in a text, or only one that it begins with."""
    found = (_CODE.match if at_start else _CODE.search)(text.strip())
    return Code(*map(int, found.groups())) if found else None


def meaning_of(code: Code) -> Meaning:
    """What a failure with this code means. A hard one that may pass (4.x.x) is soft."""
    known = CODES.get((code.subject, code.detail)) or SUBJECTS.get(code.subject, _UNKNOWN)
    if known.kind is Kind.HARD and code.grade == 4:
        return Meaning(Kind.SOFT, known.says, known.source)
    return known
