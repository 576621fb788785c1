"""`advisor mail bounces`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.mail_options import ListFolder


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
) -> None:
    """Read what came back: bounces, complaints and wishes to leave; each is counted once."""
    from advisor.base.dates import today
    from advisor.delivery.mails.list_file import read_list_file
    from advisor.delivery.mails.tokens import key_from_environment
    from advisor.delivery.returns.bounces import read_bounces
    from advisor.delivery.returns.bounces_text import bounces_text
    from advisor.delivery.store.list_store import store_of

    identity, key = read_list_file(folder), key_from_environment()
    store = store_of(folder, new=False)
    try:
        found = read_bounces(store, identity.list_id, key, mails or [], today())
    finally:
        store.dispose()
    typer.echo(bounces_text(found), nl=False)
