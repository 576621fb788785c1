"""Forms that keys of several sections of site.yaml share: lists, flags, spans of days, machines."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator

from advisor.base.vocabularies import ToolKind
from advisor.records.limit_values import tool_of
from advisor.records.record import DaySpan, read_span
from advisor.records.words import as_flag


def _or_none_listed(given: Any) -> Any:
    return [] if given is None else given


Days = Annotated[
    DaySpan,
    BeforeValidator(read_span),
    AfterValidator(lambda span: tuple(map(dt.date.isoformat, span))),
]
Flag = Annotated[bool, BeforeValidator(as_flag)]
Machine = Annotated[ToolKind, BeforeValidator(tool_of)]
LISTING = BeforeValidator(_or_none_listed)
