"""Names of senders, and whether the one that a name tells of still runs."""

from __future__ import annotations

import os
import secrets
import socket


def new_owner() -> str:
    """A name for a sender that tells its machine and process, and is never used twice."""
    return f"{socket.gethostname()[:60]}/{os.getpid()}/{secrets.token_hex(6)}"


def alive(owner: str) -> bool:
    """Whether the sender still runs on this machine; of other machines only the lease tells."""
    return _runs_here(owner) is True


def dead_here(owner: str) -> bool:
    """Whether the sender ran on this machine and does not any more."""
    return _runs_here(owner) is False


def _runs_here(owner: str) -> bool | None:
    """None: it is of another machine."""
    host, _, rest = owner.partition("/")
    pid = rest.partition("/")[0]
    if host != socket.gethostname()[:60] or not pid.isdecimal():
        return None
    try:
        os.kill(int(pid), 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
