"""`advisor note`, `done` and `undo`: keep the journal in plain words."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.after_write import say_after_write, warn_if_it_fails
from advisor.cli.options import On, SiteFolder

if TYPE_CHECKING:
    from advisor.answers.record import Proposal
    from advisor.cases.case import Case

Words = Annotated[list[str], typer.Argument(help="What you saw or did, in plain words.")]
Yes = Annotated[
    bool,
    typer.Option("--yes", help="Write it without asking, also what rules out work for a while."),
]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command()(note)
    app.command()(done)
    app.command()(undo)


def note(site: SiteFolder, words: Words, on: On = None, yes: Yes = False) -> None:
    """Record what you saw, want or cannot do: 'thatch 0.8 in', 'want overseeding', 'no lifting'."""
    from advisor.answers.record import propose_note

    _record("note", site, " ".join(words), on, yes, propose_note)


def done(site: SiteFolder, words: Words, on: On = None, yes: Yes = False) -> None:
    """Record work: 'cored yesterday, 3 passes'. What rules out work for a while wants a yes."""
    from advisor.answers.record import propose_work

    _record("done", site, " ".join(words), on, yes, propose_work)


def undo(
    site: SiteFolder,
    record: Annotated[str, typer.Argument(help="The record's id, as note and done print it.")],
    on: On = None,
) -> None:
    """Take a record back. The line stays; it no longer counts."""
    from advisor.answers.record import take_back
    from advisor.cases.open_folder import open_case
    from advisor.rulebook.read_rulebook import read_rulebook

    take_back(site, record, open_case(site, read_rulebook(), on).on)
    say_after_write(f"{record} no longer counts.")


def _record(
    command: str,
    site: Path,
    words: str,
    on: dt.date | None,
    yes: bool,
    propose: Callable[[Case, str], Proposal],
) -> None:
    from advisor.answers.record import write
    from advisor.cases.open_folder import open_case
    from advisor.rulebook.read_rulebook import read_rulebook

    case = open_case(site, read_rulebook(), on)
    proposal = propose(case, words)
    again = case.command(command, words, option="--yes")
    if proposal.asks and not yes and not _agreed(proposal, again):
        typer.echo("Nothing was recorded.", err=True)
        return
    id = write(site, proposal)
    told = proposal.read_back if yes else proposal.says
    undo = case.command("undo", id)
    back = f"; '{undo}' takes it back" if undo else ""
    say_after_write(f"{told}  ({id}{back})")
    with warn_if_it_fails("the next question cannot be told"):
        from advisor.render.digest.question import next_question

        question = next_question(open_case(site, case.book, case.on))
        if question:
            say_after_write(question)


def _agreed(proposal: Proposal, again: str) -> bool:
    """Whether the keeper says yes. Without a terminal nobody can: raises `BadInput`."""
    from advisor.records.work_text import refused

    if not sys.stdin.isatty():
        with_yes = f"; with your yes: {again}" if again else ""
        raise refused(f"{proposal.read_back}. Nothing was recorded{with_yes}")
    typer.echo(f"{proposal.read_back}.", err=True)
    try:
        return typer.confirm("Record it?", default=False, err=True)
    except typer.Abort:  # the end of the input is no yes
        return False
