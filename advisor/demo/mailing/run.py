"""The whole way of an edition, with an invented list, a local server, and one fixed day."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from advisor.base.commands import command, shell_folder
from advisor.base.dates import clock_set_to
from advisor.base.files import whole_folder, write_whole
from advisor.base.problems import BadInput, Place
from advisor.demo.mailing.list_folder import IDENTITY, KEY, MOMENT, READERS_FILE, TODAY, write_list
from advisor.demo.mailing.places import PLACES
from advisor.demo.mailing.returned import NEEDED, write_returned
from advisor.demo.mailing.server import HOST, Handler, Taken, mail_server, need_library
from advisor.mailing.editions.build import Built, build_edition
from advisor.mailing.outbox.backoff import Backoff
from advisor.mailing.outbox.outbox import now
from advisor.mailing.outbox.run import Status
from advisor.mailing.outbox.sender import Rules
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.readers.reader import Reader
from advisor.mailing.returns.bounces import Bounces, read_bounces
from advisor.mailing.returns.bounces_text import bounces_text
from advisor.mailing.store.edition_tables import (
    copy_of,
    mark_seen,
    open_edition,
    set_editor,
    sizes,
)
from advisor.mailing.store.reader_tables import all_readers, suppress
from advisor.mailing.store.store import STORE_FILE, Store, open_store
from advisor.mailing.use_cases.editing import approve_edition
from advisor.mailing.use_cases.import_readers import import_readers
from advisor.mailing.use_cases.sending import edition_status, send_newest, status_text
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

Say = Callable[[str], None]
GONE, LATER, LEAVE = 4, 3, 5
"""How many readers the server does not know, how many it puts off, how many leave meanwhile."""
FEWEST = 60
CANARY = 0.05
NOTE = "INVENTED list, INVENTED weather: this edition shows how a mailing works."
_KEY = KEY.encode()
_RULES = Rules(backoff=Backoff(first=0.2, longest=1.0))
_LINE = "-" * 78


def run_mailing_demo(
    folder: Path, readers: int, workers: int, say: Say, tell: Callable[[int, int], None]
) -> None:
    """Build and deliver an edition in `folder`. say: takes each text; tell: digests done, and of
    how many. Raises `BadInput` if the folder holds a list, or the server's library is missing.
    """
    if readers < FEWEST:
        raise BadInput.at(Place("--readers"), f"{readers} are too few; wanted {FEWEST} or more")
    need_library()
    with whole_folder(folder) as filled:
        write_list(filled, readers)
        filled.chmod(0o700)
        _tell_and_play(folder, filled, readers, workers, say, tell)


def _tell_and_play(
    folder: Path, filled: Path, readers: int, workers: int, say: Say,
    tell: Callable[[int, int], None],
) -> None:  # fmt: skip
    """folder: the name under which all will be found. filled: where it is until then."""
    say(f"An INVENTED list in {folder}: {readers:,} readers at {len(PLACES)} invented places,")
    say(f"under invented weather, on {MOMENT:%A} {MOMENT.day} {MOMENT:%B %Y}. Nothing leaves here.")
    book = read_rulebook()
    with clock_set_to(MOMENT):
        store = open_store(filled / STORE_FILE)
        try:
            _play(filled, folder, store, book, workers, say, tell)
        finally:
            store.dispose()
    _head(say, "WHERE TO LOOK")
    say(f"{folder}/look       a page and a mail (.eml) of each place")
    say(f"{folder}/returned   what came back, a Maildir")
    say(f"{folder}            the list: list.yaml, readers.csv, weather, mail.db")
    say(command("mail", "status", shell_folder(folder)))
    say(command("mail", "readers", "--list", shell_folder(folder)))


def _play(
    folder: Path, shown_as: Path, store: Store, book: RuleBook, workers: int, say: Say,
    tell: Callable[[int, int], None],
) -> None:  # fmt: skip
    _head(say, "READERS are imported; rows that will not do are refused")
    imported = import_readers(folder / READERS_FILE, store, book, TODAY)
    say(f"{imported.added:,} taken, {imported.refused_rows} refused:")
    for refusal in imported.refused:
        say(f"  {refusal}")
    _head(say, "THE EDITION is built, with the editor's note, and approved")
    began = time.perf_counter()
    built = _build(folder, store, book, workers, tell)
    took = time.perf_counter() - began
    _tell_built(store, built, took, workers, say)
    everyone = all_readers(store)
    shown, others = everyone[: len(PLACES)], everyone[len(PLACES) :]
    _write_pages(folder, store, built.edition.id, shown)
    mark_seen(store, built.edition)
    built.edition = open_edition(store, folder.resolve().name, TODAY, book.hash)
    say(f"Approved: {approve_edition(store, built.edition, shown_as):,} copies may go out.")
    handler = Handler(
        {one.address for one in others[:GONE]},
        {one.address for one in others[GONE : GONE + LATER]},
        {one.address for one in shown}.__contains__,
    )
    left, status = _send(store, shown_as, others, handler, say)
    taken = handler.taken
    _write_mails(folder, shown, taken)
    _head(say, "WHAT COMES BACK is read: bounces, a complaint, wishes to leave, and noise")
    back = _read_returned(folder, store, everyone, shown, taken)
    say(bounces_text(back, shown_as).rstrip())
    say("")
    say(status_text(edition_status(folder), now(), shown_as).rstrip())
    _head(say, "IN NUMBERS")
    counts = status.counts
    for number, what in (
        (f"{imported.added:,}", f"readers; {imported.refused_rows} rows refused"),
        (f"{built.distinct:,}", f"different digests, from {built.decided:,} sets of decisions"),
        (f"{took:.1f}", f"s to build them, on {workers} processes"),
        (f"{counts['sent']:,}", f"sent; the server counted {taken.ids.total():,}"),
        (f"{counts['failed']:,}", f"refused; {taken.put_off} put off and taken later"),
        (f"{counts['suppressed']:,}", f"not sent, since {left} readers left after the build"),
        (f"{doubles(taken):,}", "doubles, by the Message-IDs that the server counted"),
        (f"{back.suppressed.total():,}", "more readers suppressed by what came back"),
        (f"{len(all_readers(store)):,}", "readers are written to next week"),
    ):
        say(f"{number:>9}  {what}")


def _head(say: Say, text: str) -> None:
    say(f"\n{_LINE}\n{text}\n")


def _build(
    folder: Path, store: Store, book: RuleBook, workers: int, tell: Callable[[int, int], None]
) -> Built:
    edition = open_edition(store, folder.resolve().name, TODAY, book.hash)
    set_editor(store, edition.id, {"note": NOTE})
    built = build_edition(folder, store, book, TODAY, TODAY, workers=workers, tell=tell)
    # As it stands after the build: the note is in it, and it may be approved.
    built.edition = open_edition(store, folder.resolve().name, TODAY, book.hash)
    return built


def _tell_built(store: Store, built: Built, took: float, workers: int, say: Say) -> None:
    say(
        f"{built.written:,} copies of {built.distinct:,} different digests, from {built.decided:,} "
        f"sets of decisions;\n{took:.1f} s on {workers} processes."
    )
    for id, why in built.failed:
        say(f"reader {id} has no copy: {why}")
    for name, middle, most in sizes(store, built.edition.id):
        say(f"{name}: {middle:,} characters in the middle, {most:,} at most")
    for cell, seconds in built.slowest[:3]:
        say(f"{seconds:8.1f} s of work  {cell}")


def _send(
    store: Store, shown_as: Path, others: list[Reader], handler: Handler, say: Say
) -> tuple[int, Status]:
    """First a share, then readers leave, then the rest. How many left, and how it stands."""
    with mail_server(handler) as port:
        server = ServerSettings(HOST, port, "none")

        def send(canary: float = 0.0, rest: bool = False) -> Status:
            return send_newest(
                store, IDENTITY, _KEY, server, _RULES, shown_as="the demo's list",
                canary=canary, rest=rest, told=say,
            )  # fmt: skip

        _head(say, f"SENT to a server on this machine, {CANARY:.0%} of them first")
        say(status_text(send(canary=CANARY), now(), shown_as).rstrip())
        waiting = [one for one in others[GONE + LATER :] if one.address not in handler.taken.mails]
        leaving = waiting[-LEAVE:]
        for one in leaving:
            suppress(store, one.address, "left", TODAY)
        _head(say, f"{len(leaving)} readers leave; then THE REST is sent")
        status = send(rest=True)
        say(status_text(status, now(), shown_as).rstrip())
    return len(leaving), status


def _read_returned(
    folder: Path, store: Store, everyone: list[Reader], shown: list[Reader], taken: Taken
) -> Bounces:
    kept = {one.address for one in shown}
    mails = {address: told for address, told in taken.mails.items() if address not in kept}
    # Those who leave by mail are not those whose mails come back.
    bouncing = set(list(mails)[:NEEDED])
    ids = [one.id for one in everyone if one.address in mails.keys() - bouncing]
    write_returned(folder / "returned", mails, _KEY, IDENTITY.list_id, ids)
    return read_bounces(store, IDENTITY.list_id, _KEY, [folder / "returned"], TODAY)


def _write_pages(folder: Path, store: Store, edition_id: int, shown: list[Reader]) -> None:
    look = folder / "look"
    look.mkdir(mode=0o700, exist_ok=True)
    for place, one in zip(PLACES, shown, strict=True):
        letter = copy_of(store, edition_id, one.id)
        if letter is not None:
            write_whole(look / f"{place.label}.html", letter.html)


def _write_mails(folder: Path, shown: list[Reader], taken: Taken) -> None:
    for place, one in zip(PLACES, shown, strict=True):
        if one.address in taken.kept:
            write_whole(folder / "look" / f"{place.label}.eml", taken.kept[one.address])


def doubles(taken: Taken) -> int:
    """How many mails the server was given once too often."""
    return sum(times - 1 for times in taken.ids.values())
