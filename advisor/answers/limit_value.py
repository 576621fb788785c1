"""The value of a limit, from its words, days and hours, as site.yaml would have it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from advisor.answers.limit_day_hours import WHOLE, hours_said, placed, span_said
from advisor.answers.limit_piece import Asked, Piece, Unclear, such
from advisor.answers.limit_words import AGAIN, MANY, NEGATED, ONE_PERSON, ONLY
from advisor.records.date_words import NUMBER_WORDS
from advisor.records.limit_values import NONE
from advisor.records.limits import WEEKDAYS
from advisor.records.record import DaySpan

_CURRENCIES = {
    "$": "D", "dollar": "D", "dollars": "D", "bucks": "D", "€": "EUR", "euro": "EUR",
    "euros": "EUR", "£": "GBP", "pound": "GBP", "pounds": "GBP",
}  # fmt: skip
"""The end of the code of the money that a word may mean."""


_LONG = dt.timedelta(days=13)
"""Who has no hours on more than two weeks says so with more words (chosen)."""
_HAVE = ("time", "hours", "free", "available", "have", "got", "ive")


def value_of(kind: str, piece: Piece, asked: Asked) -> tuple[str, str]:
    """Key and value; an empty key if it is no limit. Raises `Unclear`."""
    try:
        what, value = _VALUES[kind](piece, asked)
    except ValueError as error:
        raise Unclear(str(error)) from None
    if what and sum(word in NEGATED for word in piece.words) > 1:
        raise Unclear(f"denies something twice; {such(kind)}")
    return what, value


def _work(piece: Piece, asked: Asked) -> tuple[str, str]:
    no = piece.no or piece.says(("busy",))
    told = piece.hours.told or piece.hours.minutes is not None
    means = no or piece.says(ONLY) or (told and piece.says(_HAVE))
    if piece.says(AGAIN) and not no and not piece.dated and not told:
        return ("work", NONE) if piece.says(("time", "work", "working")) else ("", "")
    if not means or not (piece.dated or told):
        return "", ""
    if not piece.dated:
        raise Unclear(f"says no day; {such('work')}, or 'only two hours a day'")
    if not told and any(b - a > _LONG for a, b in piece.days.spans):
        return "", ""  # "none from june to august" may be about anything
    if no or told:
        return "work", hours_said("work", piece, asked, no)
    if not piece.days.every or "" in piece.days.every:
        if any(first != last for first, last in piece.days.spans):
            return "", ""
        raise Unclear(f"says no hours of that day; {such('work')}")
    # "Only on weekends" is that there are no hours on other days.
    others = (f"{day} never" for day in WEEKDAYS if day not in piece.days.every)
    return "work", ", ".join(others)


def _engines(piece: Piece, asked: Asked) -> tuple[str, str]:
    no = piece.no or piece.says(("quiet", "silence", "quietly"))
    if piece.says(AGAIN) and not no and not piece.dated and not piece.hours.told:
        return "engines", NONE
    if not piece.dated and not piece.hours.told:
        if no and piece.says(("engine", "engines", "motor", "motors")):
            return "machines", "no"
        raise Unclear(f"says no day or hour; {such('engines')}, or 'no machines'")
    if piece.hours.minutes is not None:
        raise Unclear(f"how long engines run in all cannot be noted; {such('engines')}")
    if not no and not piece.hours.told:
        raise Unclear(f"says no hours; {such('engines')}")
    if not no and not piece.says((*ONLY, "allowed", "ok", "okay", "fine", "hours", "may", "can")):
        raise Unclear(f"does not say that engines run only then; {such('engines')}")
    return "engines", hours_said("engines", piece, asked, no)


def _machines(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.dated or piece.hours.told:
        return _engines(piece, asked)
    if piece.no:
        return "machines", "no"
    if piece.says(AGAIN):
        return "machines", "yes"
    return "", ""


def _lifting(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.dated or piece.hours.told:
        raise Unclear(
            "it cannot be noted for some days: write 'no lifting', and 'i can lift again' when "
            "that is over"
        )
    if piece.no:
        return "lifting", "no"
    if piece.says(AGAIN) or piece.says(("can", "allowed")):
        return "lifting", "yes"
    return "", ""


def _shop(piece: Piece, asked: Asked) -> tuple[str, str]:
    no = piece.no or piece.says(("closed", "closes"))
    if not (piece.dated or piece.hours.told) or (not no and not piece.hours.told):
        raise Unclear(f"does not say when it is open; {such('shop')}")
    if not no and not piece.says(("open", "opens", "opening", "hours", *ONLY)):
        raise Unclear(f"does not say whether it is open; {such('shop')}")
    return "shop", hours_said("shop", piece, asked, no)


def _helpers(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.no:
        raise Unclear(f"helpers are noted when they come{asked.back('helpers')}")
    if not piece.dated:
        if not piece.says((*ONE_PERSON, *MANY)):
            return "", ""
        raise Unclear(f"does not say on which day; {such('helpers')}")
    spans = piece.hours.within(WHOLE)
    if piece.hours.minutes is not None and piece.hours.told:
        spans = (placed(spans, piece.hours.minutes, 0),)
    elif not piece.hours.told:
        raise Unclear(f"does not say from when to when; {such('helpers')}")
    hours = [f"{key} {span_said(span)}".strip() for key in piece.days.keys for span in spans]
    return "helpers", ", ".join(hours * _persons(piece.words))


def _persons(words: Sequence[str]) -> int:
    found, number = 0, 0
    for word in words:
        if (word in NUMBER_WORDS and word != "a") or word.isdigit() or word == "both":
            number = {"both": 2, **NUMBER_WORDS}.get(word) or int(word)
        elif word in MANY:
            if not number:
                raise Unclear(f"does not say how many; {such('helpers')}, or 'two friends help …'")
            found, number = found + number, 0
        elif word in ONE_PERSON:
            found, number = found + 1, 0
    return found or 1


def _hire(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.dated or piece.hours.told:
        raise Unclear(f"it holds for all hire of a plan, not for days; {such('hire')}")
    if piece.no and not piece.sums and piece.says(("money",)):
        return "hire", "0"
    if not piece.sums and not piece.says((*NEGATED, *ONLY, "budget")):
        return "", ""
    if len(piece.sums) != 1:
        raise Unclear(f"does not say one sum of money; {such('hire')}")
    if not (piece.no or piece.says((*ONLY, "budget"))):
        raise Unclear(f"does not say that it is the most; {such('hire')}")
    (amount, currency) = piece.sums[0]
    wanted = _CURRENCIES.get(currency, currency.upper())
    if asked.money and wanted and not asked.money.endswith(wanted):
        raise Unclear(f"prices of this lawn are in {asked.money}; write the sum in {asked.money}")
    return "hire", amount.replace(",", "")


def _hired_on(piece: Piece, asked: Asked) -> tuple[str, str]:
    if not piece.says((*ONLY, "available", "free", "get", "have", "had")):
        return "", ""
    machine = piece.machines[0].replace("_", " ")
    if len(set(piece.machines)) > 1:
        raise Unclear("it names two machines; write one note for each")
    if piece.machines[0] not in asked.hired:
        raise Unclear(
            f"the {machine} is no machine that you hire; under 'tools' in site.yaml it needs "
            "'have: hired'"
        )
    if piece.no or piece.hours.told or piece.days.every or not piece.days.spans:
        raise Unclear(f"does not say on which dates alone it is to be had; {such('hired_on')}")
    return "hired_on", f"{piece.machines[0]}: {_spans(piece.days.spans)}"


def _away(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.no or (piece.says(AGAIN) and not piece.dated):
        raise Unclear(f"days away are over by themselves{asked.back('away')}")
    if piece.hours.told or piece.days.every:
        if not piece.dated:
            raise Unclear(f"does not say on which day; {such('away')}")
        return "work", hours_said("work", piece, asked, no=True)
    if not piece.days.spans:
        raise Unclear(f"does not say from when to when; {such('away')}")
    if piece.says(("holiday", "holidays")) and all(a == b for a, b in piece.days.spans):
        return "", ""  # on a public holiday people are at home
    return "away", _spans(piece.days.spans)


def _spans(spans: Sequence[DaySpan]) -> str:
    return ", ".join(f"{first}" if first == last else f"{first} to {last}" for first, last in spans)


_VALUES: dict[str, Callable[[Piece, Asked], tuple[str, str]]] = {
    "work": _work,
    "engines": _engines,
    "machines": _machines,
    "lifting": _lifting,
    "shop": _shop,
    "helpers": _helpers,
    "hire": _hire,
    "hired_on": _hired_on,
    "away": _away,
}
