"""`advisor mail bounces`."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.mail_options import ListFolder


class Burst(StrEnum):
    """The editor's word about a burst of bounces."""

    accept = "accept"
    discard = "discard"


def register(group: typer.Typer) -> None:
    """Add the command."""
    group.command()(bounces)


def bounces(
    folder: ListFolder,
    mails: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="FOLDER", help="Maildirs or mbox files; nothing in them is changed."
        ),
    ] = None,
    burst: Annotated[
        Burst | None,
        typer.Option(
            help="Of a burst that is held: believe it and take its readers off the list, or not.",
            show_default="it waits",
        ),
    ] = None,
) -> None:
    """Read what came back: bounces, complaints and wishes to leave; each is counted once."""
    from advisor.base.dates import today
    from advisor.mailing.mails.list_file import read_list_file
    from advisor.mailing.mails.tokens import key_from_environment
    from advisor.mailing.returns.bounces import read_bounces
    from advisor.mailing.returns.bounces_text import bounces_text
    from advisor.mailing.returns.held_bounces import accept_bursts, discard_bursts
    from advisor.mailing.store.list_store import store_of

    identity, key = read_list_file(folder), key_from_environment()
    store = store_of(folder, new=False)
    try:
        found = read_bounces(store, identity.list_id, key, mails or [], today())
        typer.echo(bounces_text(found, folder), nl=False)
        if burst is Burst.accept:
            gone = accept_bursts(store).total()
            typer.echo(f"Accepted: {gone:,} readers will not be written to any more.")
        elif burst is Burst.discard:
            stay, back = discard_bursts(store, today())
            typer.echo(f"Discarded: {stay:,} readers stay on the list, {back:,} are back on it.")
    finally:
        store.dispose()
