"""`advisor workplan`: the heavy work on chosen days, hour by hour."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

from advisor.base.files import write_whole
from advisor.cli.opened import advice_for
from advisor.cli.options import AsJson, On, SiteFolder, as_date


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(workplan)


def workplan(
    site: SiteFolder,
    first: Annotated[
        dt.date, typer.Option("--from", metavar="DATE", parser=as_date, help="First day of work.")
    ],
    days: Annotated[int, typer.Option(help="How many days in a row, 1 to 7.")] = 2,
    on: On = None,
    rain: Annotated[
        list[dt.date] | None,
        typer.Option(metavar="DATE", parser=as_date, help="A day that will be wet; repeatable."),
    ] = None,
    only: Annotated[
        list[str] | None, typer.Option(help="Plan just this operation; repeatable.")
    ] = None,
    html: Annotated[Path | None, typer.Option(help="Write a page to print to this file.")] = None,
    keep: Annotated[
        bool, typer.Option("--keep", help="Settle on it: digest and calendar count back from it.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Which job on which day, in what order, how long, with what, and what to do if it rains."""
    from advisor.planning.workplan import compose_workplan
    from advisor.render.sheets.workplan_pages import workplan_html, workplan_json, workplan_text

    advice = advice_for(site, on)
    plan = compose_workplan(advice, first, days, rain=rain or (), only=only or ())
    if as_json:
        import json

        typer.echo(json.dumps(workplan_json(plan), ensure_ascii=False, indent=2))
    elif html is None:
        typer.echo(workplan_text(plan), nl=False)
    if html is not None:
        write_whole(html, workplan_html(plan), reads=[site])
    if keep:
        from advisor.planning.keep_plan import keep_plan

        keep_plan(plan, site)
