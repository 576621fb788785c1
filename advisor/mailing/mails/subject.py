"""The subject of a mail: what the week is about, in one line of an inbox."""

from __future__ import annotations

from advisor.render.digest.view import Digest

LONGEST = 75 - len("Subject: ")
"""So that the header stays one line; RFC 5322 section 2.1.1 wants at most 78, the library 75."""


def subject_of(digest: Digest) -> str:
    """The digest's one sentence, or as much of it as fits."""
    whole = digest.lead.rstrip(".")
    if len(whole) <= LONGEST:
        return whole
    first = whole.partition("; ")[0]
    if len(first) <= LONGEST:
        return first
    # Three full stops: the one sign for them would turn the whole line into an encoded word.
    cut = first[: LONGEST - 2].rpartition(" ")[0]
    return f"{cut.rstrip(',')} ..."
