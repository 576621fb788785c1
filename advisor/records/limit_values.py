"""One value of a limit, as site.yaml and the journal both write it: read here and nowhere else.

`read_noted` reads the one cell of a journal's limit, whose members stand in a row with commas.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable
from typing import Any, get_args

from advisor.base.dates import DAY_MIN
from advisor.base.problems import did_you_mean
from advisor.base.vocabularies import ToolKind, complete
from advisor.records.limits import NO_LIMITS, WEEKDAYS, HiredOn, Hours
from advisor.records.record import read_span
from advisor.records.words import as_flag, as_name

_CLOCK = r"(\d{1,2}):([0-5]\d)"
_HOURS = re.compile(rf"(?:(\S+) +)?{_CLOCK} +to +{_CLOCK}|(\S+) +never", re.IGNORECASE)
_WANTED = "write '08:00 to 12:00', 'sunday 13:00 to 17:00' or '2026-09-12 08:00 to 12:00'"
NONE, ALL = "none", "all"
"""That nothing is said of a key any more, in place of its value; and of all keys, as a key."""

_TOOLS_CALLED: dict[Any, ToolKind] = {
    "aerator": "core_aerator", "power_rake": "vertical_mower", "dethatcher": "vertical_mower",
    "scarifier": "vertical_mower", "verticutter": "vertical_mower", "slice_seeder": "slit_seeder",
    "rotary_tiller": "tiller", "lawn_roller": "roller", "lawn_mower": "mower",
    "broadcast_spreader": "spreader", "drop_spreader": "spreader",
}  # fmt: skip
"""What keepers and shops call the machines besides."""


def tool_of(given: Any) -> Any:
    """The machine that a name means; the name itself where it means none."""
    word = as_name(given)
    return _TOOLS_CALLED.get(word, word) if isinstance(word, str) else word


def read_hours(given: Any) -> Hours:
    """Hours of a day. Raises `ValueError` with what is wanted instead."""
    match = _HOURS.fullmatch(given.strip()) if isinstance(given, str) else None
    if match is None:
        raise ValueError(f"'{given}' names no hours; {_WANTED}, or 'sunday never'")
    day = _day(match[1] or match[6] or "", given)
    if match[6]:
        return day, 0, 0
    start, end = (60 * int(match[at]) + int(match[at + 1]) for at in (2, 4))
    if not start < end <= DAY_MIN:
        raise ValueError(f"'{given}' must run forwards within one day, 00:00 to 24:00")
    return day, start, end


def _day(word: str, given: str) -> str:
    day = word.lower().rstrip(":,")
    if day in ("", *WEEKDAYS):
        return day
    try:
        return dt.date.fromisoformat(day).isoformat()
    except ValueError:
        near = did_you_mean(day, WEEKDAYS)
        raise ValueError(f"'{word}' in '{given}' is no day{near}; {_WANTED}") from None


def read_helper(given: Any) -> Hours:
    """Hours of a helper, who is not told of by `never`. Raises `ValueError`."""
    day, start, end = read_hours(given)
    if start == end:
        raise ValueError(f"'{given}' is no helper's time; {_WANTED}")
    return day, start, end


def _all_hours(text: str) -> tuple[Hours, ...]:
    return tuple(map(read_hours, _members(text)))


def _all_helpers(text: str) -> tuple[Hours, ...]:
    return tuple(map(read_helper, _members(text)))


def _money(text: str) -> float:
    try:
        money = float(text)
    except ValueError:
        money = -1.0
    if not 0 <= money < math.inf:
        raise ValueError(f"'{text}' is no sum of money; write a number such as '100'")
    return money


def _flag(text: str) -> bool:
    flag = as_flag(text)
    if not isinstance(flag, bool):
        raise ValueError(f"'{text}' is neither yes nor no")
    return flag


def _spans(text: str) -> tuple[tuple[dt.date, dt.date], ...]:
    return tuple(map(_span, _members(text)))


def _span(text: str) -> tuple[dt.date, dt.date]:
    try:
        return read_span(dt.date.fromisoformat(text))
    except ValueError:
        return read_span(text)


def _hired_on(text: str) -> HiredOn:
    """`core_aerator: 2026-09-12, 2026-09-19 to 2026-09-20`."""
    name, colon, days = text.partition(":")
    kind = tool_of(name)
    known = get_args(ToolKind)
    if not colon or kind not in known:
        hint = "" if kind in known else did_you_mean(str(kind), known)
        raise ValueError(
            f"'{text}' names no machine and its days{hint}; write 'core_aerator: 2026-09-12'"
        )
    return HiredOn(kind=kind, days=_spans(days))


def _members(text: str) -> list[str]:
    return [member.strip() for member in text.split(",")]


_READERS: dict[str, Callable[[str], Any]] = complete(
    {
        "work": _all_hours,
        "engines": _all_hours,
        "shop": _all_hours,
        "helpers": _all_helpers,
        "hire": _money,
        "lifting": _flag,
        "machines": _flag,
        "away": _spans,
        "hired_on": _hired_on,
    },
    NO_LIMITS.__struct_fields__,
)
LIMIT_NAMES = tuple(_READERS)


def read_noted(what: str, text: str) -> Any:
    """What the journal notes of a key of `LIMIT_NAMES`: its value as in `Limits`, of `hired_on`
    one entry; None where nothing is said of it any more. Raises `ValueError` with a sentence.
    """
    return None if text == NONE else _READERS[what](text)
