"""How `limits` of site.yaml is written; `limits.py` says what each key means."""

from __future__ import annotations

import datetime as dt
import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from advisor.base.checked_model import FileModel, Listed
from advisor.base.problems import did_you_mean
from advisor.records.key_forms import LISTING, Days, Flag, Machine
from advisor.records.limits import WEEKDAYS, Hours

_CLOCK = r"(\d{1,2}):([0-5]\d)"
_HOURS = re.compile(rf"(?:(\S+) +)?{_CLOCK} +to +{_CLOCK}|(\S+) +never", re.IGNORECASE)
_WANTED = "write '08:00 to 12:00', 'sunday 13:00 to 17:00' or '2026-09-12 08:00 to 12:00'"
_DAY_MIN = 24 * 60


def _hours(given: Any) -> Hours:
    match = _HOURS.fullmatch(given.strip()) if isinstance(given, str) else None
    if match is None:
        raise ValueError(f"'{given}' names no hours; {_WANTED}, or 'sunday never'")
    day = _day(match[1] or match[6] or "", given)
    if match[6]:
        return day, 0, 0
    start, end = (60 * int(match[at]) + int(match[at + 1]) for at in (2, 4))
    if not start < end <= _DAY_MIN:
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


def _helper(given: Any) -> Any:
    day, start, end = _hours(given)
    if start == end:
        raise ValueError(f"'{given}' is no helper's time; {_WANTED}")
    return day, start, end


Times = Annotated[Listed[Annotated[Hours, BeforeValidator(_hours)]], Field(min_length=1)]
HelpersTimes = Annotated[Listed[Annotated[Hours, BeforeValidator(_helper)]], LISTING]


class HiredOnKeys(FileModel):
    kind: Machine
    days: Annotated[Listed[Days], Field(min_length=1)]


class LimitsKeys(FileModel):
    work: Times | None = None
    engines: Times | None = None
    shop: Times | None = None
    helpers: HelpersTimes = ()
    hire: float | None = Field(default=None, ge=0)
    lifting: Flag = True
    machines: Flag = True
    away: Annotated[Listed[Days], LISTING] = ()
    hired_on: Annotated[Listed[HiredOnKeys], LISTING] = ()
