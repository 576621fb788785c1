"""`advisor replay`: the rule files over the past years of a record."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.options import AsJson, SiteFolder


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(replay)


def replay(
    site: SiteFolder,
    grass: Annotated[
        str, typer.Option(help="Of this grass.", show_default="that of the largest part")
    ] = "",
    operation: Annotated[
        str, typer.Option(help="Only this operation.", show_default="all for the grass")
    ] = "",
    rules: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Compare with the rule files of this folder."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """How often each window was open in past years, how long, and what ended it."""
    from advisor.cases.open_folder import open_case
    from advisor.replay.show import show_comparison, show_replay
    from advisor.rulebook.read_rulebook import read_rulebook

    case = open_case(site, read_rulebook())
    if rules is None:
        shown = show_replay(case, grass=grass, operation=operation, as_json=as_json)
    else:
        other = read_rulebook(rules, cache=False)
        shown = show_comparison(case, other, grass=grass, operation=operation, as_json=as_json)
    typer.echo(shown, nl=False)
