"""The advice for a site's folder, as most commands begin."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.advice.book import Advice


def advice_for(site: Path, on: dt.date | None) -> Advice:
    """What follows for the lawn on a day (default: today there). Raises `BadInput`."""
    from advisor.advice.book import Advice
    from advisor.cases.lawn import default_day, open_lawn
    from advisor.planning.kept_plan import read_plan
    from advisor.rulebook.read_rulebook import read_rulebook

    lawn = open_lawn(site, read_rulebook())
    day = on or default_day(lawn)
    return Advice(lawn, day, plan=read_plan(site, day))
