"""What the mail server's own log says of mails whose sending was interrupted.

It reads the log that Postfix writes. A message id alone proves nothing: it is logged for a text
that was broken off too, and before anybody knows how it ends. A mail was accepted if a program
behind the queue names its queue id, or if the server's talk with us ended with every text taken. It
was not accepted if the log says that it was refused or broken off. All else is not known: a queue
manager may lag, and a mail may be held (HOLD) for as long as somebody likes.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path

from advisor.base.dates import now_utc
from advisor.base.problems import BadInput, Place
from advisor.base.record import Record
from advisor.mailing.outbox.queue_lines import QueueLines

# The server was started anew: lines of what it had accepted just before may be lost.
_STARTED = re.compile(r"/master\[\d+\]: daemon started")
_STAMP = re.compile(r"^(\d{4}-\d\d-\d\dT\S+|[A-Z][a-z]{2} [ \d]\d \d\d:\d\d:\d\d) ")
#: Seconds by which the times of a log (whole seconds, another process) and ours may differ.
SLACK = 2.0


class Ledger(Record, frozen=True):
    """A log as it was read. accepted: of the message ids that were looked for. unclear: of these
    the moments of tries whose end it does not tell. first, last: the moments that it spans;
    starts: of the server."""

    accepted: frozenset[str]
    unclear: Mapping[str, tuple[float, ...]]
    first: float
    last: float
    starts: tuple[float, ...]

    def became(self, message_id: str, began: float, slack: float = SLACK) -> bool | None:
        """Whether a mail whose sending began then was accepted; None where the log cannot tell.

        It can tell only if it goes back far enough, goes on after that moment, the server was not
        started anew in between, and no try since then has an open end.
        """
        if message_id in self.accepted:
            return True
        if any(at >= began - slack for at in self.unclear.get(message_id, ())):
            return None
        spans = self.first <= began - slack and self.last > began + slack
        return False if spans and all(start < began - slack for start in self.starts) else None


def read_ledger(path: Path, wanted: Collection[str]) -> Ledger:
    """What the log at a path, and the one before it (`.1`) if it is there, say of some message ids.

    A log of a large edition is longer than the memory, so it is read line by line. Raises
    `BadInput` if it cannot be read or has no line with a time.
    """
    try:
        return parse_ledger(_lines(path), now_utc(), wanted, str(path))
    except OSError as error:
        raise BadInput.at(Place(str(path)), f"cannot be read: {error.strerror}") from None


def _lines(path: Path) -> Iterator[str]:
    for part in (path.with_name(path.name + ".1"), path):
        if part == path or part.exists():
            with part.open(encoding="utf-8", errors="replace") as file:
                yield from file


def parse_ledger(
    lines: Iterable[str], now: dt.datetime, wanted: Collection[str], shown_as: str = "log"
) -> Ledger:
    """The ledger of a log's lines. now: for stamps without a year, which are in local time."""
    told = QueueLines(wanted)
    first, last = math.inf, -math.inf
    starts: list[float] = []
    for line in lines:
        at = _moment(line, now)
        if at is None:
            continue
        first, last = min(first, at), max(last, at)
        if _STARTED.search(line):
            starts.append(at)
        else:
            told.read(line, at)
    if first > last:
        raise BadInput.at(Place(shown_as), "holds no line that begins with a time")
    return Ledger(frozenset(told.accepted), told.unclear(), first, last, tuple(starts))


def _moment(line: str, now: dt.datetime) -> float | None:
    stamp = _STAMP.match(line)
    if stamp is None:
        return None
    try:
        if stamp[1][0].isdigit():
            return dt.datetime.fromisoformat(stamp[1]).timestamp()
        local = now.astimezone()
        read = dt.datetime.strptime(f"{local.year} {stamp[1]}", "%Y %b %d %H:%M:%S").astimezone()
        # A stamp of the old year, read in the new one.
        if read > local + dt.timedelta(days=1):
            read = read.replace(year=local.year - 1)
        return read.timestamp()
    except ValueError:
        return None
