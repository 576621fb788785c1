"""`advisor mail build`, `note`, `approve` and `dry-run`."""

from __future__ import annotations

import os
import random
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.base.problems import BadInput, Place
from advisor.cli.mail_options import (
    Canary,
    ListFolder,
    Week,
    edition_in,
    list_store,
)
from advisor.cli.progress import progress

if TYPE_CHECKING:
    from advisor.mailing.editions.build import Built
    from advisor.mailing.store.store import Store

Workers = Annotated[
    int, typer.Option(min=1, max=256, help="Processes.", show_default="one for each core")
]
Cluster = Annotated[
    str | None,
    typer.Option(metavar="ADDRESS", help="Work on the Dask cluster of this scheduler instead."),
]
CORES = os.cpu_count() or 1
_SHOWN = 10


def register(app: typer.Typer) -> None:
    """Add the commands."""
    for command in (build, note, approve):
        app.command()(command)
    app.command("dry-run")(dry_run)


def build(
    folder: ListFolder, week: Week, workers: Workers = CORES, cluster: Cluster = None
) -> None:
    """Compose and freeze the digest of every reader; what is built already stays as it is."""
    built = _build(folder, list_store(folder), week, workers, cluster)
    _tell(built)
    if built.lacking:
        raise typer.Exit(1)


def note(
    folder: ListFolder,
    week: Week,
    note: Annotated[str | None, typer.Option(help="A note at the top.")] = None,
    question: Annotated[str | None, typer.Option(help="A reader's question, answered.")] = None,
    correction: Annotated[str | None, typer.Option(help="What was wrong last week.")] = None,
    reply_to: Annotated[str | None, typer.Option(help="Where answers go.")] = None,
) -> None:
    """Say something in the edition of a week; an empty text takes it out again."""
    from advisor.mailing.mails.cells_text import mail_address
    from advisor.mailing.mails.editor_words import checked_words
    from advisor.mailing.store.edition_tables import set_editor

    words = {"note": note, "question": question, "correction": correction}
    given = {key: checked_words(text, key) for key, text in words.items() if text is not None}
    if reply_to is not None:
        try:
            given["reply_to"] = mail_address(reply_to) if reply_to else ""
        except ValueError as error:
            raise BadInput.at(Place("--reply-to"), str(error)) from None
    store = list_store(folder)
    edition = edition_in(folder, store, week)
    if not set_editor(store, edition.id, given):
        what = f"is {edition.state} already, so nothing in it can be changed"
        raise BadInput.at(Place(f"the edition of {edition.first_day}"), what)
    typer.echo(f"Noted for the week of {edition.first_day}. Build it (again) now.")


def approve(
    folder: ListFolder,
    week: Week,
    take_back: Annotated[
        bool, typer.Option("--take-back", help="Undo it, as long as no mail was begun.")
    ] = False,
) -> None:
    """Let the edition of a week go out, as it was built and looked at."""
    store = list_store(folder)
    edition = edition_in(folder, store, week)
    if take_back:
        from advisor.mailing.outbox import take_back as undo

        undo.take_back(store, edition)
        typer.echo("Taken back: it is a draft again, and nothing of it goes out.")
        return
    from advisor.mailing.mails.list_file import read_list_file
    from advisor.mailing.use_cases.editing import approve_edition

    # Without it nothing could be sent; better told now than at that hour.
    read_list_file(folder)
    copies = approve_edition(store, edition, folder)
    typer.echo(f"Approved: {copies:,} copies may go out.")


def dry_run(
    folder: ListFolder,
    week: Week,
    workers: Workers = CORES,
    canary: Canary = 0.0,
    cluster: Cluster = None,
) -> None:
    """Build the draft and show what would go out: counts, sizes, slow cells, ten digests."""
    from advisor.mailing.store.edition_tables import (
        copies_and_gaps,
        copy_of,
        mark_seen,
        sizes,
        some_readers,
    )
    from advisor.mailing.use_cases.dry_run import checked_share, going_out

    store = list_store(folder)
    share = checked_share(canary)
    built = _build(folder, store, week, workers, cluster)
    _tell(built)
    out = going_out(store, built.edition.id, built.edition.first_day, share)
    typer.echo(f"{out.mails:,} mails would go out; {out.none:,} readers want none this week.")
    if canary:
        typer.echo(f"{out.first:,} of them would go first, the rest after a word.")
    for name, middle, most in sizes(store, built.edition.id):
        typer.echo(f"{name}: {middle:,} characters in the middle, {most:,} at most")
    for name, seconds in built.slowest[:_SHOWN]:
        typer.echo(f"{seconds:8.1f} s  {name}")
    copies, _, _ = copies_and_gaps(store, built.edition.id)
    draw = random.Random(built.edition.first_day.toordinal())
    chosen = draw.sample(range(copies), min(_SHOWN, copies))
    for id in some_readers(store, built.edition.id, chosen):
        letter = copy_of(store, built.edition.id, id)
        if letter is not None and not letter.is_none:
            typer.echo(f"\n{'=' * 78}\nSubject: {letter.subject}\n\n{letter.text}", nl=False)
    mark_seen(store, edition_in(folder, store, built.edition.first_day))


def _build(folder: Path, store: Store, week: Week, workers: int, cluster: str | None) -> Built:
    from advisor.base.dates import today
    from advisor.mailing.editions.build import build_edition
    from advisor.rulebook.read_rulebook import read_rulebook

    with ExitStack() as held:
        pool = None
        if cluster is not None:
            from advisor.mailing.editions.on_cluster import on_cluster

            pool = held.enter_context(on_cluster(cluster))
        tell = held.enter_context(progress("digests"))
        return build_edition(
            folder, store, read_rulebook(), week, today(), workers=workers, tell=tell, pool=pool
        )


def _tell(built: Built) -> None:
    if built.edition.state != "draft":
        typer.echo(f"The edition is {built.edition.state} already; nothing was changed.")
        return
    typer.echo(
        f"{built.readers:,} readers, {built.distinct:,} different digests; {built.written:,} "
        f"copies written, {built.dropped:,} taken away, {built.decided:,} sets of decisions made "
        f"in {built.seconds:.1f} s of work."
    )
    if built.crashes:
        typer.echo(f"{built.crashes} processes crashed; their shares were tried again.", err=True)
    for id, why in built.failed:
        typer.echo(f"reader {id} has no copy: {why}", err=True)
    if built.lacking:
        typer.echo(f"{built.lacking:,} readers have no copy as it should be.", err=True)
