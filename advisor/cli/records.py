"""`advisor note`, `done` and `undo`: keep the journal in plain words."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.cli.options import On, SiteFolder

Words = Annotated[list[str], typer.Argument(help="What you saw or did, in plain words.")]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command()(note)
    app.command()(done)
    app.command()(undo)


def note(site: SiteFolder, words: Words, on: On = None) -> None:
    """Record what you saw or want: 'thatch 0.8 in', 'soil 58 F at 8am', 'want overseeding'."""
    from advisor.answers.lawn import default_day, open_lawn
    from advisor.answers.record import record_note
    from advisor.rulebook.read_rulebook import read_rulebook

    lawn = open_lawn(site, read_rulebook())
    found = record_note(lawn, " ".join(words), on or default_day(lawn))
    typer.echo(f"{found.says}  ({found.id}; 'advisor undo {site} {found.id}' takes it back)")


def done(site: SiteFolder, words: Words, on: On = None) -> None:
    """Record work: 'cored yesterday, 3 passes'."""
    from advisor.answers.lawn import default_day, open_lawn
    from advisor.answers.record import record_work
    from advisor.rulebook.read_rulebook import read_rulebook

    lawn = open_lawn(site, read_rulebook())
    found = record_work(lawn, " ".join(words), on or default_day(lawn))
    typer.echo(f"{found.says}  ({found.id}; 'advisor undo {site} {found.id}' takes it back)")


def undo(
    site: SiteFolder,
    record: Annotated[str, typer.Argument(help="The record's id, as note and done print it.")],
    on: On = None,
) -> None:
    """Take a record back. The line stays; it no longer counts."""
    from advisor.answers.lawn import default_day, open_lawn
    from advisor.answers.record import take_back
    from advisor.rulebook.read_rulebook import read_rulebook

    lawn = open_lawn(site, read_rulebook())
    take_back(lawn, record, on or default_day(lawn))
    typer.echo(f"{record} no longer counts.")
