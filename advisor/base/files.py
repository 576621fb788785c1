"""Writing files and folders whole or not at all, and removing parts that nobody will finish.

All that the program writes goes through here, but for the journal, which only grows, and the
database of a mailing list.

What is being written lies beside its goal as `.NAME.turf-HOST-PID-NUMBER.part`. A process that is
killed cannot remove its own, so the next writer in the same folder does.
"""

from __future__ import annotations

import errno
import os
import re
import stat
import zlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from typing import BinaryIO

from advisor.base.dates import seconds_since
from advisor.base.paths import real_path, refuse_inputs
from advisor.base.problems import BadInput, Place, Problem

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


#: Names of what is open already, such as /dev/stdout, which may be a file that others write to.
_OPEN_ALREADY = re.compile(r"/dev/(std(in|out|err)|fd/\d+)|/proc/[^/]+/(task/\d+/)?fd/\d+")
_MOST_LINKS = 40
_PRIVATE = 0o600


def write_whole(
    path: Path,
    content: str | bytes,
    *,
    reads: Iterable[Path] = (),
    own: bool = False,
    new: bool = False,
    private: bool = False,
    lasting: bool = True,
) -> None:
    """Put a file in place of the old one; if that fails, the old one stays and nothing is left.

    Text is written as UTF-8. The other arguments, and what is raised, are those of `whole_file`.
    """
    with whole_file(path, reads=reads, own=own, new=new, private=private, lasting=lasting) as file:
        file.write(content if isinstance(content, bytes) else content.encode())


@contextmanager
def whole_file(
    path: Path,
    *,
    reads: Iterable[Path] = (),
    own: bool = False,
    new: bool = False,
    private: bool = False,
    lasting: bool = True,
) -> Iterator[BinaryIO]:
    """A file to write to, which takes the place of the old one when the block ends without error.

    A file that is replaced keeps its permissions; a pipe or device is written to as it is. Until
    the end it has a name of its own, `file.name`, and can be read back.
    reads: files that the present command reads, and sites or lists whose inputs it reads.
    own: the file is the program's own memory; otherwise one that the program reads is refused.
    new: none may be there. private: only its owner may read it. lasting: a power cut right after
    leaves the old file or the new one. Raises `BadInput` if it is refused or cannot be written.
    """
    with _told(path):
        if not own:
            refuse_inputs(path, reads)
        goal = real_path(path)
        if _is_open_already(path) or (goal.exists() and not goal.is_file()):
            with os.fdopen(os.open(path, os.O_WRONLY | os.O_APPEND), "wb") as file:
                yield file
            return
        if not goal.parent.is_dir():
            what = f"cannot be written: there is no folder {goal.parent}; make it first"
            raise BadInput.at(Place(str(path)), what)
        clear_leftovers(goal)
        part = part_beside(goal)
        try:
            with _made(part, goal, private) as file:
                yield file
                file.flush()
                if lasting:
                    os.fsync(file.fileno())
            if new:
                _put_where_none_is(part, goal)
            else:
                part.replace(goal)
        finally:
            part.unlink(missing_ok=True)


@contextmanager
def whole_folder(folder: Path) -> Iterator[Path]:
    """A folder to fill. A new one appears whole when the block ends without error, or not at all.

    Until then another of the same name is filled. A folder that is there already is filled where it
    is. Raises `BadInput` if it cannot be made.
    """
    with _told(folder):
        goal = real_path(folder)
        is_there = goal.exists()
        if is_there and not goal.is_dir():
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR))
        if not is_there:
            goal.parent.mkdir(parents=True, exist_ok=True)
            clear_leftovers(goal)
    if is_there:
        yield folder
        return
    part = part_beside(goal)
    filled = part / goal.name
    try:
        with _told(folder):
            filled.mkdir(parents=True)
        try:
            yield filled
        except BadInput as error:
            raise _as_if_in(folder, filled, error) from None
        with _told(folder):
            sync_folder(filled)
            filled.rename(goal)
            sync_folder(goal.parent)
    finally:
        if part.exists():
            import shutil

            shutil.rmtree(part, ignore_errors=True)


def _as_if_in(folder: Path, filled: Path, error: BadInput) -> BadInput:
    """Problems in an unfinished folder, under the name that the keeper knows."""

    def known(text: str) -> str:
        return text.replace(str(filled), str(folder))

    return BadInput(
        Problem(Place(known(p.place.file), p.place.line, p.place.column), known(p.what))
        for p in error.found
    )


def sync_folder(folder: Path) -> None:
    """Have the disk hold the names in a folder, too, where it can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def _made(part: Path, goal: Path, private: bool) -> Iterator[BinaryIO]:
    """The unfinished file, with the permissions and the owner that the finished one shall have."""
    old = goal.stat() if goal.exists() else None
    if old is not None and not os.access(goal, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    mode = 0o666 if old is None and not private else _PRIVATE
    with open(part, "xb", opener=lambda name, flags: os.open(name, flags, mode)) as file:
        if old is not None:
            with suppress(OSError):  # only the superuser may give files away
                os.chown(part, old.st_uid, old.st_gid)
            part.chmod(_PRIVATE if private else stat.S_IMODE(old.st_mode))
        yield file


def _put_where_none_is(part: Path, goal: Path) -> None:
    """Unlike a renaming, a link never replaces what another process has put there meanwhile."""
    try:
        os.link(part, goal)
    except FileExistsError:
        raise
    except OSError:  # not every disk knows links
        if goal.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        part.replace(goal)


def _is_open_already(path: Path) -> bool:
    """Whether a path, or a link on its way, names a file by its number in a process."""
    for _ in range(_MOST_LINKS):
        spot = real_path(path.parent) / path.name
        if _OPEN_ALREADY.fullmatch(str(spot)):
            return True
        if not spot.is_symlink():
            return False
        path = spot.parent / spot.readlink()
    return False


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """What the disk refuses, as a line for the keeper."""
    try:
        yield
    except BrokenPipeError:  # whoever read has gone; nothing is wrong with the file
        raise
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}"
        raise BadInput.at(Place(str(path)), what) from None
