"""The value of a limit, from its words, days and hours, as site.yaml would have it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence

from advisor.answers.limit_days import LimitDays
from advisor.answers.limit_hours import LimitHours, say_time
from advisor.answers.limit_words import AGAIN, KINDS, MANY, NEGATED, ONE_PERSON, ONLY
from advisor.base.record import Record
from advisor.records.date_words import NUMBER_WORDS
from advisor.records.limit_values import DAY_MIN, NONE
from advisor.records.limits import WEEKDAYS, Hours, Limits, Span, spans_on
from advisor.records.record import DaySpan

_WHOLE: tuple[Span, ...] = ((0, DAY_MIN),)
_CURRENCIES = {
    "$": "D", "dollar": "D", "dollars": "D", "bucks": "D", "€": "EUR", "euro": "EUR",
    "euros": "EUR", "£": "GBP", "pound": "GBP", "pounds": "GBP",
}  # fmt: skip
"""The end of the code of the money that a word may mean."""
_UNDO = "'advisor undo' with the id of its record takes it back"


class Unclear(Exception):
    """A limit that lacks something, or says too much: a clause that goes on from `but`."""


class Asked(Record, frozen=True):
    """From where a limit is read. limits: those that stand. money: code of the keeper's money.
    hired: the machines that the keeper hires. earliest: when hours begin of which only the length
    is told, minutes after midnight.
    """

    on: dt.date
    latitude: float
    limits: Limits
    money: str
    hired: frozenset[str]
    earliest: int


class Piece(Record, frozen=True):
    """A sentence in its parts. words: those left. sums: of money, with their currency's word."""

    words: tuple[str, ...]
    days: LimitDays
    hours: LimitHours
    machines: tuple[str, ...]
    sums: tuple[tuple[str, str], ...]

    def says(self, some: Iterable[str]) -> bool:
        return not frozenset(self.words).isdisjoint(some)

    @property
    def no(self) -> bool:
        return self.says(NEGATED)

    @property
    def dated(self) -> bool:
        return bool(self.days.every or self.days.spans)


def value_of(kind: str, piece: Piece, asked: Asked) -> tuple[str, str]:
    """Key and value; an empty key if it is no limit. Raises `Unclear`."""
    try:
        return _VALUES[kind](piece, asked)
    except ValueError as error:
        raise Unclear(str(error)) from None


def _such(kind: str) -> str:
    return f"write such as {KINDS[kind].such}"


def _work(piece: Piece, asked: Asked) -> tuple[str, str]:
    no = piece.no or piece.says(("busy",))
    told = piece.hours.told or piece.hours.minutes is not None
    means = no or piece.says(ONLY) or (told and piece.says(("time", "hours", "free", "available")))
    if piece.says(AGAIN) and not no and not piece.dated and not told:
        return ("work", NONE) if piece.says(("time", "work", "working")) else ("", "")
    if not means or not (piece.dated or told):
        return "", ""
    if not piece.dated:
        raise Unclear(f"says no day; {_such('work')}, or 'only two hours a day'")
    return "work", _hours("work", piece, asked, no)


def _engines(piece: Piece, asked: Asked) -> tuple[str, str]:
    no = piece.no or piece.says(("quiet", "silence", "quietly"))
    if piece.says(AGAIN) and not no and not piece.dated and not piece.hours.told:
        return "engines", NONE
    if not piece.dated and not piece.hours.told:
        if no and piece.says(("engine", "engines", "motor", "motors")):
            return "machines", "no"
        raise Unclear(f"says no day or hour; {_such('engines')}, or 'no machines'")
    if piece.hours.minutes is not None:
        raise Unclear(f"how long engines run in all cannot be noted; {_such('engines')}")
    if not no and not piece.hours.told:
        raise Unclear(f"says no hours; {_such('engines')}")
    if not no and not piece.says((*ONLY, "allowed", "ok", "okay", "fine", "hours", "may", "can")):
        raise Unclear(f"does not say that engines run only then; {_such('engines')}")
    return "engines", _hours("engines", piece, asked, no)


