"""`advisor demo`: the invented site, offline, in seconds."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(demo)


def demo(
    to: Annotated[Path, typer.Option("--to", help="Folder to leave everything in.")] = Path("demo"),
) -> None:
    """Show a digest and two answers for an invented lawn, and leave its files in a folder."""
    from advisor.demo.run import run_demo

    shown = run_demo(to)
    typer.echo("An INVENTED lawn in an invented town under invented weather, on 5 September 2026.")
    typer.echo(f"Its files are in {to}.\n")
    typer.echo(shown, nl=False)
