"""Where the rule files and templates lie, and which files are inputs: no output goes there.

A folder of inputs is known by a file that every such folder holds. A name counts in any case of its
letters, since some disks take them for the same, and whether or not the file is there yet: a page
under the name of the weather file would be read as one.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from fnmatch import fnmatchcase
from pathlib import Path

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record

_PACKAGE = Path(__file__).resolve().parents[1]
_CHECKOUT = _PACKAGE.parent


def data_folder(name: str) -> Path:
    """The folder `rules` or `templates`. Raises `FileNotFoundError` if the installation lacks it.

    A wheel carries the folders inside the package; an editable install or a checkout has them
    beside it, and is recognised by its pyproject.toml.
    """
    inside = _PACKAGE / name
    if inside.is_dir():
        return inside
    beside = _CHECKOUT / name
    if beside.is_dir() and (_CHECKOUT / "pyproject.toml").is_file():
        return beside
    raise FileNotFoundError(f"folder '{name}' is missing; install the package again")


def own_folders() -> tuple[Path, ...]:
    """The folders of the program itself: its modules, rule files and templates."""
    return _PACKAGE, data_folder("rules"), data_folder("templates")


def real_path(path: Path) -> Path:
    """Where a path leads, through all links; unlike `Path.resolve` it bears links in a circle."""
    return Path(os.path.realpath(path))


class Kind(Record, frozen=True):
    """marks: a folder with one of these files is of this kind. inputs: patterns, in small letters,
    of the paths below it that are read or kept; `*` stands for folders in between, too."""

    marks: tuple[str, ...]
    inputs: tuple[str, ...]


KINDS = (
    # A lawn's site.
    Kind(
        ("site.yaml",),
        (
            "site.yaml", "journal.csv", ".journal.csv.lock", "weather.csv", "weather/*",
            "fetched/*", "normals.csv", "plan.json", "calendar.json", "digests/*.json",
        ),
    ),
    # A mailing list.
    Kind(("list.yaml", "mail.db"), ("list.yaml", "mail.db*", "readers.csv", "weather/*")),
    # A rule book.
    Kind(("facts.yaml",), ("*.yaml", "*.yml", "*/*.yaml", "*/*.yml")),
)  # fmt: skip
_DEEPEST = 3
"""How many folders above a file are looked at."""


def refuse_inputs(path: Path, reads: Iterable[Path]) -> None:
    """Raises `BadInput` if output to `path` would meet an input.

    reads: the files that the present command reads, and the folders of which it reads the inputs;
    they are recognised under any name, behind links too.
    """
    real = real_path(path)
    # A link is an input by its own name, and by that of what it points to.
    for spot in dict.fromkeys((real_path(path.parent) / path.name, real)):
        for folder in spot.parents[:_DEEPEST]:
            name = spot.relative_to(folder).as_posix()
            if any(_holds(folder, kind, name) for kind in KINDS):
                raise _refusal(path, f"'{name}' of {folder}")
    for folder in own_folders():
        if real.is_relative_to(folder):
            raise _refusal(path, f"'{real.relative_to(folder).as_posix()}' of its own")
    if real.exists():
        for file in _files([*reads, *_secrets()]):
            if file.exists() and file.samefile(real):
                raise _refusal(path, f"{file}")


def _holds(folder: Path, kind: Kind, name: str) -> bool:
    """Whether a path below a folder is an input of it."""
    small = name.casefold()
    return any(fnmatchcase(small, pattern) for pattern in kind.inputs) and (
        small in kind.marks or any((folder / mark).exists() for mark in kind.marks)
    )


def _files(reads: Iterable[Path]) -> Iterator[Path]:
    """Every input that is there, of the files and folders which are read."""
    for place in reads:
        if not place.is_dir():
            yield place
            continue
        for kind in KINDS:
            if any((place / mark).exists() for mark in kind.marks):
                for pattern in kind.inputs:
                    yield from place.glob(pattern)


def _secrets() -> Iterator[Path]:
    """The files of keys and passwords that the environment names."""
    for name, value in os.environ.items():
        if name.startswith("ADVISOR_") and name.endswith("_FILE") and value:
            yield Path(value)


def _refusal(path: Path, what: str) -> BadInput:
    said = f"is not written to: the program reads or keeps it as {what}; name another file"
    return BadInput.at(Place(str(path)), said)
