"""`advisor mail demo`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.mail_editions import CORES, Workers
from advisor.cli.progress import progress


def register(group: typer.Typer) -> None:
    """Add the command."""
    group.command()(demo)


def demo(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Folder to leave everything in.")
    ] = Path("mail-demo"),
    readers: Annotated[int, typer.Option(help="How many invented readers.")] = 2_000,
    workers: Workers = CORES,
) -> None:
    """An invented list of readers, built and delivered to a server on this machine."""
    from advisor.demo.mailing.run import run_mailing_demo

    with progress("digests") as tell:
        run_mailing_demo(folder, readers, workers, typer.echo, tell)
