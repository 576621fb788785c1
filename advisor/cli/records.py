"""`advisor note`, `done` and `undo`: keep the journal in plain words."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
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
    _record(site, " ".join(words), on, work=False)


def done(site: SiteFolder, words: Words, on: On = None) -> None:
    """Record work: 'cored yesterday, 3 passes'."""
    _record(site, " ".join(words), on, work=True)


def undo(
    site: SiteFolder,
    record: Annotated[str, typer.Argument(help="The record's id, as note and done print it.")],
    on: On = None,
) -> None:
    """Take a record back. The line stays; it no longer counts."""
    from advisor.answers.record import take_back
    from advisor.cases.lawn import default_day, open_lawn
    from advisor.rulebook.read_rulebook import read_rulebook

    lawn = open_lawn(site, read_rulebook())
    take_back(lawn, record, on or default_day(lawn))
    typer.echo(f"{record} no longer counts.")


def _record(site: Path, words: str, on: dt.date | None, *, work: bool) -> None:
    from advisor.answers.record import record_note, record_work
    from advisor.cases.lawn import default_day, open_lawn
    from advisor.digest.question import next_question
    from advisor.rulebook.read_rulebook import read_rulebook

    lawn = open_lawn(site, read_rulebook())
    day = on or default_day(lawn)
    found = (record_work if work else record_note)(lawn, words, day)
    typer.echo(f"{found.says}  ({found.id}; 'advisor undo {site} {found.id}' takes it back)")
    question = next_question(open_lawn(site, lawn.book), day)
    if question:
        typer.echo(question)
