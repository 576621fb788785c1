"""`advisor` as a process of its own that is forked from the tests' instead of started anew.

It has its own standard streams, folder and exit status, and cannot touch the tests' memory; only
starting the interpreter and importing the program is spared, which is most of a short command's
time. What the interpreter settles at its start (locale, encodings) is that of the tests: a test of
such things starts a whole process.
"""

from __future__ import annotations

import importlib
import io
import os
import pkgutil
import signal
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, BinaryIO


@cache
def warm() -> None:
    """Import what the commands use, and read the rule book, for all that are forked later."""
    import advisor
    from advisor.rulebook.read_rulebook import read_rulebook

    for found in pkgutil.walk_packages(advisor.__path__, "advisor."):
        if not found.name.startswith(("advisor.web", "advisor.__main__")):
            importlib.import_module(found.name)
    read_rulebook()


def advisor(
    *words: object,
    stdin: bytes = b"",
    stdout: Any = None,
    stderr: Any = None,
    cwd: Path | None = None,
    text: bool = True,
    environment: Mapping[str, str] = MappingProxyType({}),
) -> subprocess.CompletedProcess[Any]:
    """Run a command. stdin: what it reads. stdout, stderr: a file, where what is written is not to
    be given back. text: give it back as text, else as bytes. environment: what is added to it."""
    warm()
    out, err = tempfile.TemporaryFile(), tempfile.TemporaryFile()  # noqa: SIM115
    with out, err, tempfile.TemporaryFile() as given:
        given.write(stdin)
        given.seek(0)
        streams = (given, stdout or out, stderr or err)
        pid = os.fork()
        if not pid:
            os.environ |= environment
            _child([stream.fileno() for stream in streams], words, cwd)
        status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
        return subprocess.CompletedProcess(words, status, _told(out, text), _told(err, text))


def _told(file: BinaryIO, text: bool) -> str | bytes:
    file.seek(0)
    raw = file.read()
    # As a pipe that is read as text: each kind of line end is one.
    return raw.decode("utf-8").replace("\r\n", "\n") if text else raw


def _child(streams: list[int], words: tuple[object, ...], cwd: Path | None) -> None:
    status = 1
    try:
        # Numbers out of the way first: one may be another's place.
        for place, number in enumerate([os.dup(number) for number in streams]):
            os.dup2(number, place)
        signal.signal(signal.SIGINT, signal.default_int_handler)
        sys.stdin = io.TextIOWrapper(io.FileIO(0), encoding="utf-8", errors="strict")
        sys.stdout = io.TextIOWrapper(io.BufferedWriter(io.FileIO(1, "w")), encoding="utf-8")
        sys.stderr = io.TextIOWrapper(
            io.FileIO(2, "w"), encoding="utf-8", errors="backslashreplace", write_through=True
        )
        if cwd is not None:
            os.chdir(cwd)
        sys.argv = ["advisor", *map(str, words)]
        from advisor.cli.main import main

        try:
            main()
            status = 0
        except SystemExit as ended:
            code = ended.code
            status = code if isinstance(code, int) else int(code is not None)
        sys.stdout.flush()
        sys.stderr.flush()
    except BaseException:
        os.write(2, traceback.format_exc().encode("utf-8", "backslashreplace"))
    finally:
        os._exit(status)
