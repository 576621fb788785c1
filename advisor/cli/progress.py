"""How far a long command has come: a bar on a terminal, else a line now and then."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager

import typer

from advisor.cli.printer import raw

_LINES = 20
"""At most so many, where there is no terminal."""


@contextmanager
def progress(what: str) -> Iterator[Callable[[int, int], None]]:
    """What is told how much is done and of how much, and shows it on standard error."""
    with ExitStack() as held:
        if not sys.stderr.isatty():
            yield _lines(what)
            return
        bar = None

        def show(done: int, of: int) -> None:
            nonlocal bar
            if bar is None:
                shown = typer.progressbar(
                    length=of, label=what, file=raw(sys.stderr), show_pos=True, show_eta=True
                )
                bar = held.enter_context(shown)
            bar.update(done - bar.pos)

        yield show


def _lines(what: str) -> Callable[[int, int], None]:
    shown = 0

    def show(done: int, of: int) -> None:
        nonlocal shown
        part = done * _LINES // of
        if part > shown:
            shown = part
            typer.echo(f"{done:,} of {of:,} {what}", err=True)

    return show
