"""How fast an edition is sent, from SQLite and from PostgreSQL, by one sender and by more.

    python docs/benchmarks/send_rate.py [--mails 600] [--rounds 3] [--senders 1 2]

It needs the `test` extra and PostgreSQL's programs. Stores lie on the disk, and every change is
written through to it, as in real sending. The server at the other end is a bare one on this machine
that takes everything; so this measures the sender, its outbox and the disk, and no mail server.
"outbox alone" is the same without building and handing over any mail. The processor's time is that
of the senders alone, without the database's server.
"""

from __future__ import annotations

import argparse
import asyncio
import multiprocessing
import os
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from multiprocessing.queues import Queue
from pathlib import Path

SUPPORT = Path(__file__).resolve().parents[2] / "tests" / "delivery" / "support"
Work = Callable[[Path, int], None]
FORK = multiprocessing.get_context("fork")


class Sink(asyncio.Protocol):
    """An SMTP server that takes everything and keeps nothing (RFC 5321 section 4.1.1)."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        self.line, self.held, self.text = transport, b"", False
        self.line.write(b"220 sink\r\n")

    def data_received(self, data: bytes) -> None:
        self.held += data
        while True:
            end = b"\r\n.\r\n" if self.text else b"\r\n"
            said, found, rest = self.held.partition(end)
            if not found:
                return
            self.held = rest
            word = said[:4].upper()
            if self.text:
                self.text, reply = False, b"250 taken"
            elif word == b"DATA":
                self.text, reply = True, b"354 go on"
            else:
                reply = b"221 bye" if word == b"QUIT" else b"250 fine"
            self.line.write(reply + b"\r\n")


def sink(port: Queue[int]) -> None:
    """Serve until killed; the port is put into the queue."""

    async def serve() -> None:
        server = await asyncio.get_running_loop().create_server(Sink, "127.0.0.1", 0)
        port.put(server.sockets[0].getsockname()[1])
        await server.serve_forever()

    asyncio.run(serve())


def whole(folder: Path, port: int) -> None:
    """A sender, as a process of its own runs it."""
    from kills import KEY, store_at

    from advisor.mailing.outbox.sender import Rules, Sender
    from advisor.mailing.outbox.server_settings import ServerSettings

    store = store_at(folder)
    Sender(store, 1, ServerSettings("127.0.0.1", port, "none"), KEY, Rules()).run(wait=False)
    store.dispose()


def outbox_alone(folder: Path, port: int) -> None:
    """The outbox's part of sending: each mail is claimed, begun and settled."""
    from kills import store_at

    from advisor.mailing.outbox.outbox import Outbox, new_owner
    from advisor.mailing.store.engines import make_durable

    store = store_at(folder)
    make_durable(store)
    box = Outbox(store, 1, new_owner(), 3600.0)
    while claims := box.claim(20):
        for claim in claims:
            box.begin(claim, b"x" * 4000)
            box.settle(claim, "sent", 250, "taken")
    store.dispose()


def used() -> float:
    """Seconds of the processor that ended processes of this one have used."""
    ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    return ended.ru_utime + ended.ru_stime


def rate(work: Work, mails: int, senders: int, url: str, port: int) -> tuple[float, float]:
    """Mails per second, from the senders' start to their end, and their processor's ms for each."""
    from kills import invented_edition, store_at, use_database

    from advisor.mailing.outbox.run import status_of

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if url:
            use_database(folder, url)
        invented_edition(folder, mails)
        began, before = time.perf_counter(), used()
        workers = [FORK.Process(target=work, args=(folder, port)) for _ in range(senders)]
        for worker in workers:
            worker.start()
        for worker in workers:
            worker.join()
        seconds, working = time.perf_counter() - began, used() - before
        store = store_at(folder)
        status = status_of(store, 1)
        store.dispose()
        assert status is not None
        assert status.counts["sent"] == mails, status.counts
    return mails / seconds, 1000 * working / mails


def syncs() -> float:
    """How often a second this disk takes a block written through to it."""
    with tempfile.NamedTemporaryFile() as file:
        began = time.perf_counter()
        for number in range(200):
            os.pwrite(file.fileno(), bytes(8192), 8192 * number)
            os.fdatasync(file.fileno())
        return 200 / (time.perf_counter() - began)


def main(mails: int, rounds: int, senders_tried: list[int]) -> None:
    """Print a table: the middle of the rounds, in which all kinds take turns."""
    sys.path.insert(0, str(SUPPORT))
    from postgres import cluster

    port: Queue[int] = FORK.Queue()
    server = FORK.Process(target=sink, args=(port,), daemon=True)
    server.start()
    at = port.get()
    kinds = [(s, w, n) for s in ("SQLite", "PostgreSQL") for w in (whole, outbox_alone)
             for n in senders_tried]  # fmt: skip
    found: dict[tuple[str, Work, int], list[tuple[float, float]]] = {k: [] for k in kinds}
    with cluster(fsync=True, on_disk=True) as running:
        for _ in range(rounds):
            for store, work, senders in kinds:
                url = running.database() if store == "PostgreSQL" else ""
                found[store, work, senders].append(rate(work, mails, senders, url, at))
    server.kill()
    cores, load = os.cpu_count(), os.getloadavg()[0]
    print(f"{mails} mails, {rounds} rounds, {cores} cores, load {load:.1f}, {syncs():.0f} syncs/s")
    for (store, work, senders), rates in found.items():
        middle, cost = (sorted(values)[len(rates) // 2] for values in zip(*rates, strict=True))
        name = work.__name__.replace("_", " ")
        print(f"{store:<11} {name:<13} {senders:2} senders  {middle:6.0f} mails/s  "
              f"{cost:5.1f} ms of processor for each")  # fmt: skip


if __name__ == "__main__":
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    words.add_argument("--mails", type=int, default=600)
    words.add_argument("--rounds", type=int, default=3)
    words.add_argument("--senders", type=int, nargs="+", default=[1, 2])
    given = words.parse_args()
    main(given.mails, given.rounds, given.senders)
