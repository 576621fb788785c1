"""What makes a sentence something else than work that was done: each with what it tells instead.

A whole sentence is judged, not its clauses: a record can forbid a job for a season, so a mixed
sentence is refused with the word that makes it so, and the keeper writes the work alone.
"""

from __future__ import annotations

import re
from typing import Literal

from advisor.base.record import Record

Instead = Literal["asked", "wished", "seen", "other"]

_MONTH = (
    r"jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|"
    r"oct(?:ober)?|nov(?:ember)?|dec(?:ember)?"
)
_SEASON = r"spring|summer|autumn|fall|winter"
_PERSON = (
    r"neighbou?rs?|neighbou?r's|friends?|brothers?|sisters?|fathers?|mothers?|dads?|moms?|"
    r"mums?|parents?|sons?|daughters?|kids?|child|children|boys?|girls?|wife|wifes|husbands?|"
    r"partner|uncle|aunt|cousins?|grand(?:ma|pa|mother|father|parents?)|in-?laws?|"
    r"landscapers?|contractors?|compan(?:y|ies)|crews?|services?|gardeners?|guys?|man|men|"
    r"woman|women|people|pros?|professionals?|experts?|workers?|team|landlords?|tenants?|"
    r"renters?|council|school|church|club|somebody|someone|anybody|anyone|everybody|everyone|"
    r"others?|they|he|she|his|her|hers|their|theirs|him|you|your|yours|next door|"
    r"across the street"
)
_THING = (
    r"flowers?|flower ?beds?|roses?|tomato(?:es)?|vegetables?|veg|veggies|garden beds?|beds|"
    r"borders?|pots?|planters?|hedges?|trees?|shrubs?|bush(?:es)?|driveway|gutters?|patio|"
    r"roof|dogs?|cats?|birds?|chickens?|hens?|horses?|cattle|cows?|car|orchard|park|golf|"
    r"field|meadow|pasture"
)
_PLACE = (
    r"garage|shed|kitchen|fridge|house|basement|cellar|attic|office|store|list|shelf|form|"
    r"calendar|path|paths|sidewalk|pavement|pond|deck"
)
_NEAR = r"around|near|under|between|along|beside|off|behind|past|below|beneath"


class Veto(Record, frozen=True):
    """instead: what the sentence tells. why: a clause with the word, `{said}`, that makes it so."""

    instead: Instead
    why: str
    pattern: re.Pattern[str]


def _veto(instead: Instead, why: str, words: str) -> Veto:
    return Veto(instead, why, re.compile(rf"(?<![\w'’])(?:{words})(?![\w'’])"))


