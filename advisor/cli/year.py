"""`advisor year`: the seasons of the coming twelve months, with their chances."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.base.files import write_whole
from advisor.cli.opened import advice_for
from advisor.cli.options import AsJson, On, SiteFolder


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(year)


def year(
    site: SiteFolder,
    on: On = None,
    as_json: AsJson = False,
    html: Annotated[Path | None, typer.Option(help="Write the year page to this file.")] = None,
    ics: Annotated[
        Path | None, typer.Option(help="Write a calendar file; the site's folder remembers it.")
    ] = None,
) -> None:
    """When each season opens and closes, in how many years of ten; frosts and growing days."""
    from advisor.render.yearly.year import compose_year

    found = compose_year(advice_for(site, on))
    if as_json:
        import json

        from advisor.render.yearly.year_json import year_json

        typer.echo(json.dumps(year_json(found), ensure_ascii=False, indent=2))
    elif html is None and ics is None:
        from advisor.render.yearly.pages import year_text

        typer.echo(year_text(found), nl=False)
    if html is not None:
        from advisor.render.yearly.pages import year_html

        write_whole(html, year_html(found), reads=[site])
    if ics is not None:
        from advisor.render.yearly.calendar_feed import write_calendar

        write_calendar(found, ics, site)
