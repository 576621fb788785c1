"""Ending a process whose work takes too long, whatever it hangs in."""

from __future__ import annotations

import faulthandler
import sys
import threading
from collections.abc import Callable
from typing import TypeVar

S = TypeVar("S")
R = TypeVar("R")
_ONE = threading.Lock()


def watched(work: Callable[[S], R], seconds: float, share: S) -> R:
    """`work` on a share; after so many seconds of it the process ends, and tells where it was.

    The clock is a monotonic one in a thread of the C library's, which runs though the engine's C
    code never comes back. There is one such clock in a process, so work is done one by one.
    """
    with _ONE:
        faulthandler.dump_traceback_later(seconds, exit=True, file=sys.__stderr__ or sys.stderr)
        try:
            return work(share)
        finally:
            faulthandler.cancel_dump_traceback_later()