_ASKS = Veto(
    "asked",
    "'{said}' asks",
    re.compile(
        r"\?|^(?:should|shall|can|could|may|must|do|does|when|what|why|how|which|who|"
        r"where|whether|anyone|anybody)\b"
        r"|^(?:did|will|would|have|has|am|is|are|was|were)"
        r"(?= (?:i|we|it|you|they|he|she|my|anyone|lawn)\b)"
        r"|^(?:have|has|is|are|was|were)(?= the\b)"
    ),
)
_NEGATED = _veto(
    "seen",
    "'{said}' says that it was not; for a wish write 'do not want …'",
    r"not|no|never|none|nobody|neither|nor|nothing|without|except|excepting|apart from|other than|"
    r"[a-z]+n['’]t|dont|didnt|isnt|wasnt|havent|hasnt|hadnt|couldnt|wouldnt|wont|cant|cannot|"
    r"unable|too (?:wet|dry|hot|cold|late|early|tired|dark|soft|hard|lazy|busy)(?: to)?",
)
_SOMEBODY = _veto(
    "other", "'{said}' is not you, or not your lawn; write only what was done to it", _PERSON
)
_NO_LAWN = Veto(
    "other",
    "'{said}' is no lawn",
    re.compile(rf"\b(?<!\bseed )(?<!\bdog )(?:{_THING})\b"),
)
_VETOES = (
    _ASKS,
    _NEGATED,
    _veto(
        "wished",
        "'{said}' tells of a wish or a plan",
        r"want|wants|wanted|wanting|wanna|wish|wishes|wished|wishing|hope|hopes|hoped|hoping|"
        r"plan|plans|planned|planning|intend|intends|intended|intending|going to|gonna|would|"
        r"will|shall|should|could|[a-z]+['’]ll|[a-z]+['’]d (?:like|love|rather)|might|must|"
        r"may(?= [a-z])|need|needs|needed|needing|ought|have to|has to|had to|supposed|meant|"
        r"mean to|about to|thinking|think|thought|consider|considered|considering|decide|"
        r"decided|deciding|like to|love to|prefer|remind|reminder|remember|todo|to do|to be|"
        r"next|soon|if|unless|maybe|perhaps|probably|lets|let['’]s|dream(?:ed|t)?(?: of|"
        r" about| that)?|imagin\w*|kidding|joking|joke|lol|in (?:my|a) (?:head|mind|dreams?)|"
        r"according to|pretend\w*|postpone\w*|put off|delay\w*|ready to|time to|due|"
        r"recommend\w*|advis\w*|suggest\w*|in order to|prepar\w*|tomorrow|upcoming|coming",
    ),
    _veto(
        "seen",
        "'{said}' tells of work that failed, was broken off or done in part; write only what was "
        "done",
        r"tried|try|tries|trying|attempt\w*|fail\w*|start|starts|started|starting|began|begin|"
        r"begins|begun|beginning|broke(?! up)|broken|breaks|stop|stops|stopped|stopping|"
        r"gave up|give up|given up|quit|quits|interrupt\w*|abandon\w*|unfinished|incomplete|"
        r"ran out|run out|rained out|rained off|cancel\w*|called off|nearly|almost|forgot\w*|"
        r"skip|skips|skipped|skipping|miss|missed|missing|refus\w*|declin\w*|jammed|jams|"
        r"stalled|stalls|stuck|died|halfway|half(?! (?:rate|dose|strength))|partly|partially|"
        r"part of|but|instead|rather|although|though|however|gave out|out of gas|out of fuel|"
        r"in vain|botched|wrong|aborted|cut short|snapped|bent|sheared|seized|(?:only|one|"
        r"a) (?:strip|row|bit|corner|piece)|to no avail|useless|pointless",
    ),
    _SOMEBODY,
    Veto(
        "other",
        "'by {said}' names somebody else; write only what was done to this lawn",
        re.compile(
            r"(?<=\bby )(?!hand\b|hose\b|machine\b|sprinkler|sprayer\b|spreader\b|tractor\b|"
            r"mower\b|noon\b|midday\b|evening\b|myself\b|accident\b|"
            r"[0-9]|the (?:bag|label|book)\b)[a-z]+"
        ),
    ),
    _NO_LAWN,
    _veto("other", "'{said}' is no lawn", _PLACE),
    _veto("seen", "'{said}' tells of a thing, not of work", r"for sale|on sale|second[- ]hand"),
    _veto(
        "seen",
        "'{said}' tells what something did by itself",
        r"itself|themselves|on its own|with rain|in the rain gauge",
    ),
    _veto(
        "seen",
        "'{said}' tells no day; write the day, such as '12 Sep'",
        r"every|each|always|usually|often|sometimes|daily|weekly|monthly|yearly|annually|regularly|"
        r"used to|last (?:week|weekend|month|year|season|night|time|" + _SEASON + r")|ago|years?|"
        r"recently|lately|other day|this (?:week|weekend|month|year|season|" + _SEASON + r")|"
        r"(?:in|since|during|early|late|mid|before|until) (?:the )?(?:"
        + _SEASON
        + "|"
        + _MONTH
        + r")|"
        r"decades?|seasons|months?|weeks|ever",
    ),
    _veto(
        "seen",
        "'{said}' tells of looking, not of work",
        r"photos?|pictures?|pics?|videos?|samples?|measur\w*|to (?:see|check|look|measure|test|"
        r"inspect|find|show|count)|noticed|heard|watched|read about|article|saw|seen|photographed|"
        r"looks like|seems",
    ),
)
_GOT = _veto(
    "seen",
    "'{said}' tells of a thing that is there, not that it was put down",
    r"bought|buy|purchased|ordered|picked up|got|get|have|has|own|found|stocked|in stock|at hand|"
    r"on hand|in the (?:shed|garage|cellar|store)|on the shelf|arrived|delivered|price[ds]?|bag",
)
_NOT = re.compile(r"\b(?:not|no|never|none|without|[a-z]+n['’]t|dont|didnt|isnt)\b")
_WITH = re.compile(r"\bwith (?:(?:the|a|an|my|our|his|her|their|your) )?[a-z'’]+(?: [a-z-]+){0,2}")


def denied(text: str) -> bool:
    """Whether a reading or a wish is denied."""
    return bool(_NOT.search(text))


def bought(text: str) -> tuple[Veto, str] | None:
    """What makes lower-case text tell of a thing that was got, not of its use."""
    match = _GOT.pattern.search(text)
    return (_GOT, match[0]) if match else None


def keepers_own(text: str, wish: int) -> bool:
    """Whether a wish told at `wish` is a statement, and nobody else's."""
    return not _ASKS.pattern.search(text) and not _SOMEBODY.pattern.search(text[:wish])


def veto(text: str, said: tuple[str, ...]) -> tuple[Veto, str] | None:
    """The first thing that makes lower-case text something else than work done, and its word.

    said: the words that tell of the work; they are not held against it ("looked for disease").
    """
    judged = _without(text, said)
    for rule in _VETOES:
        # Who lent the machine, or helped, did not do it.
        looked_at = _WITH.sub(" ", judged) if rule is _SOMEBODY else judged
        for match in rule.pattern.finditer(looked_at):
            if rule is _NO_LAWN and _beside(looked_at, match.start()):
                continue
            return rule, match[0].strip() or "?"
    return None


def _beside(text: str, at: int) -> bool:
    """Whether a thing only tells where on the lawn: `mowed around the trees`."""
    return bool(re.search(rf"\b(?:{_NEAR})(?: \w+)? $", text[:at]))


def _without(text: str, said: tuple[str, ...]) -> str:
    for word in said:
        if word not in ("did", "done"):
            text = re.sub(rf"\b{re.escape(word)}\b", "…", text, count=1)
    return text
