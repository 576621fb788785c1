"""`advisor stop`: on a day of work, whether it can be left where it stands."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.base.problems import BadInput, Place
from advisor.cli.on_the_day import say_stop
from advisor.cli.opened import advice_for
from advisor.cli.options import AsJson, At, On, SiteFolder, as_delay


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(stop)


def stop(
    site: SiteFolder,
    at: At = None,
    behind: Annotated[
        int | None,
        typer.Option(metavar="TIME", parser=as_delay, help="How far behind the plan: '2 h'."),
    ] = None,
    on: On = None,
    as_json: AsJson = False,
) -> None:
    """On a day of work: can I stop here? If not, what has to be finished first."""
    if behind is not None and at is None:
        raise BadInput.at(Place("--behind"), "says nothing without --at, such as --at 14:30")
    say_stop(advice_for(site, on), at, behind or 0, as_json=as_json)
