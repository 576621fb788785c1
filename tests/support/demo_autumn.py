"""The demo's lawn with invented records of a renovation, step by step."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.rulebook.model import RuleBook

PREPARED = (
    "r80,2026-09-05,work,low_mow,,front,invented",
    "r81,2026-09-06,work,thatch_removal,,front,invented",
    "r82,2026-09-06,work,core_aeration,passes=3,front,invented",
)
SOWN = (*PREPARED, "r83,2026-09-07,work,overseeding,,front,invented")
WATERED = (*SOWN, "r84,2026-09-07,work,seedling_watering,,front,invented")
CUT = (*WATERED, "r85,2026-10-01,work,mowing,,front,invented")
FED = (*CUT, "r86,2026-10-22,work,feeding,,front,invented")
THROUGH = (
    *FED,
    "r87,2026-10-08,work,mowing,,front,invented",
    "r88,2026-10-15,work,mowing,,front,invented",
)


def lawn_of(folder: Path, book: RuleBook, on: dt.date, *lines: str) -> Case:
    site = write_demo(folder)
    with (site / "journal.csv").open("a", encoding="utf-8") as journal:
        journal.writelines(f"{line}\n" for line in lines)
    return open_case(site, book, on)
