"""Options and openings that the commands of a mailing list share."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.options import as_date

if TYPE_CHECKING:
    from advisor.mailing.store.edition_tables import EditionRow
    from advisor.mailing.store.store import Store

OfList = Annotated[Path, typer.Option("--list", metavar="FOLDER", help="The list's folder.")]
ListFolder = Annotated[Path, typer.Argument(metavar="LIST", help="The list's folder.")]
Address = Annotated[str, typer.Argument(metavar="ADDRESS", help="The reader's mail address.")]
Week = Annotated[
    dt.date,
    typer.Option("--week", metavar="DATE", parser=as_date, help="A day of the edition's week."),
]
Canary = Annotated[
    float, typer.Option(help="Send this share first (0.02 is 2 in 100); the rest waits.")
]


def list_store(folder: Path) -> Store:
    """The store of a list's folder. Raises `BadInput` if there is no such folder."""
    from advisor.mailing.store.list_store import store_of

    return store_of(folder)


def edition_in(folder: Path, store: Store, week: dt.date) -> EditionRow:
    """The edition of a week, a new draft if there is none."""
    from advisor.mailing.editions.build import week_of
    from advisor.mailing.store.edition_tables import open_edition
    from advisor.rulebook.read_rulebook import read_rulebook

    return open_edition(store, folder.resolve().name, week_of(week), read_rulebook().hash)
