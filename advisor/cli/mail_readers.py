"""`advisor mail import`, `readers`, `prefer`, `export` and `erase`."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.base.files import whole_file, write_whole
from advisor.base.problems import BadInput, Place
from advisor.cli.mail_options import Address, OfList, list_store

if TYPE_CHECKING:
    from advisor.mailing.readers.read_row import Refusal


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("import")(import_)
    for command in (readers, prefer, export, erase):
        app.command()(command)


def import_(
    file: Annotated[Path, typer.Argument(metavar="FILE.csv", help="One row for each reader.")],
    folder: OfList,
    report: Annotated[
        Path | None, typer.Option(help="Write what was refused to this CSV file, too.")
    ] = None,
) -> None:
    """Take readers over from a CSV file; tell of each row that was refused, and why."""
    from advisor.base.dates import today
    from advisor.mailing.mails.cells_text import csv_text
    from advisor.mailing.use_cases.import_readers import import_readers
    from advisor.rulebook.read_rulebook import read_rulebook

    with _report(report, reads=[file, folder]) as put_down:

        def tell(refusal: Refusal) -> None:
            typer.echo(f"{file}: {refusal}", err=True)
            put_down(csv_text([(refusal.line, refusal.field, refusal.found, refusal.why)]))

        done = import_readers(file, list_store(folder), read_rulebook(), today(), tell)
    typer.echo(
        f"{done.rows} rows: {done.added} added, {done.changed} changed, {done.unchanged} as "
        f"before, {done.refused_rows} refused."
    )
    if done.readmitted:
        typer.echo(f"{done.readmitted} had been taken off the list; they agreed anew since.")
    if done.refused_rows:
        raise typer.Exit(2)


@contextmanager
def _report(path: Path | None, reads: Iterable[Path]) -> Iterator[Callable[[str], object]]:
    """What writes lines to a report as they are found, or nowhere."""
    if path is None:
        yield lambda text: None
        return
    with whole_file(path, reads=reads, private=True) as out:
        out.write(b"line,field,found,why\n")
        yield lambda text: out.write(text.encode())


def readers(folder: OfList) -> None:
    """How many readers there are, by country and grass."""
    from advisor.mailing.store.reader_tables import count_readers, count_written_to

    store = list_store(folder)
    for country, grass, number in count_readers(store):
        typer.echo(f"{number:>9,}  {country or '??'}  {grass.replace('_', ' ')}")
    written_to, left = count_written_to(store)
    typer.echo(f"{written_to:,} are written to; {left:,} addresses must never be.")


def prefer(
    address: Address,
    folder: OfList,
    units: Annotated[str | None, typer.Option(help="us or metric.")] = None,
    form: Annotated[str | None, typer.Option(help="both (text and HTML) or text.")] = None,
    weeks: Annotated[
        str | None, typer.Option(help="all, or needed: only those with something to do.")
    ] = None,
) -> None:
    """Put down what a reader wishes; without options, tell it."""
    from advisor.mailing.readers.read_row import system_of
    from advisor.mailing.readers.wishes import Wishes, form_of, weeks_of
    from advisor.mailing.store.reader_tables import wish

    try:
        wishes = Wishes(
            system_of(units) if units else None,
            form_of(form) if form else None,
            weeks_of(weeks) if weeks else None,
        )
    except ValueError as error:
        raise BadInput.at(Place("mail prefer"), str(error)) from None
    found = wish(list_store(folder), address, wishes)
    if found is None:
        raise BadInput.at(Place("mail prefer"), "no reader has this address")
    told = found.wishes
    typer.echo(
        f"units {found.units}; form {told.form or 'both'}; weeks {told.weeks or 'all'}. "
        "Build the edition (again) for what is not sent yet."
    )


def export(
    address: Address,
    folder: OfList,
    out: Annotated[Path | None, typer.Option(help="Write to this file.")] = None,
) -> None:
    """Everything that is kept about one person, as JSON."""
    from advisor.mailing.store.reader_tables import export_reader

    found = export_reader(list_store(folder), address)
    if found is None:
        raise BadInput.at(Place("mail export"), "nothing is kept about this address")
    text = json.dumps(found, ensure_ascii=False, indent=2, default=str) + "\n"
    if out is None:
        typer.echo(text, nl=False)
    else:
        write_whole(out, text, reads=[folder], private=True)


def erase(address: Address, folder: OfList) -> None:
    """Delete everything about one person, who will not be written to again."""
    from advisor.base.dates import today
    from advisor.mailing.store.reader_tables import erase_reader

    if not erase_reader(list_store(folder), address, today()):
        raise BadInput.at(Place("mail erase"), "no reader has this address; it is suppressed now")
    typer.echo("Erased. Only a hash of the address is kept, so that no import brings it back.")
