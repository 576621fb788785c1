"""What is said once a record is written: whatever fails then only warns.

The record stands. A command that failed now would be repeated, and the record would stand twice.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

import typer


def say_after_write(text: str) -> None:
    """Print a line on standard output; on standard error that it could not be, where it fails."""
    with warn_if_it_fails(f"standard output takes nothing: {text}"):
        try:
            typer.echo(text)
        except OSError:
            # What is left in the buffer would fail once more at exit.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise


@contextmanager
def warn_if_it_fails(what: str) -> Iterator[None]:
    """Turn any failure into one line on standard error."""
    try:
        yield
    except Exception as error:
        with suppress(OSError, ValueError):
            typer.echo(f"recorded, but {what} ({type(error).__name__}: {error})", err=True)
