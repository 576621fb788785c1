"""Which of the operations named in a question is the one asked about.

`Before overseeding should I dethatch?` asks about dethatching. Each name is judged by the last
sign before it in its clause: an asking one (`should I`, `is it too late to`) makes it the thing
asked about, a linking one (`before`, `instead of`, `if I`) makes it a circumstance, a telling one
(`I seeded`, `after`) a thing done.
"""

from __future__ import annotations

import re
from typing import Literal

from advisor.answers.everyday_words import ADVERBS, LAWN_WORDS, LIGHT_VERBS
from advisor.answers.question_text import Mention, Token
from advisor.base.record import Record

Role = Literal["asked", "wished", "plain", "condition", "circumstance", "done"]
Span = tuple[int, int]

_WHO = r"(?:i|we|you|u|they|people)"
_MODAL = (
    r"(?:should|shall|can|could|may|must|do|does|would|might|will|ought|did|am|are|have|has|had)"
)
_NOT_ASKING = "".join(rf"(?<!\b{m} )" for m in _MODAL[3:-1].split("|"))
_LAWN = rf"(?:my|the|our|this|that|a|your|new) (?:\w+ ){{0,2}}?(?:{'|'.join(LAWN_WORDS)})"
_DONE = rf"\b(?:{_WHO}|ive|weve)(?: (?:have|had|just|already|recently|only|did|was|am))*"
_PATTERNS: dict[Role, tuple[str, ...]] = {
    "asked": (
        rf"\b{_MODAL}(?: not|nt)? (?:{_WHO}|{_LAWN})\b",
        r"\b(?:is|was|would|will|isnt|wouldnt) (?:it|now|this|today|there)\b|\bis\b",
        r"\btoo (?:late|early|soon|hot|cold|wet|dry)\b(?: in the \w+)?(?: to\b)?",
        r"\bwhen (?:to|is|are|should|can|do|does|would|will|must|could)\b|\bwhens\b",
        r"\b(?:best|right|good|ideal) (?:time|month|week|way|day)\b(?: (?:to|of|for))?",
        r"\bhow (?:much|many|long|often|late|early|soon|deep|low|to|about)\b",
        r"\bhow long (?:\w+ ){0,3}(?:until|till|before)\b(?!.*\b(?:should|can|do)\b)",
        r"\bhow long (?:until|till|before) (?:i|we|you) can\b",
        r"\bwait(?:ing)? .{0,25}\bbefore\b",
        r"\bwhat (?:happens|is|are|about|if)\b|\bwhats\b|\bworth\b",
        r"\btime (?:to|for|of)\b|\b(?:ok|okay|safe|fine|possible|harmful|bad) to\b",
        rf"\bif {_WHO} (?:dont|do not|didnt|never|skip|miss|put off)\b|\bskip(?:ping)?\b",
    ),
    "wished": (
        rf"{_NOT_ASKING}\b(?:{_WHO}|im|were|ill|id)(?: (?:am|are|will|would|really|also))* "
        r"(?:need|have|want|plan|hope|intend|like|planning|going|about|thinking|hoping)\b",
    ),
    "done": (
        rf"{_DONE}(?! (?:need|\w*seed|feed|weed)\b)(?= (?:\w+ed|did|put|laid|sown)\b)",
        r"\b(?:after|since|following)\b",
    ),
    "circumstance": (
        r"\b(?:before|prior to|until|till|ahead of)\b",
        r"\b(?:instead of|rather than|than|without|because of|due to|dont want to)\b",
    ),
    "condition": (
        r"\b(?:if|once|while|whilst|unless|though|although|in case|because|so)\b",
        r"\bwhen (?:i|we|you|the|my|its|it|im)\b",
    ),
    "plain": (r"[.;?!:]|(?<= )-(?= )|,(?! (?:and|or|then)\b)",),
}
# One by one, because signs overlap and the last to end governs.
_SIGNS = tuple((role, re.compile(p)) for role, patterns in _PATTERNS.items() for p in patterns)
_TAKES_A_VERB = re.compile(rf"(?:\b{_WHO}|\bto|\b(?:{'|'.join(LAWN_WORDS)}))$")
# "Do I have to bag": the verb is the next one.
_BEFORE_TO = frozenset({"have", "need", "want", "able", "supposed", "going", "be"})
_AGAIN = re.compile(r"\b(?:again|redo|repeat it|do (?:it|that|this))\b")
_JOINED = re.compile(
    r"\b(?:and|or|then|plus|with|versus|vs|"
    r"(?:stop|prevent|kill|hurt|harm|affect|ruin|burn|damage)s?)\b|,"
)
_WHAT_TO_DO = re.compile(
    rf"\bwhat (?:should|do|must|can|to)(?: {_WHO})? do (?:after|before|once|while|following)\b"
)


class _Sign(Record, frozen=True):
    role: Role
    start: int
    end: int


class Roles:
    """The part that each place of plain text plays in the question."""

    def __init__(self, text: str, dates: list[Span]) -> None:
        """`dates` are the spans of date phrases: the `until` of `until spring` links nothing."""
        self._text = text
        signs = {_Sign(r, *m.span()) for r, p in _SIGNS for m in p.finditer(text)}
        free = (s for s in signs if not any(first <= s.start < last for first, last in dates))
        self._signs = sorted(free, key=lambda s: (s.end, -s.start))

    def at(self, start: int) -> Role:
        """The role of a phrase that begins at this character."""
        return self._before(start).role

    def other_verb(self, start: int, tokens: tuple[Token, ...], named: list[Span]) -> str:
        """The verb asked about, if it is neither a job nor plain (`can I walk on new seed`).

        Only the sign that governs the phrase at `start` counts, or any if none asks about it.
        """
        governing = self._before(start)
        for sign in self._signs:
            if sign.role != "asked" or not _TAKES_A_VERB.search(self._text[: sign.end]):
                continue
            if governing.role == "asked" and sign != governing:
                continue
            ahead = (t for t in tokens if t.start >= sign.end and t.text not in ADVERBS)
            verb = next((t for t in ahead if t.text not in _BEFORE_TO), None)
            if verb is None or not verb.text.isalpha() or verb.text in LIGHT_VERBS:
                continue
            if not any(first <= verb.start < last for first, last in named):
                return verb.text
        return ""

    def _before(self, start: int) -> _Sign:
        earlier = [s for s in self._signs if s.end <= start]
        return earlier[-1] if earlier else _Sign("plain", 0, 0)


def main_mention(
    text: str, mentions: list[Mention], other_jobs: frozenset[str], roles: Roles
) -> Mention | None:
    """The mention asked about, which may be of another job; None if all are circumstances."""
    by_role: dict[Role, list[Mention]] = {}
    for mention in mentions:
        by_role.setdefault(roles.at(mention.start), []).append(mention)
    for role in ("asked", "wished", "plain", "condition"):
        named = by_role.get(role, [])
        if not named:
            continue
        first = named[0]
        if not first.ids <= other_jobs:
            return first
        for later in named[1:]:
            joined = _JOINED.search(text[first.end : later.start])
            if joined and not later.ids <= other_jobs:
                return later
        if role == "asked":
            return first
    ours = [m for m in mentions if not m.ids <= other_jobs]
    return ours[0] if ours and (_WHAT_TO_DO.search(text) or _AGAIN.search(text)) else None
