"""A real SMTP server (aiosmtpd) in this process, whose every answer a test decides."""

from __future__ import annotations

import contextlib
import socket
from collections import Counter
from collections.abc import Callable, Iterator

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP

DROP = "drop"
"""In place of a reply: the line breaks."""
#: After so many texts it is good, so that a sender without any limit ends too.
PATIENCE = 300

Answer = Callable[[str, int], str]
"""The reply to a reader's so-manieth (from 1) recipient command, or text."""


class Decided:
    """The handler. texts: whole ones by reader; talks: connections that were greeted."""

    def __init__(self, to_reader: Answer, to_text: Answer, errors_allowed: int = 10**6) -> None:
        self.texts: Counter[str] = Counter()
        self.asked: Counter[str] = Counter()
        self.talks = self.hung_up = 0
        self._to_reader, self._to_text, self._allowed = to_reader, to_text, errors_allowed

    async def handle_EHLO(self, server, session, envelope, hostname, responses):  # noqa: N802
        self.talks += 1
        session.host_name, session.errors = hostname, 0
        return responses

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802
        if session.errors >= self._allowed:
            self.hung_up += 1
            server.transport.write(b"421 4.7.0 too many errors\r\n")
            server.transport.close()
            return "421 4.7.0 too many errors"
        self.asked[address] += 1
        reply = self._to_reader(address, self.asked[address])
        if reply.startswith("2"):
            envelope.rcpt_tos.append(address)
        elif reply == DROP:
            server.transport.abort()
        else:
            session.errors += 1
        return reply

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        (address,) = envelope.rcpt_tos
        self.texts[address] += 1
        if self.texts.total() > PATIENCE:
            return "250 OK"
        reply = self._to_text(address, self.texts[address])
        if reply == DROP:
            server.transport.abort()
        return reply


class _Controller(Controller):
    def factory(self) -> SMTP:
        return SMTP(self.handler, hostname="mx.example.org")


def takes(address: str, number: int) -> str:
    """Nothing is wrong."""
    return "250 2.0.0 OK"


@contextlib.contextmanager
def bad_server(handler: Decided) -> Iterator[int]:
    """The server while it runs; its port on this machine."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    running = _Controller(handler, hostname="127.0.0.1", port=port)
    running.start()
    try:
        yield port
    finally:
        running.stop()
