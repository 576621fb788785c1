"""`advisor spreader`: set a spreader by measuring it, without a table of machines."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.cli.options import AsJson

group = typer.Typer(
    help="Set a spreader by measuring it.", no_args_is_help=True, rich_markup_mode=None
)


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.add_typer(group, name="spreader")


@group.command()
def pans(
    catches: Annotated[
        list[float],
        typer.Argument(help="What each pan caught, left to right; the middle one on the path."),
    ],
    spacing: Annotated[str, typer.Option(help="From pan to pan, such as '1 ft'.")] = "1 ft",
    as_json: AsJson = False,
) -> None:
    """How far apart to walk, from a row of pans laid across the path."""
    from advisor.render.sheets.spreader_text import pans_json, pans_text

    typer.echo((pans_json if as_json else pans_text)(catches, spacing), nl=False)


@group.command()
def trial(
    spent: Annotated[str, typer.Option(help="Weight before less weight after: '2.4 lb'.")],
    length: Annotated[str, typer.Option(help="How far you walked: '83 ft'.")],
    swath: Annotated[str, typer.Option(help="Distance between passes: '12 ft'.")],
    wanted: Annotated[str, typer.Option(help="Rate wanted: '5 lb/1000ft2' or '25 g/m2'.")],
    passes: Annotated[int, typer.Option(help="2 for half the rate in two directions.")] = 2,
    as_json: AsJson = False,
) -> None:
    """Whether the setting gives the rate wanted, and which way to turn it."""
    from advisor.render.sheets.spreader_text import trial_json, trial_text

    show = trial_json if as_json else trial_text
    typer.echo(show(spent, length, swath, wanted, passes), nl=False)