def _machines(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.dated or piece.hours.told:
        return _engines(piece, asked)
    if piece.no:
        return "machines", "no"
    if piece.says(AGAIN):
        return "machines", "yes"
    raise Unclear(f"does not say what of machines; {_such('machines')}")


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
    raise Unclear(f"does not say what of lifting; {_such('lifting')}")


def _shop(piece: Piece, asked: Asked) -> tuple[str, str]:
    no = piece.no or piece.says(("closed", "closes"))
    if not (piece.dated or piece.hours.told) or (not no and not piece.hours.told):
        raise Unclear(f"does not say when it is open; {_such('shop')}")
    if not no and not piece.says(("open", "opens", "opening", "hours", *ONLY)):
        raise Unclear(f"does not say whether it is open; {_such('shop')}")
    return "shop", _hours("shop", piece, asked, no)


def _hours(name: str, piece: Piece, asked: Asked, no: bool) -> str:
    """Hours of each day: those told, or where they are denied what is left of those that stand."""
    given: tuple[Hours, ...] | None = getattr(asked.limits, name)
    keys = piece.days.keys or ("",)
    if keys == ("",) and (any(day in WEEKDAYS for day, _, _ in given or ()) or _never(piece, no)):
        # What is said of a day of the week would stand above what is said of every day.
        keys = WEEKDAYS
    said = []
    for key in keys:
        free = _free(given, key, asked.on)
        if no:
            told = piece.hours.without(free) if piece.hours.told else ()
        elif piece.hours.minutes is not None:
            base = piece.hours.within(_WHOLE if piece.hours.told else free)
            told = (_placed(base, piece.hours.minutes, asked.earliest),)
        else:
            told = piece.hours.within(_WHOLE)
        if no and piece.hours.minutes is not None:
            raise Unclear(f"it denies a number of hours; {_such('work')}")
        said += [f"{key} {_span(span)}".strip() for span in told] or [f"{key} never"]
    return ", ".join(said)


def _never(piece: Piece, no: bool) -> bool:
    return no and (not piece.hours.told or not piece.hours.without(_WHOLE))


def _free(given: tuple[Hours, ...] | None, key: str, on: dt.date) -> tuple[Span, ...]:
    """The hours that stand of a date, a day of the week or every day."""
    if given is None:
        return _WHOLE
    if key not in ("", *WEEKDAYS):
        spans = spans_on(given, dt.date.fromisoformat(key))
    else:
        general = tuple(hours for hours in given if hours[0] in ("", key))
        ahead = (WEEKDAYS.index(key) - on.weekday()) % 7 if key else 0
        spans = spans_on(general, on + dt.timedelta(days=ahead))
    return _WHOLE if spans is None else spans


def _placed(free: Sequence[Span], minutes: int, earliest: int) -> Span:
    """The first span of so many minutes, not before `earliest` where that can be."""
    for least in (earliest, 0):
        for start, end in free:
            begins = max(start, least)
            if begins + minutes <= end:
                return begins, begins + minutes
    if not free:
        raise Unclear("there are no hours on that day")
    return free[0]


def _span(span: Span) -> str:
    return f"{say_time(span[0])} to {say_time(span[1])}"


def _helpers(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.no:
        raise Unclear(f"helpers are noted when they come; {_UNDO}")
    if not piece.dated:
        raise Unclear(f"does not say on which day; {_such('helpers')}")
    spans = piece.hours.within(_WHOLE)
    if piece.hours.minutes is not None and piece.hours.told:
        spans = (_placed(spans, piece.hours.minutes, 0),)
    elif not piece.hours.told:
        raise Unclear(f"does not say from when to when; {_such('helpers')}")
    hours = [f"{key} {_span(span)}".strip() for key in piece.days.keys for span in spans]
    return "helpers", ", ".join(hours * _persons(piece.words))


def _persons(words: Sequence[str]) -> int:
    found, number = 0, 0
    for word in words:
        if word in NUMBER_WORDS and word != "a" or word.isdigit() or word == "both":
            number = {"both": 2, **NUMBER_WORDS}.get(word) or int(word)
        elif word in MANY:
            if not number:
                raise Unclear(f"does not say how many; {_such('helpers')}, or 'two friends help …'")
            found, number = found + number, 0
        elif word in ONE_PERSON:
            found, number = found + 1, 0
    return found or 1


def _hire(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.dated or piece.hours.told:
        raise Unclear(f"it holds for all hire of a plan, not for days; {_such('hire')}")
    if piece.no and not piece.sums and piece.says(("money",)):
        return "hire", "0"
    if len(piece.sums) != 1:
        raise Unclear(f"does not say one sum of money; {_such('hire')}")
    if not (piece.no or piece.says((*ONLY, "budget"))):
        raise Unclear(f"does not say that it is the most; {_such('hire')}")
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
        raise Unclear(f"does not say on which dates alone it is to be had; {_such('hired_on')}")
    return "hired_on", f"{piece.machines[0]}: {_spans(piece.days.spans)}"


def _away(piece: Piece, asked: Asked) -> tuple[str, str]:
    if piece.no or piece.says(AGAIN):
        raise Unclear(f"days away are over by themselves; before that {_UNDO}")
    if piece.hours.told or piece.days.every:
        if not piece.dated:
            raise Unclear(f"does not say on which day; {_such('away')}")
        return "work", _hours("work", piece, asked, no=True)
    if not piece.days.spans:
        raise Unclear(f"does not say from when to when; {_such('away')}")
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
