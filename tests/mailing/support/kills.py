"""Kill a sender again and again, and count what the server took and what the outbox says."""

from __future__ import annotations

import contextlib
import multiprocessing
import random
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.context import ForkProcess as Process
from pathlib import Path

from mail_samples import IDENTITY, KEY, LETTER
from sqlalchemy import func, insert, select

from advisor.base.dates import today
from advisor.mailing.outbox.backoff import Backoff
from advisor.mailing.outbox.policy import Policy
from advisor.mailing.outbox.run import put_on_its_way
from advisor.mailing.outbox.sender import Rules, Sender
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.store.letter_tables import put_letters
from advisor.mailing.store.outbox_tables import mail
from advisor.mailing.store.store import Store, open_store, reading, writing
from advisor.mailing.store.tables import copy, edition, reader

FAULTS = ("r421", "r450", "r451", "r452", "r550", "r551", "r554", "drop", "taken", "hang")
REFUSED = ("r550", "r551", "r554")


@dataclass(frozen=True)
class Result:
    """What came of it.

    struck: mails on the wire when their sender was killed. doubles: accepted twice or more. lost:
    said to be sent and was not, or never sent although nothing stood against it. undelivered: held
    as unknown, and not accepted. undecided: of those that the server refuses, held as unknown.
    """

    kills: int
    struck: int
    doubles: int
    lost: int
    unknown: int
    undelivered: int
    undecided: int
    wrong: int
    states: dict[str, int]


def use_database(folder: Path, url: str) -> None:
    """Keep the store of a folder in a database."""
    (folder / "store.url").write_text(url)


def store_at(folder: Path) -> Store:
    """The store of a folder: the database that was named, or a SQLite file."""
    named = folder / "store.url"
    return open_store(named.read_text() if named.exists() else folder / "mail.db")


def invented_edition(folder: Path, readers: int, faults: int = 0) -> None:
    """An approved edition for invented readers; so many of each fault among them."""
    store = store_at(folder)
    names = [f"{fault}-{n}" for fault in FAULTS for n in range(faults)]
    names += [f"plain-{n}" for n in range(readers - len(names))]
    random.Random(1).shuffle(names)
    day = today()
    with writing(store) as db:
        db.execute(
            insert(edition).values(
                id=1, list_name="l", first_day=day, rulebook_hash="h", state="approved"
            )
        )
        person = {
            "latitude": 40.0, "longitude": -83.0, "place": "Nowhere", "grass": "tall_fescue",
            "units": "us", "permission_on": day, "permission_source": "invented", "created_on": day,
        }  # fmt: skip
        for number, name in enumerate(names, 1):
            to = f"{name}@example.com"
            db.execute(insert(reader).values(id=number, address=to, address_key=to, **person))
        put_letters(db, [("c", LETTER)])
        for number in range(1, len(names) + 1):
            row = {"id": number, "reader_id": number, "edition_id": 1, "letter_id": 1}
            db.execute(insert(copy).values(**row))
    assert put_on_its_way(store, 1, IDENTITY, KEY) == len(names)
    store.dispose()


def rules(folder: Path, policy: str, **given: object) -> Rules:
    """Quick rules for a server on this machine."""
    quick = Backoff(first=0.05, longest=0.1)
    usual = {
        "interrupted": Policy(policy), "log": folder / "mail.log", "settle": 0.3, "slack": 0.0,
        "lease": 0.2, "batch": 10, "bad_least": 10**6,
        "silent_most": 10**6, "backoff": quick,
        "connection": Backoff(first=0.01, longest=0.02),
        "database": Backoff(first=0.05, longest=0.5),
    }  # fmt: skip
    return Rules(**{**usual, **given})


def send(folder: Path, port: int, made: Rules) -> None:
    """A whole sender, as a process of its own runs it."""
    server = ServerSettings("127.0.0.1", port, "none", patience=5.0, after_dot=0.6)
    store = store_at(folder)
    Sender(store, 1, server, KEY, made).run()
    store.dispose()


