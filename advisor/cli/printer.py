"""The one way to the terminal: everything that a command prints goes through here."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TextIO

from advisor.base.text import encodable, visible


class Printer(io.TextIOBase):
    """A standard stream that shows control characters as escapes, and spells what it cannot encode.

    When the reader has gone (a pager, `head`), what is still printed is dropped, and the command
    goes on with its work. Any other trouble is raised once, as the `OSError` in `trouble`.

    It has no `buffer`: bytes are data of our own making and go to `write_bytes`.
    """

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream
        self.trouble: OSError | None = None
        self._gone = False

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return self.stream.encoding or "utf-8"

    @property
    def errors(self) -> str | None:  # type: ignore[override]
        return self.stream.errors

    def write(self, text: str) -> int:
        plain = encodable(visible(text), self.encoding)
        # The parser tries an empty text first, and would keep trouble with it to itself.
        if plain:
            with self._told():
                self.stream.write(plain)
        return len(text)

    def write_bytes(self, raw: bytes) -> None:
        with self._told():
            self.stream.flush()
            self.stream.buffer.write(raw)
            self.stream.buffer.flush()

    def flush(self) -> None:
        with self._told():
            self.stream.flush()

    def isatty(self) -> bool:
        return self.stream.isatty()

    def fileno(self) -> int:
        return self.stream.fileno()

    def writable(self) -> bool:
        return True

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            if self._gone:
                return
            self._gone = True
            self._let_go()
            if not isinstance(error, BrokenPipeError):
                self.trouble = error
                raise

    def _let_go(self) -> None:
        """What lies in the stream's buffer would be tried again, and fail again, at the exit."""
        with suppress(OSError, ValueError):
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self.stream.fileno())
            os.close(nowhere)


@contextmanager
def plain_streams() -> Iterator[None]:
    """Standard output and standard error through a `Printer` each."""
    before = sys.stdout, sys.stderr
    # A stream that was closed before the start is None.
    sys.stdout, sys.stderr = (stream and Printer(stream) for stream in before)
    # What is typed is text from outside too; a byte that is none is answered, not fallen over.
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


def raw(stream: TextIO) -> TextIO:
    """The stream behind, for what steers the terminal on purpose."""
    return stream.stream if isinstance(stream, Printer) else stream


def echo_bytes(content: bytes) -> None:
    """Bytes to standard output, as they are."""
    if isinstance(sys.stdout, Printer):
        sys.stdout.write_bytes(content)
    elif sys.stdout is not None:
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
