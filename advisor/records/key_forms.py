"""Forms that keys of several sections of site.yaml share: lists, flags, spans of days, machines."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator

from advisor.base.vocabularies import ToolKind
from advisor.records.record import DaySpan, read_span
from advisor.records.words import as_flag, as_name


def _or_none_listed(given: Any) -> Any:
    return [] if given is None else given


_TOOLS_CALLED: dict[Any, ToolKind] = {
    "aerator": "core_aerator", "power_rake": "vertical_mower", "dethatcher": "vertical_mower",
    "scarifier": "vertical_mower", "verticutter": "vertical_mower", "slice_seeder": "slit_seeder",
    "rotary_tiller": "tiller", "lawn_roller": "roller", "lawn_mower": "mower",
    "broadcast_spreader": "spreader", "drop_spreader": "spreader",
}  # fmt: skip
"""What keepers and shops call the machines besides."""


def tool_of(given: Any) -> Any:
    word = as_name(given)
    return _TOOLS_CALLED.get(word, word) if isinstance(word, str) else word


Days = Annotated[
    DaySpan,
    BeforeValidator(read_span),
    AfterValidator(lambda span: tuple(map(dt.date.isoformat, span))),
]
Flag = Annotated[bool, BeforeValidator(as_flag)]
Machine = Annotated[ToolKind, BeforeValidator(tool_of)]
LISTING = BeforeValidator(_or_none_listed)
