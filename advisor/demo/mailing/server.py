"""A mail server on this machine that delivers nothing: it refuses, puts off and counts.

The only module that knows the library `aiosmtpd`, of the extra `demo`.
"""

from __future__ import annotations

import asyncio
import re
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from advisor.base.problems import BadInput, Place

HOST = "127.0.0.1"
_ID = re.compile(rb"(?im)^message-id:\s*(<[^>]+>)")
_WAIT = 10.0


@dataclass
class Taken:
    """What the server has taken. ids: each Message-ID and how often. mails: one per address, with
    the envelope's sender. refused, put_off: how many times."""

    ids: Counter[str] = field(default_factory=Counter)
    mails: dict[str, tuple[str, str]] = field(default_factory=dict)
    kept: dict[str, bytes] = field(default_factory=dict)
    refused: int = 0
    put_off: int = 0


class Handler:
    """gone: addresses that do not exist. later: those that the first try finds busy.

    keep: whether a mail's bytes are kept, by its address.
    """

    def __init__(self, gone: set[str], later: set[str], keep: Callable[[str], bool]) -> None:
        self.gone, self.later, self.keep = gone, set(later), keep
        self.taken = Taken()

    async def handle_RCPT(  # noqa: N802
        self, server: Any, session: Any, envelope: Any, address: str, options: Any
    ) -> str:
        """Refuse who does not exist (RFC 3463, 5.1.1), put off who is busy (4.2.1)."""
        if address in self.gone:
            self.taken.refused += 1
            return "550 5.1.1 no such mailbox"
        if address in self.later:
            self.later.discard(address)
            self.taken.put_off += 1
            return "450 4.2.1 mailbox busy, try again"
        envelope.rcpt_tos.append(address)
        return "250 2.1.5 OK"

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:  # noqa: N802
        """Take the mail and count its Message-ID."""
        found = _ID.search(envelope.content)
        named = found[1].decode("ascii", "replace") if found else "none"
        self.taken.ids[named] += 1
        for address in envelope.rcpt_tos:
            self.taken.mails[address] = (envelope.mail_from, named)
            if self.keep(address):
                self.taken.kept[address] = envelope.content
        return "250 2.0.0 taken, and delivered to nobody"


@contextmanager
def mail_server(handler: Handler) -> Iterator[int]:
    """A server on a free port of this machine, for as long as the block runs; yields the port.

    Raises `BadInput` if the library is not installed.
    """
    smtp = _smtp_class()
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()

    async def listen() -> asyncio.Server:
        return await loop.create_server(
            lambda: smtp(handler, hostname="mx.example.net", loop=loop), HOST, 0
        )

    async def leave(server: asyncio.Server) -> None:
        server.close()
        for task in asyncio.all_tasks(loop) - {asyncio.current_task()}:
            task.cancel()
        await asyncio.sleep(0)

    try:
        server = asyncio.run_coroutine_threadsafe(listen(), loop).result(_WAIT)
        try:
            yield server.sockets[0].getsockname()[1]
        finally:
            asyncio.run_coroutine_threadsafe(leave(server), loop).result(_WAIT)
    finally:
        loop.call_soon_threadsafe(loop.stop)
        thread.join(_WAIT)
        loop.close()


def need_library() -> None:
    """Raise `BadInput` if there can be no server, before any work is done."""
    _smtp_class()


def _smtp_class() -> Any:
    try:
        from aiosmtpd.smtp import SMTP
    except ImportError:
        what = "needs the library aiosmtpd for its mail server; install it: pip install aiosmtpd"
        raise BadInput.at(Place("advisor mail demo"), what) from None
    return SMTP
