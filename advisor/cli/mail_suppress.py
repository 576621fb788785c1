"""`advisor mail suppress` and `readmit`."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.base.problems import BadInput, Place
from advisor.cli.mail_options import Address, OfList, list_store


def register(app: typer.Typer) -> None:
    """Add the commands."""
    for command in (suppress, readmit):
        app.command()(command)


def suppress(
    address: Address,
    folder: OfList,
    reason: Annotated[str, typer.Option(help="Why.")] = "asked to leave",
    in_advance: Annotated[
        bool, typer.Option("--in-advance", help="Also if the address is not on the list.")
    ] = False,
) -> None:
    """Never write to an address again; only consent that its reader gives anew undoes it."""
    from advisor.base.dates import today
    from advisor.mailing.store import reader_tables

    plain, why = _plain(address, reason, "mail suppress")
    store = list_store(folder)
    known = reader_tables.find_reader(store, plain) or reader_tables.suppressed(store, [plain])
    if not (known or in_advance):
        what = (
            "no reader has this address, so nothing was changed; look for a slip of the pen, or "
            "add --in-advance to keep the address off the list"
        )
        raise BadInput.at(Place("mail suppress"), what)
    new = reader_tables.suppress(store, plain, why, today())
    typer.echo("Will not be written to again." if new else "Was not written to already.")


def readmit(
    address: Address,
    folder: OfList,
    reason: Annotated[str, typer.Option(help="What tells that mail arrives again; it is kept.")],
) -> None:
    """Write again to a reader whose mails had come back. Nobody else is brought back by it."""
    from advisor.base.dates import today
    from advisor.mailing.store.readmission import BOUNCE
    from advisor.mailing.store.readmission import readmit as lift

    plain, why = _plain(address, reason, "mail readmit")
    left = lift(list_store(folder), plain, why, today())
    if left is None:
        raise BadInput.at(Place("mail readmit"), "this address was not taken off the list")
    if left.reason != BOUNCE:
        what = (
            f"this address was taken off the list on {left.on} ({left.reason}); only the reader's "
            "own consent, given after that day, undoes it: import it with that permission_on"
        )
        raise BadInput.at(Place("mail readmit"), what)
    typer.echo(f"Will be written to again; mails came back until {left.on}.")


def _plain(address: str, reason: str, command: str) -> tuple[str, str]:
    """Both, without anything that could do harm. Raises `BadInput`."""
    from advisor.mailing.mails.cells_text import harmless, mail_address

    try:
        return mail_address(address), harmless(reason)
    except ValueError as error:
        raise BadInput.at(Place(command), str(error)) from None
