"""Names as keepers write them, and function words that tell whether work was done.

Only general words stand here. What belongs to one job stands in its rule file (`done_as`).
"""

from __future__ import annotations

from typing import Any

UNKNOWN_GRASS = "dont_know"


def as_name(text: Any) -> Any:
    """`Kentucky bluegrass` as `kentucky_bluegrass`; what is not text comes back as it was."""
    if not isinstance(text, str):
        return text
    plain = text.strip().lower().replace("'", "").replace("’", "")
    return "_".join(plain.replace("-", " ").replace("_", " ").split())


def as_flag(text: Any) -> Any:
    """`yes` as True and `no` as False; everything else comes back as it was."""
    plain = text.strip().lower() if isinstance(text, str) else text
    return {"yes": True, "true": True, "no": False, "false": False}.get(plain, text)


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


KEEPER = _set("i we ive weve myself ourselves")
ARTICLES = _set("the a an this that these those my our some any")
BE_FORMS = _set("was were is are been got all fully")
AUXILIARIES = BE_FORMS | _set("have has had being did just")
PASSED_OVER = _set(
    "just finally already also then now today first again both only all quick really once twice "
    "yesterday yes ok done too well myself here there"
)
"""Words that may stand between the keeper and the word of doing."""
OF_LAWN = _set(
    "lawn lawns grass turf yard yards front back side sides whole everything area areas strip "
    "strips edge edges slope bank corner corners middle center centre half verge boulevard it "
    "patch patches spot spots section sections plot rest place places lot"
)
DESCRIBING = _set(
    "whole entire bare thin shady sunny wet dry compacted new old small big large other left right "
    "upper lower north south east west worn thinned same"
)
FOLLOWS_WORK = _set(
    # prepositions and connecting words
    "in on at to with for by from over around along near under between across through into per "
    "about after before while when because since as during within and then again today "
    "yesterday once twice times time one two three four five six seven eight nine ten pass "
    "passes high low short deep early late well hard light heavy both all everywhere outside "
    "here there this that morning afternoon evening just only now myself too lb lbs pound "
    "pounds oz ounce ounces kg g gram grams n in inch inches mm cm m ft sq yd h hour hours hr "
    "hrs min mins minute minutes bag bags bucket buckets gal gallon gallons l liter liters "
    "litre litres percent took depth seed product half an a"
)
"""What may follow a word that says its job alone, beside the lawn itself."""
JOINING = _set("and because since so while when after before as then plus")
"""Words at which what was said of the work ends, or another part of the sentence begins."""
PAST_VERBS = _set("bought got took went had did ran put cut fed mown sown spread dug swept drove")
"""Beside all that ends in -ed: what may begin a sentence that goes on with the work."""
AMOUNTS = _set(
    "one two three four five six seven eight nine ten dozen few several lots lot many more "
    "most half full lb lbs pound pounds oz ounce ounces kg g gram grams bag bags bucket "
    "buckets spreader layer load loads yards tons square feet foot ft sq n p k"
)
STUFF = _set(
    "granular liquid organic slow quick release starter lawn grass mix mixture mixed blend "
    "screened fine fresh dead fallen tree dried loose last old kentucky bluegrass tall fescue "
    "fescues perennial annual rye ryegrass bermuda bermudagrass zoysia buffalograss bahiagrass "
    "clover winter spring autumn fall mower mowers garden power lawnmower selective broadleaf "
    "treated coated certified sifted brown yellow white deep stubborn tough last remaining"
)
"""Kinds of what is put down, and of what is taken away."""
BETWEEN = (
    ARTICLES | OF_LAWN | DESCRIBING | AMOUNTS | STUFF | _set("of for up off away down all with")
)
"""What may stand between a word of doing and its object: `pulled up a few of the old`."""
AFTER_OBJECT = (FOLLOWS_WORK | AMOUNTS | OF_LAWN | JOINING) - _set("as of bag bags") | _set(
    "down up off out away"
)
STATES = _set(
    "is are was were isnt arent wasnt looks look looked feels feel felt seems seem seemed shows "
    "show showed lies lie lay stands stand stood stays stay stayed turns turn turned comes come "
    "came grows grow grew has smells dries wilts wilted died dies sprouts sprouted germinates "
    "germinated recovers recovered greens greened browns browned "
    "help helps helped work works worked hurt failed"
)
COMPLETED = ("did", "done", "done with", "finished", "finished with", "completed", "performed")
"""General words of doing; the job is named beside them."""
