"""`advisor mail preview`."""

from __future__ import annotations

import os
import tempfile
import webbrowser
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.base.files import write_whole
from advisor.base.problems import BadInput, Place
from advisor.cli.mail_options import Address, OfList, Week, edition_in, list_store

if TYPE_CHECKING:
    from advisor.mailing.letters.letter import Letter
    from advisor.mailing.readers.reader import Reader
    from advisor.mailing.store.edition_tables import EditionRow
    from advisor.mailing.store.store import Store


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(preview)


def preview(
    reader: Address,
    folder: OfList,
    week: Week,
    html: Annotated[Path | None, typer.Option(help="Write the page to this file.")] = None,
    eml: Annotated[
        Path | None, typer.Option(help="Write the mail, headers and all, to this file.")
    ] = None,
    open_: Annotated[bool, typer.Option("--open", help="Show the page in a browser.")] = False,
) -> None:
    """The digest of one reader as it was built: text, or the page, or the mail as it is sent."""
    from advisor.mailing.store.edition_tables import mark_seen

    store = list_store(folder)
    edition = edition_in(folder, store, week)
    found, letter = _copy(store, edition, reader)
    mark_seen(store, edition)
    if eml is not None:
        from advisor.mailing.mails.list_file import read_list_file
        from advisor.mailing.mails.tokens import key_from_environment
        from advisor.mailing.use_cases.as_sent import message_as_sent

        raw = message_as_sent(
            store, edition, found, letter, read_list_file(folder), key_from_environment()
        )
        write_whole(eml, raw, reads=[folder], private=True)
    if (html or open_) and not letter.html:
        raise BadInput.at(Place(reader), "wants text alone, so there is no page to show")
    if html is not None:
        write_whole(html, letter.html, reads=[folder], private=True)
    if open_:
        _show(letter.html)
    if not (eml or html or open_):
        typer.echo(f"Subject: {letter.subject}\n\n{letter.text}", nl=False)


def _copy(store: Store, edition: EditionRow, address: str) -> tuple[Reader, Letter]:
    from advisor.mailing.store.edition_tables import copy_of
    from advisor.mailing.store.reader_tables import find_reader

    found = find_reader(store, address)
    letter = copy_of(store, edition.id, found.id) if found else None
    if found is None or letter is None:
        what = "no copy for this address; is it a reader, and is the edition built?"
        raise BadInput.at(Place(f"the edition of {edition.first_day}"), what)
    if letter.is_none:
        what = "this reader wants no mail in a week without work, and this is one"
        raise BadInput.at(Place(f"the edition of {edition.first_day}"), what)
    return found, letter


def _show(page: str) -> None:
    """Open a page in the keeper's browser, from a file that only the keeper can read."""
    handle, name = tempfile.mkstemp(prefix="digest-", suffix=".html")
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(page)
    if not webbrowser.open(Path(name).as_uri()):
        Path(name).unlink()
        raise BadInput.at(Place("--open"), "no browser was found; --html FILE writes the page")
    typer.echo(f"Shown from {name}")
