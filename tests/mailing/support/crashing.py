"""Work on a share that kills its own process, for tests of the pool. Top level: it is pickled."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

from advisor.mailing.letters.batch import Done, Share, compose_share
from advisor.mailing.letters.letter import Letter

POISON = "zoysiagrass"


def poisonous(share: Share) -> Done:
    """Composes, but dies of one grass."""
    if any(key.grass == POISON for key in share.keys):
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
    """Composes until it comes to one cell, which stops the whole build."""
    cell = share.keys[0].cell
    if Path(share.folder / "stop").exists() and cell is not None and cell.name == "Champion":
        raise KeyboardInterrupt
    return compose_share(share)


def slow_and_light(share: Share) -> Done:
    """A letter that names its case, after a third of a second; a process dies of one grass."""
    time.sleep(0.3)
    if any(key.grass == POISON for key in share.keys):
        os.kill(os.getpid(), signal.SIGKILL)
    letters = (
        Letter(f"{c.grass} {c.area_m2 or 0.0:.3f}", "Text\n", "<main></main>") for c in share.keys
    )
    return Done(tuple(letters), len(share.keys), 0.3)
