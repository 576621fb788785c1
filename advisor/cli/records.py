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
    _record(site, " ".join(words), on)


def done(site: SiteFolder, words: Words, on: On = None) -> None:
    """Record work: 'cored yesterday, 3 passes'."""
    _record(site, " ".join(words), on)


def undo(
    site: SiteFolder,
    record: Annotated[str, typer.Argument(help="The record's id, as note and done print it.")],
    on: On = None,
) -> None:
    """Take a record back. The line stays; it no longer counts."""
    from advisor.answers.lawn import default_day, open_lawn
    from advisor.rulebook.read_rulebook import read_rulebook
    from advisor.site.append_journal import undo as append_undo
    from advisor.site.read_site import JOURNAL_FILE

    lawn = open_lawn(site, read_rulebook())
    append_undo(site / JOURNAL_FILE, record, on or default_day(lawn))
    typer.echo(f"{record} no longer counts.")


def _record(site: Path, words: str, on: dt.date | None) -> None:
    from advisor.answers.lawn import default_day, open_lawn
    from advisor.facts.day import OTHER_WORK
    from advisor.rulebook.read_rulebook import read_rulebook
    from advisor.site.append_journal import append
    from advisor.site.entry import JournalRules
    from advisor.site.entry_checks import check_new
    from advisor.site.entry_text import understand
    from advisor.site.read_site import JOURNAL_FILE

    lawn = open_lawn(site, read_rulebook())
    book, areas = lawn.book, lawn.site.area_names
    today = on or default_day(lawn)
    spoken = {n: d for n in book.vocabulary if (d := book.vocabulary[n]).varies == "record"}
    names = {id: operation.asked_as for id, operation in book.operations.items()}
    names |= {work: (work,) for work in OTHER_WORK}
    understood = understand(words, spoken, names, today, areas)
    check_new(understood.entry, JournalRules(spoken, frozenset(names), today, areas))
    (record,) = append(site / JOURNAL_FILE, [understood.entry])
    typer.echo(f"{understood.says}  ({record}; 'advisor undo {site} {record}' takes it back)")
