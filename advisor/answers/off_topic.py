"""Why a question that names an operation may still be about something else.

Every check refuses, none guesses: a refusal costs the keeper a second try, a wrong answer more.
"""

from __future__ import annotations

import re
from itertools import islice, pairwise

from advisor.answers.main_operation import Roles, Span
from advisor.answers.question_intent import intent_of
from advisor.answers.question_scope import speaks_of_lawn, unknown_words
from advisor.answers.question_text import Mention, Token
from advisor.answers.seeding_words import SOWINGS

_MODALS = frozenset({"do", "does", "did", "will", "would", "can", "could", "should", "shall"})
_WHERE_OR_WHICH = re.compile(r"^(?:so |and |but )?(where|which|who|whose)\b")
# Everyday words with a life of their own beyond the lawn.
_COMMON = frozenset(
    {"seed", "seeds", "seeding", "seeded", "sow", "sowing", "sown", "core", "coring", "plug"}
    | {"plugging", "spike", "spiking", "thatch", "thatching"}
)
# Words of gardening, which may be done to other things than a lawn.
_GARDENING = frozenset(
    {"aerate", "aerates", "aerating", "aerated", "aeration", "aerator", "reseed", "reseeding"}
    | {"scarify", "scarifying", "scarified", "scarification", "compacted", "compaction"}
)
_ARTICLES = frozenset({"the", "my", "a", "an", "some", "our", "any"})


def other_matter(
    text: str,
    tokens: tuple[Token, ...],
    main: Mention,
    mentions: list[Mention],
    named: list[Span],
    roles: Roles,
) -> str:
    """Why the question is not about the operation it seems to ask about, or an empty string.

    `mentions` are all names of jobs, `named` the places of all names and dates found in the text.
    """
    if len(main.ids) > 1 and not main.ids <= SOWINGS:
        both = " and ".join(sorted(id.replace("_", " ") for id in main.ids))
        return f"'{main.said}' may mean {both}; say which"
    strange = _strange_word(main, mentions, tokens, named)
    if strange:
        return (
            f"'{main.said}' and '{strange}' may be about something other than a lawn; "
            "say 'lawn' or 'grass' if they are not"
        )
    doer = _unknown_doer(tokens, named)
    if doer:
        return f"this seems to ask about '{doer}', for which there are no rules here"
    verb = roles.other_verb(main.start, tokens, named)
    if verb:
        return f"this asks whether or how to '{verb}', for which there are no rules here"
    asks = _WHERE_OR_WHICH.match(text)
    several = len({id for m in mentions for id in m.ids}) > 1
    if asks and not several and intent_of(text, 2) == "should":
        return f"questions that ask '{asks[1]}' have no answer in the rules here"
    return ""


def _strange_word(
    main: Mention, mentions: list[Mention], tokens: tuple[Token, ...], named: list[Span]
) -> str:
    """An unknown word that gives another sense to the name of an operation, or nothing.

    Beside a common word any will do (`top seed`), after one of gardening only the thing to which
    it is done (`aerate wine`), and none if another word speaks of a lawn or a job on it.
    """
    several = any(m.said not in _COMMON | _GARDENING for m in mentions)
    if main.said not in _COMMON | _GARDENING or several or speaks_of_lawn(tokens):
        return ""
    if main.said in _GARDENING:
        after = (t for t in tokens if t.start >= main.end and t.text not in _ARTICLES)
        tokens = tuple(islice(after, 1))
    # A name after "in" or "near" is taken for a place.
    free = (t for b, t in pairwise((Token("", 0, 0), *tokens)) if b.text not in ("in", "near"))
    strange = unknown_words(tuple(t for t in free if not _within(t, named)))
    return strange[0] if strange else ""


def _unknown_doer(tokens: tuple[Token, ...], named: list[Span]) -> str:
    """The unknown doer that a question asks about (`do squirrels eat seed`), or nothing."""
    for modal, doer in pairwise(tokens):
        if modal.text in _MODALS and unknown_words((doer,)) and not _within(doer, named):
            return doer.text
    return ""


def _within(token: Token, named: list[Span]) -> bool:
    return any(start <= token.start < end for start, end in named)
