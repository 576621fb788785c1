"""Arguments and options that several commands share."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

from advisor.base.dates import known_day


def as_date(text: str) -> dt.date:
    """A day that can be reckoned with. Raises `typer.BadParameter`."""
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"'{text}' is no date; write YYYY-MM-DD") from None
    try:
        return known_day(day)
    except ValueError as error:
        raise typer.BadParameter(str(error)) from None


SiteFolder = Annotated[
    Path, typer.Argument(metavar="SITE", help="The site's folder.", show_default=False)
]
On = Annotated[
    dt.date | None,
    typer.Option(
        "--on",
        metavar="DATE",
        parser=as_date,
        help="Answer as of this day, YYYY-MM-DD; later weather and records are hidden.",
        show_default="today where the lawn lies",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Plain data for other programs.")]
