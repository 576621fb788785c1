"""A hard end for work that may hang, such as a look-up of a name that never returns."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from typing import TypeVar

from advisor.fetch.failure import FetchFailed

T = TypeVar("T")


def within(seconds: float, work: Callable[[], T]) -> T:
    """What the work returns or raises. Raises `FetchFailed` if it is not done in time.

    Work that is late goes on in a thread that dies with the program, so it must not write.
    """
    results: list[T] = []
    failures: list[BaseException] = []

    def run() -> None:
        try:
            results.append(work())
        except BaseException as error:
            failures.append(error)

    thread = Thread(target=run, daemon=True)
    thread.start()
    thread.join(seconds)
    if failures:
        raise failures[0]
    if not results:
        raise FetchFailed(f"nothing came within {seconds:g} s; gave up")
    return results[0]
