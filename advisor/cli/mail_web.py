"""`advisor mail serve` and `calendar-link`."""

from __future__ import annotations

from importlib.util import find_spec
from typing import Annotated

import typer

from advisor.base.problems import BadInput, Place
from advisor.cli.mail_options import Address, ListFolder, OfList, list_store

_NEEDED = ("starlette", "uvicorn", "python_multipart")


def register(group: typer.Typer) -> None:
    """Add the commands."""
    group.command()(serve)
    group.command("calendar-link")(calendar_link)


def serve(
    folder: ListFolder,
    host: Annotated[str, typer.Option(help="The address to listen on.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(min=0, max=65535, help="The port; 0 for any.")] = 8000,
    archive: Annotated[
        bool, typer.Option(help="Show the editions that were sent to everybody.")
    ] = True,
) -> None:
    """Run the list's pages: the way out, calendars, what was sent. See docs/mail_web.md."""
    if any(find_spec(name) is None for name in _NEEDED):
        what = "needs libraries that are not installed; run: pip install 'turf-windows[web]'"
        raise BadInput.at(Place("advisor mail serve"), what)
    from advisor.web.serve import serve_list

    serve_list(folder, host, port, archive=archive, told=lambda line: typer.echo(line, err=True))


def calendar_link(
    address: Address,
    folder: OfList,
    revoke: Annotated[bool, typer.Option("--revoke", help="Let no link work any more.")] = False,
    renew: Annotated[
        bool, typer.Option("--renew", help="Make a new link; older ones stop working.")
    ] = False,
) -> None:
    """Show a reader's secret link to the calendar, take it back, or make a new one."""
    from advisor.mailing.mails.list_file import read_list_file
    from advisor.mailing.mails.tokens import key_from_environment
    from advisor.mailing.store.calendar_links import calendar_url, renew_link, revoke_link
    from advisor.mailing.store.reader_tables import find_reader

    if revoke and renew:
        raise BadInput.at(Place("mail calendar-link"), "takes --revoke or --renew, not both")
    store, identity = list_store(folder), read_list_file(folder)
    found = find_reader(store, address)
    if found is None:
        raise BadInput.at(Place("mail calendar-link"), "no reader has this address")
    if revoke:
        revoke_link(store, found.id)
        typer.echo("Taken back: no link to this reader's calendar works any more.")
        return
    if not identity.web_url:
        what = "has no web_url, so there are no links; docs/mail_web.md says what it is"
        raise BadInput.at(Place(str(folder / "list.yaml")), what)
    if renew:
        renew_link(store, found.id)
    link = calendar_url(store, identity, key_from_environment(), found.id)
    typer.echo(link or "The link was taken back; --renew makes a new one.")
