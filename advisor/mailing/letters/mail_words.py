"""Words for readers who have no site file and no program: what speaks of these is left out."""

from __future__ import annotations

import re
from collections.abc import Iterable

from advisor.answers.sources import Line
from advisor.base.record import replace
from advisor.render.digest.view import Digest, Finding
from advisor.render.digest.week import NO_WEATHER

_OF_THE_PROGRAM = re.compile(r"site\.yaml|weather\.csv|'?advisor [a-z]|journal\.csv|--[a-z]")
NO_RECORD = "No weather record lies near you yet, so no season can be told."
WHICH_GRASS = (
    "Take a sample with roots to a garden club or an extension office, and answer this mail with "
    "its name."
)
_ANSWER = "Answer this mail with what you found."


def for_mail(digest: Digest) -> Digest:
    """The digest in words that a reader without the program can follow."""
    blind = digest.lead == NO_WEATHER
    lead = NO_RECORD if blind else digest.lead
    return replace(
        digest,
        lead=_told(lead),
        gates=tuple(
            replace(line, more=tuple(filter(None, map(_told, line.more)))) for line in digest.gates
        ),
        tasks=tuple(
            replace(task, steps=tuple(filter(None, map(_told, task.steps))),
                    advice=tuple(filter(None, map(_told, task.advice))))
            for task in digest.tasks
        ),
        # Without a season no answer could lead to advice.
        finding=_finding(digest.finding) if digest.finding and not blind else None,
        changed=tuple(filter(None, map(_told, digest.changed))),
        held=_lines(digest.held),
        dated=_lines(digest.dated),
        coming=_lines(digest.coming),
        in_season=_lines(digest.in_season),
        water=tuple(line.replace("; note waterings or feel the soil", "; feel the soil")
                    for line in map(_told, digest.water)),
    )  # fmt: skip


def in_mail_words(text: str) -> str:
    """Lines of text for a reader without the program."""
    return "\n".join(filter(None, map(_told, text.split("\n"))))


def _lines(lines: Iterable[Line]) -> tuple[Line, ...]:
    return tuple(replace(line, says=_told(line.says)) for line in lines)


def _finding(finding: Finding) -> Finding:
    if "advisor identify" in finding.how:
        return replace(finding, how=WHICH_GRASS, for_what=finding.for_what.partition(" (")[0])
    how = _told(finding.how)
    return replace(finding, how=f"{how} {_ANSWER}".strip())


def _told(text: str) -> str:
    """The text without its sentences about files and commands."""
    if not _OF_THE_PROGRAM.search(text):
        return text
    # A full stop inside a file's name has no blank after it.
    parts = re.split(r"(?<=[.?!])\s+", text)
    return " ".join(part for part in parts if not _OF_THE_PROGRAM.search(part))
