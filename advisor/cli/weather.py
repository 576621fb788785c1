"""`advisor weather`: fetch the history and the forecast of a site into its folder."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.cli.options import SiteFolder


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(weather)


def weather(
    site: SiteFolder,
    station: Annotated[
        str, typer.Option(help="Station of the history, such as USW00094996.", show_default=False)
    ] = "",
    first: Annotated[
        int | None,
        typer.Option(
            "--from",
            metavar="YEAR",
            help="First year of the history.",
            show_default="30 years back",
        ),
    ] = None,
    offline: Annotated[
        bool, typer.Option("--offline", help="Ask nobody; say what is there and how old it is.")
    ] = False,
) -> None:
    """Fetch the weather of a site. The only command that uses the network."""
    from advisor.base.commands import command, shell_folder
    from advisor.base.problems import BadInput, Place
    from advisor.fetch.report import fetch_weather

    found = fetch_weather(site, station or None, first, offline=offline)
    if not any(outcome.there for outcome in found):
        said = "; ".join(outcome.trouble for outcome in found if outcome.trouble)
        again = command("weather", shell_folder(site))
        what = said or f"nothing has been fetched yet; run '{again}' with the network on"
        raise BadInput.at(Place(str(site)), what)
    for outcome in found:
        typer.echo(outcome.line)
        if outcome.trouble:
            typer.echo(f"advisor weather: {outcome.trouble}", err=True)
