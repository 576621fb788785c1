"""`advisor stop`: on a day of work, whether it can be left where it stands."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.base.problems import BadInput, Place
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
    from advisor.planning.day_progress import progress_of
    from advisor.planning.on_day import settled_today
    from advisor.planning.stop import too_late_for_the_shop, where_to_stop
    from advisor.render.sheets.stop_text import nothing_today, stop_json, stop_text

    if behind is not None and at is None:
        raise BadInput.at(Place("--behind"), "says nothing without --at, such as --at 14:30")
    advice = advice_for(site, on)
    day = settled_today(advice)
    if day is None:
        typer.echo(nothing_today(advice))
        return
    come = None if at is None else max(0, at - (behind or 0))
    progress = progress_of(day, come)
    gone = too_late_for_the_shop(day.pieces, progress, at, day.day.shop)
    found = where_to_stop(day.pieces, advice.case.book.work, progress, gone)
    if as_json:
        import json

        typer.echo(json.dumps(stop_json(day, found, progress, come), ensure_ascii=False, indent=2))
        return
    typer.echo(stop_text(day, found, progress, come, at), nl=False)
