"""`advisor mail send` and `advisor mail status`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.mail_options import Canary, ListFolder
from advisor.mailing.outbox.policy import Policy


def register(group: typer.Typer) -> None:
    """Add the commands."""
    group.command()(send)
    group.command()(status)


def send(
    folder: ListFolder,
    canary: Canary = 0.0,
    rest: Annotated[
        bool, typer.Option("--rest", help="Send the rest too, or go on after a pause.")
    ] = False,
    interrupted: Annotated[
        Policy | None,
        typer.Option(
            help="Mails that may have been taken: ask the log, hold them, or send them again.",
            show_default="reconcile with --log, else hold",
        ),
    ] = None,
    log: Annotated[Path | None, typer.Option(help="The mail server's log, for reconcile.")] = None,
    wait: Annotated[
        bool, typer.Option(help="Wait for later tries; without, stop when nothing is due.")
    ] = True,
) -> None:
    """Send the approved edition. Server, login and key come from the environment or files."""
    from advisor.mailing.outbox.outbox import now
    from advisor.mailing.use_cases.sending import send_edition, status_text

    stands = send_edition(
        folder,
        canary=canary,
        rest=rest,
        interrupted=interrupted,
        log=log,
        wait=wait,
        told=typer.echo,
    )
    typer.echo(status_text(stands, now(), folder), nl=False)


def status(folder: ListFolder) -> None:
    """How the newest edition stands, in one screen."""
    from advisor.mailing.outbox.outbox import now
    from advisor.mailing.use_cases.sending import edition_status, status_text

    typer.echo(status_text(edition_status(folder), now(), folder), nl=False)
