"""`advisor tomorrow`: on the evening before, whether what is settled can go ahead."""

from __future__ import annotations

import typer

from advisor.cli.opened import advice_for
from advisor.cli.options import AsJson, On, SiteFolder


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(tomorrow)


def tomorrow(site: SiteFolder, on: On = None, as_json: AsJson = False) -> None:
    """The evening before: go, wait or half, for the work that is settled for the next day."""
    from advisor.planning.eve import compose_eve
    from advisor.render.sheets.eve_text import eve_json, eve_text

    advice = advice_for(site, on)
    eve = compose_eve(advice)
    if as_json:
        import json

        typer.echo(json.dumps(eve_json(advice, eve), ensure_ascii=False, indent=2))
        return
    typer.echo(eve_text(advice, eve), nl=False)
