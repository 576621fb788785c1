"""What was understood of a limit, in words, so that the keeper can see whether it is so."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from advisor.amounts.amount import money
from advisor.answers.words import listed, say_span
from advisor.base.dates import ONE_DAY, say_date
from advisor.records.limit_values import ALL, read_noted
from advisor.records.limits import WEEKDAYS, HiredOn, Hours, Span
from advisor.records.record import DaySpan

_ENDED = {
    "work": "all hours that weather and light allow are yours again",
    "engines": "engines may be heard at any hour",
    "shop": "nothing is said any more of when the hire shop is open",
    "helpers": "no helper comes any more",
    "hire": "hire may cost anything",
    "away": "no days away stand any more",
    "hired_on": "every machine is to be had on any day",
    "lifting": "you can lift again",
    "machines": "machines may be used again",
}
_FLAGS = {
    ("lifting", False): "no lifting, so a machine that takes two to load is hired only while two "
    "people are there, until you write 'i can lift again'",
    ("machines", False): "no machines, so work by hand alone, until you write 'machines again'",
    ("lifting", True): _ENDED["lifting"],
    ("machines", True): _ENDED["machines"],
}


def say_limit(what: str, text: str, on: dt.date, code: str) -> str:
    """`on Saturday 12 Sep you have from 09:00 to 11:00`. code: of the keeper's money."""
    if what == ALL:
        return "no noted limit holds any more; what 'limits' of site.yaml says still holds"
    value = read_noted(what, text)
    if value is None:
        return _ENDED[what]
    if isinstance(value, bool):
        return _FLAGS[what, value]
    if what == "hire":
        return f"all hire of a plan may cost {money(value, code)} at most"
    if what == "away":
        return f"nobody is there {_say_spans(value, on)}, to work or to water"
    if what == "hired_on":
        return _say_machine(value, on)
    if what == "helpers":
        return "; ".join(_say_helpers(value, on))
    return "; ".join(_say_hours(what, value, on))


def _say_machine(value: HiredOn, on: dt.date) -> str:
    return f"the {value.kind.replace('_', ' ')} is to be had only {_say_spans(value.days, on)}"


def _say_helpers(hours: Sequence[Hours], on: dt.date) -> Iterator[str]:
    for (key, start, end), same in groupby(sorted(hours)):
        count = len(list(same))
        who = "one more person helps" if count == 1 else f"{count} more people help"
        yield f"{_say_days([key], on)} {who} {say_span((start, end))}"


def _say_hours(what: str, hours: Sequence[Hours], on: dt.date) -> Iterator[str]:
    """Days with the same hours as one."""
    by_day = {key: tuple(h[1:] for h in hours if h[0] == key) for key, _, _ in hours}
    for spans, keys in groupby(by_day, by_day.__getitem__):
        yield f"{_say_days(list(keys), on)} {_say_free(what, spans)}"


def _say_free(what: str, spans: Sequence[Span]) -> str:
    told = [span for span in spans if span[0] < span[1]]
    when = listed(tuple(map(say_span, told)))
    if what == "work":
        return f"you have {when}" if told else "you have no hours"
    if what == "engines":
        return f"engines may be heard {when}" if told else "no engine may be heard"
    return f"the hire shop is open {when}" if told else "the hire shop is closed"


def _say_days(keys: Sequence[str], on: dt.date) -> str:
    if keys[0] in ("", *WEEKDAYS):
        named = tuple(key.capitalize() for key in keys if key)
        return f"every {listed(named)}" if named and len(named) < len(WEEKDAYS) else "every day"
    return _say_spans(_runs(map(dt.date.fromisoformat, keys)), on)


def _runs(days: Iterable[dt.date]) -> list[DaySpan]:
    found: list[DaySpan] = []
    for day in days:
        if found and day == found[-1][1] + ONE_DAY:
            found[-1] = (found[-1][0], day)
        else:
            found.append((day, day))
    return found


def _say_spans(spans: Sequence[DaySpan], on: dt.date) -> str:
    return listed(
        tuple(
            f"on {_say_day(first, on)}"
            if first == last
            else f"from {_say_day(first, on)} to {_say_day(last, on)}"
            for first, last in spans
        )
    )


def _say_day(day: dt.date, on: dt.date) -> str:
    return f"{day:%A} {say_date(day, relative_to=on)}"
