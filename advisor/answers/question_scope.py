"""What lies outside the advice: other jobs, other plants, prices, machines, roofs."""

from __future__ import annotations

import re

from advisor.answers.everyday_words import KNOWN_WORDS, LAWN_WORDS
from advisor.answers.question_text import Token

# Jobs that keepers name beside those of the rule book. A question about one of them must not be
# answered for an operation that it only mentions. An id or name of the rule book comes first.
OTHER_JOBS: dict[str, tuple[str, ...]] = {
    "mowing": ("mow", "mower", "cut the grass", "cut the lawn", "cutting the grass"),
    "feeding": ("feed", "fed", "fertilise", "fertilize", "fertiliser", "fertilizer", "nitrogen",
                "starter fertilizer", "starter fertiliser"),
    "watering": ("water", "irrigate", "irrigation"),
    "liming": ("lime", "liming"),
    "topdressing": ("topdress", "top dress", "top dressing", "compost"),
    "laying sod": ("lay sod", "laying sod", "lay turf", "new sod", "sodding", "sod"),
    "disease control": ("fungicide", "fungus", "brown patch", "dollar spot", "rust"),
    "moss control": ("moss", "moss killer"),
    "rolling": ("roll", "lawn roller"),
    "leaf clearing": ("fallen leaves", "leaf litter", "rake leaves", "mulch leaves"),
    "edging": ("edging", "edge"),
}  # fmt: skip

_ANYWHERE: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (what, re.compile(pattern))
    for what, pattern in (
        (
            "prices",
            r"\b(?:prices?|priced|pricing|costs?|charges?|charged|cheap(?:est|er)?|expensive)\b"
            r"|[$£€]|\bhow much (?:\w+ )*(?:pay|dollars|pounds sterling)\b",
        ),
        (
            "shops and makes of machines",
            r"\b(?:where|which|what)\b.*\b(?:buy|rent|hire|rental|brands?|models?|makes?|shops?|"
            r"stores?|company|contractor)\b",
        ),
        (
            "repairing machines",
            r"\b(?:wont|doesnt|will not|not) start\b|\b(?:engine|carburett?or|spark plugs?|"
            r"gearbox|clutch|pull cord)\b"
            r"|\b(?:repair|fix|service|mend)\w* (?:my |the |a |an )?(?:old )?"
            r"(?:mower|\w+er|aerator|machine|tool)s?\b",
        ),
        (
            "roofs and buildings",
            r"\b(?:roof\w*|thatched|cottage|gutters?)\b",
        ),
        (
            "animals",
            r"\b(?:birds?|chickens?|moles?|gophers?)\b",
        ),
        ("artificial turf", r"\b(?:artificial|synthetic|fake|plastic)\b"),
        ("people", r"^who(?:se)?\b(?!.*\bfirst\b)|\binvent"),
        ("food and poison", r"\b(?:toxic|poison\w*|edible|eat|eating)\b"),
        ("electric plugs", r"\bplug(?:s|ged|ging)? (?:it |them )?in(?:to)?\b|\bsockets?\b"),
        ("planting plugs", r"\b(?:plant\w*|zoysia|bermuda|augustine) (?:\w+ )?plugs?\b"),
        (
            "storing seed",
            r"\b(?:expired?|expires|shelf life)\b|\b(?:store|storing|stored)\b"
            r"(?!.*\b(?:mowers?|machines?|tools?|spreaders?|batter(?:y|ies))\b)",
        ),
    )
)
_OTHER_THINGS = re.compile(
    r"\b(?:tomato(?:es)?|potato(?:es)?|carrots?|lettuces?|beans?|peas|onions?|garlic|peppers?|"
    r"vegetables?|veg|herbs?|basil|flowers?|wildflowers?|sunflowers?|poppy|poppies|roses?|hedges?|"
    r"shrubs?|orchard|corn|maize|wheat|barley|oats|pasture|cover crop|raised beds?|greenhouse|"
    r"pots?|ponds?|compost (?:heap|pile)|aquarium|fish|tank|pool|wine|water garden|septic|sewage|"
    r"sewing|hair|my scalp|beard|lupins?|sweet peas?|houseplants?|cactus|cannabis|tray|"
    r"seedlings? indoors)\b"
)


def outside(text: str, tokens: tuple[Token, ...]) -> str:
    """What plain text asks about that is no concern of a lawn adviser, or an empty string."""
    for what, sign in _ANYWHERE:
        if sign.search(text):
            return what
    other = _OTHER_THINGS.search(text)
    return other[0] if other and not speaks_of_lawn(tokens) else ""


def speaks_of_lawn(tokens: tuple[Token, ...]) -> bool:
    """Whether a word for a lawn or a lawn grass is among the words."""
    return any(t.text in LAWN_WORDS for t in tokens)


def unknown_words(tokens: tuple[Token, ...]) -> list[str]:
    """Words that are no small word, plain verb or word for a lawn."""
    words = (t.text for t in tokens if t.text.isalpha() and not t.text.endswith("ly"))
    return [w for w in words if w not in KNOWN_WORDS]
