"""How `limits` of site.yaml is written; `limits.py` says what each key means."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from advisor.base.checked_model import FileModel, Listed
from advisor.records.key_forms import LISTING, Days, Flag, Machine
from advisor.records.limit_values import read_helper, read_hours
from advisor.records.limits import Hours

Times = Annotated[Listed[Annotated[Hours, BeforeValidator(read_hours)]], Field(min_length=1)]
HelpersTimes = Annotated[Listed[Annotated[Hours, BeforeValidator(read_helper)]], LISTING]


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