@contextlib.contextmanager
def server_process(folder: Path, seed: int):
    """The faulty server in a process of its own; its port."""
    script = Path(__file__).with_name("faulty_server.py")
    command = [sys.executable, str(script), str(folder), str(seed)]
    with subprocess.Popen(command) as running:
        try:
            while not (folder / "port").exists():
                assert running.poll() is None
                time.sleep(0.02)
            yield int((folder / "port").read_text())
        finally:
            running.kill()


def kill_often(
    folder: Path, policy: str, kills: int, seed: int, *, readers: int, faults: int,
    senders: int = 1, url: str = "", strike: Callable[[int], None] = lambda number: None,
) -> Result:  # fmt: skip
    """Start senders and kill them, so many times; then let one finish, and count.

    url: of a database to keep the store in. strike: called in each round (numbered from 0) while
    the senders run.
    """
    draw, done, rounds = random.Random(seed), 0, 0
    struck: set[tuple[int, float]] = set()
    log = folder / "mail.log"
    if url:
        use_database(folder, url)
    invented_edition(folder, readers, faults)
    fork = multiprocessing.get_context("fork")
    with server_process(folder, seed) as port:
        made = rules(folder, policy)
        while done < kills:
            workers = [fork.Process(target=send, args=(folder, port, made)) for _ in range(senders)]
            quiet = log.stat().st_size
            for worker in workers:
                worker.start()
            _wait_for_work(log, quiet, workers)
            time.sleep(draw.uniform(0.0, 0.12))
            strike(rounds)
            alive = [worker for worker in workers if worker.is_alive()]
            for worker in workers:
                worker.kill()
                worker.join()
            done += len(alive)
            rounds += 1
            struck |= _on_the_wire(folder)
            # With the database down they fail; that is not the end.
            if not alive and all(worker.exitcode == 0 for worker in workers):
                break
        last = fork.Process(target=send, args=(folder, port, made))
        last.start()
        last.join()
        assert last.exitcode == 0
    return _counted(folder, done, len(struck))


def _wait_for_work(log: Path, quiet: int, workers: list[Process]) -> None:
    """Until all have come as far as the server; only then can they be struck at their work.

    quiet: the size of the server's log when they set out. One with nothing to do never comes.
    """
    patience = time.monotonic() + 1.0
    while time.monotonic() < patience:
        alive = sum(worker.is_alive() for worker in workers)
        if log.read_bytes()[quiet:].count(b": connect from ") >= alive:
            return
        time.sleep(0.005)


def _on_the_wire(folder: Path) -> set[tuple[int, float]]:
    """The mails that a dead sender had begun, each with the moment."""
    store = store_at(folder)
    with reading(store) as db:
        found = select(mail.c.copy_id, mail.c.began).where(mail.c.state == "sending")
        begun = {(row[0], row[1]) for row in db.execute(found)}
    store.dispose()
    return begun


def _counted(folder: Path, kills: int, struck: int) -> Result:
    lines = (folder / "journal").read_text().split("\n")
    taken = Counter(line.partition(" ")[0] for line in lines if line)
    store = store_at(folder)
    with reading(store) as db:
        columns = select(reader.c.address, mail.c.state).join_from(mail, copy)
        found = {row[0]: row[1] for row in db.execute(columns.join(reader))}
        everyone = db.scalar(select(func.count()).select_from(reader))
    store.dispose()
    assert len(found) == everyone
    refused = {to for to in found if to.startswith(REFUSED)}
    return Result(
        kills=kills,
        struck=struck,
        doubles=sum(n > 1 for n in taken.values()),
        lost=sum(to not in taken and s not in ("unknown", "failed") for to, s in found.items()),
        unknown=sum(s == "unknown" for s in found.values()),
        undelivered=sum(s == "unknown" and to not in taken for to, s in found.items()),
        undecided=sum(found[to] == "unknown" for to in refused),
        wrong=sum((s == "failed") != (to in refused) for to, s in found.items() if s != "unknown")
        + sum(to in taken for to in refused),
        states=dict(Counter(found.values())),
    )
