"""The lines of Postfix's log that tell what became of a text that was handed to it.

A text gets its queue id from smtpd (`client=`), and cleanup names its message id. What follows
from which line was seen in the log of a Postfix 3.7 whose clients were cut off at each step. Lines
of two programs may come in either order.
"""

from __future__ import annotations

import re
from collections.abc import Collection

_CLIENT = re.compile(r"/smtpd\[(\d+)\]: ([0-9A-Za-z]+): client=")
_ID = re.compile(r"/cleanup\[\d+\]: ([0-9A-Za-z]+): message-id=(<[^>]*>)")
# Whatever works behind the queue is given only what was accepted.
_QUEUED = re.compile(
    r"/(?:qmgr|smtp|lmtp|local|virtual|pipe|error|discard)\[\d+\]: ([0-9A-Za-z]+): "
)
_REFUSED = re.compile(r"/cleanup\[\d+\]: ([0-9A-Za-z]+): (?:milter-)?reject: ")
_BROKEN_OFF = re.compile(r"/smtpd\[(\d+)\]: (?:lost connection|timeout) after DATA \(")
_BEGIN = re.compile(r"/smtpd\[(\d+)\]: connect from ")
_END = re.compile(r"/smtpd\[(\d+)\]: disconnect from ")
# Since Postfix 3.0 the end tells how many texts went well, and of how many if not all did.
_TEXTS = re.compile(r" data=(\d+)(?:/(\d+))?(?= |$)")


class QueueLines:
    """What the lines so far tell of the message ids that are looked for; little else is kept."""

    def __init__(self, wanted: Collection[str]) -> None:
        self.accepted: set[str] = set()
        self._wanted = wanted
        # Of each queue id that is looked for: the message id, and the moment.
        self._open: dict[str, tuple[str, float]] = {}
        # Queue ids that were not accepted, and whose message id was not read yet.
        self._refused: set[str] = set()
        # Each smtpd talks with one client at a time: the queue ids of that talk, oldest first.
        self._talks: dict[str, dict[str, None]] = {}
        self._talk_of: dict[str, str] = {}

    def unclear(self) -> dict[str, tuple[float, ...]]:
        """Of each message id that was not accepted: when tries began whose end is not told."""
        found: dict[str, tuple[float, ...]] = {}
        for message_id, at in self._open.values():
            if message_id not in self.accepted:
                found[message_id] = (*found.get(message_id, ()), at)
        return found

    def read(self, line: str, at: float) -> None:
        """Take in the next line, which was written at this moment."""
        if found := _CLIENT.search(line):
            self._begin(found[1], found[2])
        elif found := _ID.search(line):
            self._name(found[1], found[2], at)
        elif found := _QUEUED.search(line):
            self._accept(found[1])
        elif found := _REFUSED.search(line):
            self._refuse(found[1])
        elif found := _BROKEN_OFF.search(line):
            # The text under way is that of the newest queue id.
            for queue_id in list(self._talks.get(found[1], ()))[-1:]:
                self._refuse(queue_id)
        elif found := _BEGIN.search(line):
            # Without the end of the one before: that smtpd was killed, and its number came again.
            self._end(found[1], None)
        elif found := _END.search(line):
            self._end(found[1], _TEXTS.search(line, found.end()))

    def _begin(self, smtpd: str, queue_id: str) -> None:
        # A queue id may be used again once its mail is gone.
        self._open.pop(queue_id, None)
        self._refused.discard(queue_id)
        self._talks.setdefault(smtpd, {})[queue_id] = None
        self._talk_of[queue_id] = smtpd

    def _name(self, queue_id: str, message_id: str, at: float) -> None:
        self._open.pop(queue_id, None)
        if message_id not in self._wanted:
            self._forget(queue_id)
        elif queue_id in self._refused:
            self._refused.discard(queue_id)
        else:
            self._open[queue_id] = (message_id, at)

    def _accept(self, queue_id: str) -> None:
        if named := self._open.pop(queue_id, None):
            self.accepted.add(named[0])

    def _refuse(self, queue_id: str) -> None:
        if self._open.pop(queue_id, None) is None and queue_id in self._talk_of:
            self._refused.add(queue_id)

    def _end(self, smtpd: str, texts: re.Match[str] | None) -> None:
        """A talk is over. Where some texts went well and some did not, it does not tell which."""
        for queue_id in self._talks.pop(smtpd, {}):
            if texts and texts[2] is None:
                self._accept(queue_id)
            elif texts and texts[1] == "0":
                self._refuse(queue_id)
            self._talk_of.pop(queue_id, None)

    def _forget(self, queue_id: str) -> None:
        self._refused.discard(queue_id)
        smtpd = self._talk_of.pop(queue_id, "")
        self._talks.get(smtpd, {}).pop(queue_id, None)
