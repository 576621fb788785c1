"""Writing files and folders whole or not at all. All that the program writes goes through here,
but for the journal, which only grows, and the database of a mailing list."""

from __future__ import annotations

import errno
import os
import re
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from advisor.base.parts import clear_leftovers, part_beside
from advisor.base.paths import real_path, refuse_inputs
from advisor.base.problems import BadInput, Place, Problem

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
