"""`advisor amounts`: how much of everything, what to buy, and what it costs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.base.files import write_whole
from advisor.cli.opened import advice_for
from advisor.cli.options import AsJson, On, SiteFolder


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(amounts)


def amounts(
    site: SiteFolder,
    on: On = None,
    only: Annotated[
        list[str] | None, typer.Option(help="Reckon just this operation; repeatable.")
    ] = None,
    html: Annotated[
        Path | None, typer.Option(help="Write a shopping list to print to this file.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Seed, feed, lime, topdressing, water, bags and hire for the season, with every step shown."""
    from advisor.planning.shopping import compose_shopping
    from advisor.render.sheets.amounts_pages import amounts_html, amounts_json, amounts_text

    found = compose_shopping(advice_for(site, on), only or ())
    if as_json:
        import json

        typer.echo(json.dumps(amounts_json(found), ensure_ascii=False, indent=2))
    elif html is None:
        typer.echo(amounts_text(found), nl=False)
    if html is not None:
        write_whole(html, amounts_html(found), reads=[site])
