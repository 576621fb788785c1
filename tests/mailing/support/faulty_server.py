"""A local SMTP server with faults, and a log in the form that Postfix writes.

Each reader's fault is named by the start of its address: `r550-…`. The journal gets a line for each
mail that the server has taken, before it says so. Run: faulty_server.py FOLDER SEED.
"""

from __future__ import annotations

import asyncio
import random
import re
import sys
from collections import Counter
from pathlib import Path

from aiosmtpd.smtp import SMTP

from advisor.base.dates import now_utc

HANG = 1.2
REFUSE_AT_RCPT = {"r550": "550 5.1.1 no such mailbox", "r551": "551 not local"}
LATER_AT_RCPT = {
    "r421": "421 4.3.2 closing", "r450": "450 4.2.1 busy", "r451": "451 4.3.0 try later",
    "r452": "452 4.3.1 full",
}  # fmt: skip


class Faults:
    """The handler. Temporary faults happen on a reader's first two tries."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.draw, self.tries = folder, random.Random(seed), Counter()
        self.queue = self.talks = 0
        self.log("postfix/master[1]: daemon started -- version 3")

    def log(self, text: str) -> None:
        with (self.folder / "mail.log").open("a", encoding="utf-8") as out:
            out.write(f"{now_utc().isoformat()} mx {text}\n")

    async def handle_EHLO(self, server, session, envelope, hostname, responses):  # noqa: N802
        # A real one has a process for each talk at a time.
        self.talks += 1
        session.number = 100 + self.talks
        self.log(f"postfix/smtpd[{session.number}]: connect from localhost[127.0.0.1]")
        session.host_name = hostname
        return responses

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802
        kind = address.partition("-")[0]
        self.tries[address] += 1
        if kind in REFUSE_AT_RCPT:
            return REFUSE_AT_RCPT[kind]
        if kind in LATER_AT_RCPT and self.tries[address] <= 2:
            return LATER_AT_RCPT[kind]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        address = envelope.rcpt_tos[0]
        kind, first = address.partition("-")[0], self.tries[address] == 1
        message_id = re.search(rb"(?i)^message-id: (<[^>]*>)", envelope.content, re.M)[1].decode()
        self.queue += 1
        named = f"{self.queue:010X}"
        smtpd = f"postfix/smtpd[{session.number}]"
        texts = f"DATA ({len(envelope.content)} bytes) from localhost[127.0.0.1]"
        self.log(f"{smtpd}: {named}: client=localhost[127.0.0.1]")
        # A text that is broken off or refused leaves this line too; it proves nothing.
        self.log(f"postfix/cleanup[3]: {named}: message-id={message_id}")
        try:
            await asyncio.sleep(self.draw.uniform(0.0, 0.010))
        except asyncio.CancelledError:
            # The client is gone. A real one says so, if it had not read the text to its end.
            self.log(f"{smtpd}: lost connection after {texts}")
            raise
        if kind == "r554":
            self.log(f"postfix/cleanup[3]: {named}: reject: body x from localhost: 5.6.0")
            return "554 5.6.0 not in this form"
        if kind == "drop" and first:
            server.transport.abort()
            self.log(f"{smtpd}: lost connection after {texts}")
            return "451 gone"
        if kind == "hang" and first:
            try:
                await asyncio.sleep(HANG)
            finally:
                self.log(f"{smtpd}: timeout after {texts}")
            server.transport.abort()
            return "451 gone"
        with (self.folder / "journal").open("a", encoding="utf-8") as out:
            out.write(f"{address} {message_id}\n")
        self.log(f"postfix/qmgr[4]: {named}: from=<b@example.org>, size=9, nrcpt=1 (queue active)")
        await asyncio.sleep(self.draw.uniform(0.0, 0.010))
        if kind == "taken" and first:
            server.transport.abort()
            return "250 nobody hears this"
        return f"250 2.0.0 Ok: queued as {named}"


async def serve(folder: Path, seed: int) -> None:
    """Listen on a free port of this machine; the port is written to the folder when it is open."""
    faults = Faults(folder, seed)
    server = await asyncio.get_running_loop().create_server(
        lambda: SMTP(faults, hostname="mx.example.org"), "127.0.0.1", 0
    )
    part = folder / "port.part"
    part.write_text(str(server.sockets[0].getsockname()[1]))
    part.rename(folder / "port")
    await server.serve_forever()


if __name__ == "__main__":
    asyncio.run(serve(Path(sys.argv[1]), int(sys.argv[2])))
