"""`advisor behind`: on a day of work, what of the rest still fits."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.base.problems import BadInput, Place
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
    from advisor.planning.behind import compose_behind
    from advisor.planning.day_progress import hour_of, progress_of
    from advisor.planning.on_day import settled_today
    from advisor.render.sheets.behind_text import behind_json, behind_text
    from advisor.render.sheets.stop_text import nothing_today

    advice = advice_for(site, on)
    day = settled_today(advice)
    if day is None or not day.pieces:
        typer.echo(nothing_today(advice))
        return
    come = None if at is None else max(0, at - delay)
    progress = progress_of(day, come)
    now = at if at is not None else hour_of(day, progress) + delay
    if now >= 24 * 60:
        raise BadInput.at(Place("TIME"), "goes past midnight; say how late it is with --at")
    found = compose_behind(day, progress, now)
    if as_json:
        import json

        typer.echo(json.dumps(behind_json(day, found), ensure_ascii=False, indent=2))
        return
    typer.echo(behind_text(day, found, progress, come), nl=False)
