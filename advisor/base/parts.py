"""Unfinished files and folders: their names, and the removal of those that nobody will finish.

What is being written lies beside its goal as `.NAME.turf-HOST-PID-NUMBER.part`. A process that is
killed cannot remove its own, so the next writer in the same folder does.
"""

from __future__ import annotations

import os
import re
import zlib
from contextlib import suppress
from itertools import count
from pathlib import Path

from advisor.base.dates import seconds_since

LONGEST_WRITE_SECONDS = 24 * 3600
"""After that, a number that belongs to a running process is taken to be another one's by now. The
demo of a large mailing fills its folder for an hour."""
_PART = re.compile(r"\..*\.turf-(?P<host>[0-9a-f]{8})-(?P<pid>[0-9]{1,10})-[0-9]+\.part", re.DOTALL)
#: The name that earlier versions used.
_EARLIER = re.compile(r"\.(?P<goal>.+)\.(?P<pid>[0-9]{1,10})\.part", re.DOTALL)
_LONGEST_NAME = 40
_numbers = count(1)


def part_beside(goal: Path) -> Path:
    """A name of its own beside the goal, for what is not finished."""
    # The file system may count bytes, up to four for a letter, and names of 255 are the longest.
    name = f".{goal.name[:_LONGEST_NAME]}.turf-{_host()}-{os.getpid()}-{next(_numbers)}.part"
    return goal.with_name(name)


def clear_leftovers(goal: Path) -> None:
    """Remove what killed writers have left in the folder of a goal; what is in use stays.

    Only names of this program are touched. What cannot be removed is left alone.
    """
    with suppress(OSError), os.scandir(goal.parent) as entries:
        for entry in [e for e in entries if e.name.startswith(".") and e.name.endswith(".part")]:
            with suppress(OSError):
                if _is_left_over(entry, goal.name):
                    _remove(entry)


def _is_left_over(entry: os.DirEntry[str], goal: str) -> bool:
    if found := _PART.fullmatch(entry.name):
        here = found["host"] == _host()
    elif (found := _EARLIER.fullmatch(entry.name)) and found["goal"] == goal:
        here = True
    else:
        return False
    if here and not _runs(int(found["pid"])):
        return True
    # Of another machine, or the number has gone to another process: only time tells.
    return seconds_since(entry.stat(follow_symlinks=False).st_mtime) > LONGEST_WRITE_SECONDS


def _remove(entry: os.DirEntry[str]) -> None:
    if entry.is_dir(follow_symlinks=False):
        import shutil

        shutil.rmtree(entry.path, ignore_errors=True)
    else:
        Path(entry.path).unlink(missing_ok=True)


def _runs(pid: int) -> bool:
    """Whether a process has this number now."""
    if os.name == "nt":  # asking there would end it
        return True
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


def _host() -> str:
    """This machine, and on Linux the container: elsewhere the number means another process."""
    import platform

    where = platform.node()
    with suppress(OSError):
        where += str(Path("/proc/self/ns/pid").readlink())
    return f"{zlib.crc32(where.encode()):08x}"
