"""A throw-away PostgreSQL server for tests and benchmarks: on a socket, in a temporary folder.

It never writes through to the disk unless `fsync` is asked for: a process that is killed loses
nothing by that, and loss of power is not tested.
"""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None
HOW_TO_GET_IT = "PostgreSQL is not installed (on Debian: apt-get install postgresql)"


def programs() -> Path | None:
    """The folder of `initdb` and `postgres`, the newest first; None if they are not installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=_version, reverse=True)
    named = shutil.which("initdb")
    folders = ([Path(named).resolve().parent] if named else []) + found
    return next((f for f in folders if (f / "initdb").exists() and (f / "postgres").exists()), None)


def _version(folder: Path) -> float:
    try:
        return float(folder.parent.name)
    except ValueError:
        return 0.0


def _user() -> dict[str, object]:
    """Who runs it: we ourselves, but not as root, which the server refuses."""
    if os.geteuid() != 0:
        return {}
    for name in ("postgres", "nobody"):
        with contextlib.suppress(KeyError):
            one = pwd.getpwnam(name)
            return {"user": one.pw_uid, "group": one.pw_gid, "extra_groups": []}
    raise RuntimeError("there is no unprivileged user for PostgreSQL")


@dataclass
class Cluster:
    """A running server. folder: of its data and its socket."""

    folder: Path
    bin: Path
    fsync: bool
    running: subprocess.Popen[bytes] | None = None
    _numbers: Iterator[int] = field(default_factory=lambda: count(1))

    def start(self) -> None:
        """Start, and wait until it answers."""
        import psycopg

        settings = {
            "listen_addresses": "", "unix_socket_directories": self.folder,
            "fsync": "on" if self.fsync else "off", "max_connections": 60,
            "shared_buffers": "64MB",
        }  # fmt: skip
        options = [word for key, value in settings.items() for word in ("-c", f"{key}={value}")]
        with (self.folder / "log").open("ab") as log:
            self.running = subprocess.Popen(
                [self.bin / "postgres", "-D", self.folder / "data", *options],
                stdout=log, stderr=log, cwd="/", **_user(),  # type: ignore[call-overload]
            )  # fmt: skip
        for _ in range(600):
            assert self.running.poll() is None, (self.folder / "log").read_text()[-2000:]
            with contextlib.suppress(psycopg.OperationalError):
                psycopg.connect(self._conninfo("postgres")).close()
                return
            time.sleep(0.05)
        raise AssertionError("PostgreSQL does not answer")

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """SIGINT: in order. SIGQUIT: at once, as in a crash; it recovers when it starts again."""
        if self.running is not None:
            self.running.send_signal(how)
            self.running.wait(60)
            self.running = None

    def database(self) -> str:
        """The URL of a new, empty database."""
        import psycopg

        name = f"list_{next(self._numbers)}"
        with psycopg.connect(self._conninfo("postgres"), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        return f"postgresql://turf@/{name}?host={self.folder}"

    def _conninfo(self, database: str) -> str:
        return f"host={self.folder} user=turf dbname={database}"


@contextlib.contextmanager
def cluster(*, fsync: bool = False, on_disk: bool = False) -> Iterator[Cluster]:
    """A new server, gone with its data at the end. on_disk: not in memory."""
    bin = programs()
    if bin is None:
        raise RuntimeError(HOW_TO_GET_IT)
    who = _user()
    with tempfile.TemporaryDirectory(prefix="pg-", dir=None if on_disk else MEMORY) as name:
        folder = Path(name)
        if who:
            os.chown(folder, int(str(who["user"])), int(str(who["group"])))
        subprocess.run(
            [bin / "initdb", "-D", folder / "data", "-U", "turf", "-A", "trust", "-N",
             "--locale=C", "--encoding=UTF8"],
            check=True, stdout=subprocess.DEVNULL, cwd="/", **who,  # type: ignore[call-overload]
        )  # fmt: skip
        made = Cluster(folder, bin, fsync)
        try:
            made.start()
            yield made
        finally:
            made.stop()


if __name__ == "__main__":
    sys.exit(print(programs()) if programs() else HOW_TO_GET_IT)
