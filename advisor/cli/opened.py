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
    from advisor.cases.open_folder import open_case
    from advisor.rulebook.read_rulebook import read_rulebook

    return Advice(open_case(site, read_rulebook(), on))
