"""Which sowing is meant: in autumn, dormant, in spring, or winter rye over a warm-season lawn.

Only the words decide, never the day.
"""

from __future__ import annotations

import re

from advisor.answers.date_spans import Season
from advisor.answers.question_text import Mention

OVERSEEDING, DORMANT, SPRING = "overseeding", "dormant_seeding", "spring_seeding"
RYE = "rye_overseeding"
SOWINGS = frozenset({OVERSEEDING, DORMANT, SPRING, RYE})
_OF_SEASON = {"spring": SPRING, "winter": DORMANT}
_DORMANT = re.compile(
    r"\bdormant(?:ly)? (?:\w+ )?(?:over)?(?:seed|sow)|\b(?:seed|sow)\w* dormant(?:ly)?\b"
    r"|\bdormant (?:or|and|versus|vs)\b|\bfrost (?:over)?seed"
    r"|\b(?:on|over|in|into|onto|top of) (?:the |some )?(?:snow|frozen (?:ground|soil))\b"
)
# Ryegrass as a guest of the winter; with a cool-season lawn it is a grass like others.
_RYE = re.compile(
    r"\b(?:winter|annual) rye|\bgreen winter lawn\b"
    r"|\b(?:bermuda|zoysia|centipede|augustine|buffalo ?grass|bahia|warm season)"
    r".*\bwith (?:\w+ )?rye(?: ?grass)?\b"
    r"|\brye ?(?:grass|seed)?\b.* (?:over|on|onto|into) (?:\w+ )?"
    r"(?:bermuda|zoysia|centipede|augustine)"
)
_SEASON_BEFORE = re.compile(r"\b(spring|summer|autumn|fall|winter)(?:time)? $")


def sowing(mention: Mention, text: str, season: Season | None, known: frozenset[str]) -> str:
    """The sowing that a mention means, given the season of the date asked about, if any.

    Plain sowing is overseeding. A sowing that the rule book lacks is never chosen.
    """
    named = mention.ids & SOWINGS
    if RYE in known and _RYE.search(text):
        return RYE
    if OVERSEEDING not in named and len(named) == 1:
        return next(iter(named))
    own = _season_before(mention, text)
    meant = OVERSEEDING
    if own:
        meant = _OF_SEASON.get(own, OVERSEEDING)
    elif _dormant(mention, text):
        meant = DORMANT
    elif season:
        meant = of_season(season)
    return meant if meant in known else min(named)


def _dormant(mention: Mention, text: str) -> bool:
    """Whether dormant sowing is meant, and not only weighed (`seed now or dormant seed`)."""
    found = _DORMANT.search(text)
    return found is not None and not re.search(r"\bor\b", text[mention.end : found.start()])


def of_season(season: Season) -> str:
    """Sowing in spring, in winter, or else overseeding."""
    return _OF_SEASON.get(season, OVERSEEDING)


def names_one_sowing(mention: Mention, text: str) -> bool:
    """Whether a mention says more than plain sowing, or is of something else altogether."""
    return OVERSEEDING not in mention.ids or bool(_season_before(mention, text))


def _season_before(mention: Mention, text: str) -> str:
    """The season that stands right before a mention (`spring overseeding`), or nothing."""
    found = _SEASON_BEFORE.search(text[: mention.start])
    return found[1] if found else ""
