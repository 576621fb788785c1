"""The words in which keepers tell of limits, and what each kind of limit is told by."""

from __future__ import annotations

import re

from advisor.base.record import Record
from advisor.base.vocabularies import ToolKind, complete


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


REWRITTEN: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(rf"\b(?:{said})\b"), means)
    for said, means in (
        (r"no more than|not more than|no longer than|not over|at the most|at most|up to|"
         r"at a maximum of|maximum of|max|maximum|no later than(?= )", "only"),
        (r"out of (?:town|the country|the house)|on (?:a )?(?:holidays?|vacation|business trip|"
         r"trip|leave)|not (?:at )?(?:home|here|there|around)|nobody (?:is |will be )?(?:at )?"
         r"(?:home|here|there|around)|no one (?:is |will be )?(?:at )?(?:home|here|there|around)|"
         r"nobodys (?:at )?(?:home|here|there|around)|"
         r"(?:wont|cant|cannot|not) be (?:at )?(?:home|here|there|around)", "away"),
        (r"(?:power|motor) ?tools|power equipment|machinery", "machines"),
        (r"no (?:lawn ?)?mowers?", "no engine"),
        (r"gives? (?:me|us) a hand|lends? (?:me|us) a hand|lends? a hand", "helps"),
        (r"(?:only |just )?by hand(?: only| alone)?|hand ?work only|only hand ?work|"
         r"with (?:my|our|bare) hands only", "without machines"),
        (r"any ?more|any longer|no longer", "more"),
        (r"my back is (?:fine|ok|okay|good|better|healed|well)(?: again)?", "lifting again"),
        (r"my back", "spine"),
        (r"to be had|be had|on offer", "available"),
        (r"no one|nobody", "never"),
        (r"as of (?=now|today)", ""),
    )
)  # fmt: skip
"""Phrases that are told as one word, before words are looked at singly."""
NEGATED = _set(
    "no not never cannot cant dont wont doesnt isnt arent mustnt shouldnt couldnt without none "
    "nothing unable forbidden prohibited banned"
)
ONLY = _set("only just limited")
AGAIN = _set("again")
"""With these a limit is over, if something says so."""
FILLERS = _set(
    "i we im ive ill am is are was be been being were will would have has had got get the a an on "
    "at in for to of my our me us it its there this that these those and or so do does can could "
    "may must should please from until till by with during now today as all you your now then "
    "his her their fine ok okay alright more both also about around day days"
)
_PEOPLE = (
    "son daughter wife husband partner friend neighbour neighbor brother sister father dad mother "
    "mum mom grandson granddaughter nephew niece cousin uncle aunt boy girl colleague mate man "
    "person helper somebody someone boyfriend girlfriend father-in-law brother-in-law"
)
ONE_PERSON = _set(_PEOPLE)
MANY = {
    **{f"{word}s": word for word in _PEOPLE.split()}, "men": "man", "people": "person",
    "kids": "", "children": "", "wives": "wife",
}  # fmt: skip
"""Several people; they need a number before them."""
MACHINES: dict[ToolKind, tuple[str, ...]] = complete(
    {
        "core_aerator": ("core aerator", "lawn aerator", "aerator", "coring machine", "corer",
                         "plugger"),
        "vertical_mower": ("vertical mower", "power rake", "dethatcher", "scarifier",
                           "verticutter"),
        "slit_seeder": ("slit seeder", "slice seeder", "overseeder"),
        "tiller": ("rotary tiller", "rototiller", "tiller"),
        "roller": ("lawn roller", "roller"),
        "spreader": ("broadcast spreader", "drop spreader", "spreader"),
        # Of a mower keepers say when it may be heard, not when it is to be had.
        "mower": (),
    },
    ToolKind,
)  # fmt: skip
"""What keepers call machines that can be hired."""


class Kind(Record, frozen=True):
    """A kind of limit. heads: a word of these tells of it. with_: words that may stand beside.
    such: sentences that are understood, to be shown. near: words on which they are shown.
    """

    heads: frozenset[str]
    with_: frozenset[str]
    such: str
    near: frozenset[str] = frozenset()


HIRE = Kind(
    _set("hire hiring rent renting rental rentals rented hired"),
    _set("spend budget cost costs money machine machines tools equipment than above limit most "
         "pay paying want everything any anything much"),
    "'at most 100 dollars for hire'",
)  # fmt: skip
KINDS: dict[str, Kind] = {
    "helpers": Kind(
        _set("help helps helping helper helpers"),
        ONE_PERSON | frozenset(MANY) | _set("comes come coming another second he she they lawn"),
        "'my son helps on saturday from 8 to 12'",
    ),
    "hire": HIRE,
    "shop": Kind(
        _set("shop store"),
        _set("hire rental tool open opens opening closed closes hours"),
        "'the hire shop is closed on sundays' or 'the hire shop is open from 8 to 12 on saturdays'",
    ),
    "hired_on": Kind(
        frozenset(),
        _set("available free hire rent hired rented rental"),
        "'the core aerator is only to be had on 12 september'",
    ),
    "lifting": Kind(
        _set("lift lifting"),
        _set("heavy anything things carry carrying load loading allowed much weights stuff want "
             "doctor doctors says said orders because spine bad hurt hurts sore"),
        "'no lifting', or 'i can lift again'",
        _set("spine carry carrying"),
    ),
    "engines": Kind(
        _set("noise noisy loud quiet silence engine engines motor motors"),
        _set("machines machine mower mowers run running runs make making hours time work allowed "
             "tools heard any quietly"),
        "'no noise on sundays' or 'engines only from 9 to 18'",
    ),
    "machines": Kind(
        _set("machine machines"),
        _set("use using work working power powered any allowed"),
        "'no machines', or 'machines again'",
    ),
    "away": Kind(
        _set("away gone abroad travelling traveling vacation holiday holidays absent"),
        _set("be go going leave whole family"),
        "'away from 10 to 24 september'",
        _set("back"),
    ),
    "work": Kind(
        frozenset(),
        _set("time hours hour work working free available busy gardening spare lawn any garden "
             "here start starting begin"),
        "'only two hours on saturday', 'only from 9 to 11 on saturday' or 'no time on sunday'",
        _set("time hours hour busy"),
    ),
}  # fmt: skip
ALL_HEADS = _set("limits restrictions limit")
OF_DATES = _set(
    "january february march april june july august september october november december jan feb mar "
    "apr jun jul aug sep sept oct nov dec monday tuesday wednesday thursday friday saturday sunday "
    "mondays tuesdays wednesdays thursdays fridays saturdays sundays weekend weekends week weeks "
    "month next last before after morning afternoon evening noon midnight yesterday tomorrow am pm "
    "christmas easter thanksgiving labor labour memorial new years holiday holidays eve since"
)
"""Words of dates and hours, among which one may be that cannot be read."""
SEASONS = _set("spring summer autumn fall winter")
ALL_WITH = _set("more over ended end forget gone away lift lifted remove cancel any anymore")
