"""What a question wants to know of an operation: whether, when, how much, how …"""

from __future__ import annotations

import re
from typing import Literal

Intent = Literal[
    "should", "when", "too_late", "too_early", "how_much", "how_long", "order", "how",
    "what_if_not", "stop", "week",
]  # fmt: skip

# The first that matches wins, so the narrower stand before the wider.
_PATTERNS: dict[Intent, str] = {
    "what_if_not": (
        r"\b(?:if|when) (?:i|we|you) (?:dont|do not|didnt|never|skip(?:ped)?|miss|put off)\b"
        r"|\bskip(?:ped|ping)?\b|\bdo(?:ing)? nothing\b|\bget away with(?:out| not)\b"
        r"|\bleave it (?:out|undone|alone|until next)\b|\bnot bother(?:ing)?\b"
        r"|\bif (?:i|we|you) leave .{1,30} (?:alone|as (?:it|they) (?:is|are))\b"
        r"|\b(?:bad|wrong|harm|problem) (?:to not|not to|in not)\b|\bconsequences? of not\b"
    ),
    "too_late": (
        r"\btoo? (?:\w+ )?late\b|\btoo far gone\b|\bhow late\b|\blatest\b"
        r"|\blast (?:chance|date|day)\b|\blate enough\b|\bdeadline\b"
        r"|\b(?:can|could|may|should) (?:i|we|you|one) still\b|\bstill (?:in )?(?:time|ok|okay)\b"
        r"|\bstill (?:possible|worth|early enough)\b|\btime left\b|\bcut ?off\b"
        r"|\bmissed (?:the|my|our|it)\b|\brunning out of time\b"
    ),
    "too_early": (
        r"\btoo? (?:\w+ )?(?:early|soon)\b|\bhow (?:early|soon)\b|\bearliest\b|\bsoonest\b|\byet\b"
        r"|\b(?:can|could|should) (?:i|we) already\b|\bjump(?:ing)? the gun\b"
    ),
    "stop": (
        r"^(?!.*\bhow (?:do|to|can|should)\b).*"
        r"(?:\b(?:ruin|hurt|harm|damag|destroy|wreck|undo|cancel|disturb|"
        r"interfer|injur|weaken|stress|affect|disrupt)\w*\b"
        # To kill a weed or an insect is the job, not the harm.
        r"|(?<!weed )(?<!grub )\bkill\w*\b(?! (?:\w+ )?(?:weeds?|dandelions?|clover|grubs?)\b)"
        r"|\bbreaks?\b|\b(?:bad|safe|dangerous|risky) (?:for|to|when|if)\b|\bany risk\b)"
    ),
    "how_much": (
        r"\bhow (?:much|many) (?!time|hours?|minutes?|days?|weeks?|months?|years?)"
        r"|\bhow much\b$|\b(?:what|seed(?:ing)?|right|sowing) (?:rate|amount|quantity)\b"
        r"|\b(?:pounds|lbs?|bags|grams|kilos) (?:per|of seed|for|a)\b|\bhow heav(?:y|ily)\b"
    ),
    "how_long": r"\bhow long\b|\bhow (?:much|many) (?:time|hours?|minutes?|days?|weeks?)\b",
    "when": (
        r"(?:^|[.;,:?!] |\band |\bor |\bso |\bknow |\bsay |\btell me |\bwondering |\bexactly )"
        r"when\b(?! (?:i|we|you|the|my|its|it)\b)"
        r"|\bwhen (?:to|is|should|can|do|does|would|will|must|could|are)\b|\bwhens\b|\bwhen\W*$"
        r"|(?<!is it the )(?<!is now the )(?<!is this the )\b(?:best|right|ideal|proper) "
        r"(?:time|month|week|day|season)\b"
        r"|\b(?:what|which) (?:time|month|week|season|day|date)s?\b|\btime of (?:the )?year\b"
        r"|\bhow often\b|\btiming\b"
    ),
    "how": (
        r"\bhow\b(?! about)|\b(?:best|right|proper|correct|easiest) (?:way|method|technique)\b"
        r"|\bsteps?\b|\bwhat (?:is|does|are) \w+\b(?! time)|\bwhats? (?:thatch|involved)\b"
        r"|\bwhat (?:should|do|must|can) (?:i|we) do (?:after|before|once|while)\b"
    ),
}
_INTENTS = tuple((intent, re.compile(pattern)) for intent, pattern in _PATTERNS.items())
_ORDER = re.compile(
    r"\b(?:which|what|who)\b.{0,40}\b(?:first|order|sequence)\b|\bin (?:what|which) order\b"
    r"|\bsame (?:day|time|weekend|week|afternoon|morning)\b|\bbefore or after\b|\bafter or before\b"
    r"|\btogether\b|\bat once\b|\bor (?:\w+ ){1,4}first\b|\bfirst (?:and )?then\b"
    r"|\bfirst or\b|\border (?:of|for|do|should)\b|\bor (?:the )?other way (?:a)?round\b|\bone go\b"
)
_WEEK = re.compile(
    r"\bwhat (?:should|do|can|must|could|shall|would) (?:i|we|you) (?:be )?do(?:ing)?\b"
    r"|\bwhat do (?:i|we) (?:need|have|ought) to (?:be )?do(?:ing)?\b"
    r"|\bwhat (?:needs|has|is there|jobs?|work|tasks?|else|is|to)\b.*\b(?:do|doing|done|due|week|"
    r"month|weekend|today|tomorrow|next)\b"
    r"|\b(?:anything|something|jobs?|tasks?|chores?|work)\b.*\b(?:do|doing|done|week|weekend|month|"
    r"today|lawn)\b"
    r"|\bwhat (?:now|next)\b|\bwhats (?:next|due|up|on|to do)\b|\bto do list\b"
    r"|\b(?:plan|advice) for\b"
)


def intent_of(text: str, operations: int) -> Intent:
    """The intent of plain text that names so many operations; `should` if nothing else is said."""
    if operations > 1 and _ORDER.search(text):
        return "order"
    return next((intent for intent, sign in _INTENTS if sign.search(text)), "should")


def asks_for_the_week(text: str) -> bool:
    """Whether plain text asks in general what there is to do."""
    return _WEEK.search(text) is not None
