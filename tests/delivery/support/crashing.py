"""Work on a share that kills its own process, for tests of the pool. Top level: it is pickled."""

from __future__ import annotations

import os
import signal
from pathlib import Path

from advisor.delivery.share import Done, Share, compose_share

POISON = "zoysiagrass"


def double(numbers: tuple[int, ...]) -> list[int]:
    """Twice each number; a process that meets 13 dies."""
    if 13 in numbers:
        os.kill(os.getpid(), signal.SIGKILL)
    return [2 * n for n in numbers]


def halves(numbers: tuple[int, ...]) -> list[tuple[int, ...]]:
    half = len(numbers) // 2
    return [numbers[:half], numbers[half:]] if half else [numbers]


def poisonous(share: Share) -> Done:
    """Composes, but dies of one grass."""
    if any(case.grass == POISON for case in share.cases):
        os.kill(os.getpid(), signal.SIGKILL)
    return compose_share(share)


def killed_once(share: Share) -> Done:
    """Composes, but the first process that comes by is killed in the middle of its work."""
    try:
        (share.folder / "killed").touch(exist_ok=False)
    except FileExistsError:
        return compose_share(share)
    compose_share(share)
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError("unreachable")


def interrupted(share: Share) -> Done:
    """Composes the first cell only; the second stops the whole build."""
    cell = share.cases[0].cell
    if Path(share.folder / "stop").exists() and cell is not None and cell.name == "Champion":
        raise KeyboardInterrupt
    return compose_share(share)
