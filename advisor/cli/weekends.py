"""`advisor weekends`: which free days suit the season's work."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

import typer

from advisor.cli.opened import advice_for
from advisor.cli.options import AsJson, On, SiteFolder, as_date


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(weekends)


def weekends(
    site: SiteFolder,
    on: On = None,
    first: Annotated[
        dt.date | None,
        typer.Option("--from", metavar="DATE", parser=as_date, help="First day to look at."),
    ] = None,
    last: Annotated[
        dt.date | None,
        typer.Option("--to", metavar="DATE", parser=as_date, help="Last day to look at."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Weekends, holidays and days off, ranked by how much of the needed work fits into them."""
    from advisor.planning.weekends import compose_weekends

    found = compose_weekends(advice_for(site, on), first, last)
    if as_json:
        import json

        from advisor.render.sheets.weekends_json import weekends_json

        typer.echo(json.dumps(weekends_json(found), ensure_ascii=False, indent=2))
        return
    from advisor.render.sheets.weekends_text import weekends_text

    typer.echo(weekends_text(found), nl=False)
