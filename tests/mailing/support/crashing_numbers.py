"""Work on numbers that harms its own process: the pool needs no letters, which load slowly."""

from __future__ import annotations

import itertools
import os
import signal
import time


def double(numbers: tuple[int, ...]) -> list[int]:
    """Twice each number; a process that meets 13 dies."""
    if 13 in numbers:
        os.kill(os.getpid(), signal.SIGKILL)
    return [2 * n for n in numbers]


def halves(numbers: tuple[int, ...]) -> list[tuple[int, ...]]:
    half = len(numbers) // 2
    return [numbers[:half], numbers[half:]] if half else [numbers]


def sleeper(numbers: tuple[int, ...]) -> list[int]:
    """Twice each number; a process that meets 7 never comes back."""
    if 7 in numbers:
        time.sleep(3600)
    return [2 * n for n in numbers]


def stuck_in_c(numbers: tuple[int, ...]) -> list[int]:
    """Never comes back from one call of C code, in which no Python runs."""
    return [sum(itertools.repeat(0)), *numbers]
