"""`advisor behind`: on a day of work, what of the rest still fits."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.cli.on_the_day import say_behind
from advisor.cli.opened import advice_for
from advisor.cli.options import AsJson, At, On, SiteFolder, as_delay


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(behind)


def behind(
    site: SiteFolder,
    delay: Annotated[
        int, typer.Argument(metavar="TIME", parser=as_delay, help="How far behind: '2 h'.")
    ],
    at: At = None,
    on: On = None,
    as_json: AsJson = False,
) -> None:
    """On a day of work: I am behind. What still fits, what moves, and when machines go back."""
    say_behind(advice_for(site, on), delay, at, as_json=as_json)
