"""The subject of a mail: what the week is about, in one line of an inbox."""

from __future__ import annotations

from advisor.digest.view import Digest

LONGEST = 78 - len("Subject: ")
"""So that the header is one line of at most 78 columns (RFC 5322 section 2.1.1), never folded."""


def subject_of(digest: Digest) -> str:
    """The digest's one sentence, or as much of it as fits."""
    whole = digest.lead.rstrip(".")
    if len(whole) <= LONGEST:
        return whole
    first = whole.partition("; ")[0]
    if len(first) <= LONGEST:
        return first
    cut = first[: LONGEST - 1].rpartition(" ")[0]
    return f"{cut.rstrip(',')} …"
