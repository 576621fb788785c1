"""The whole rule book from its folder, with a cache of the parsed form."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from pathlib import Path

from advisor.base.cache import keep, read_kept
from advisor.base.paths import data_folder
from advisor.base.problems import BadInput, Place
from advisor.base.record import replace
from advisor.rulebook import packed
from advisor.rulebook.conditions import Leaf
from advisor.rulebook.model import Operation, RuleBook


def not_for(operation: Operation, grass: str, suited: Iterable[str]) -> Operation:
    """The operation without need or season, so that it comes to "not needed" on this grass.

    grass: the title of the lawn's grass; suited: the titles of the grasses that the job is for.
    """
    why = f"it is not done on {grass}; the rules here are for {', '.join(suited)}"
    never = Leaf("season_type", "known", False, otherwise=why, path="need")
    return replace(operation, need=never, windows=(), conflicts=(), advice=(), later=(), leads=())


_ENDINGS = (".yaml", ".yml")


def read_rulebook(folder: Path | None = None, *, cache: bool = True) -> RuleBook:
    """Read and check every rule file. Raises `BadInput` with the problems of all files at once.

    The packaged rule book is cached, parsed, in the user's cache folder under the hash of its
    text and of the classes it is made of; `cache=False` reads the files whatever the cache holds.
    """
    root = folder or data_folder("rules")
    files = _read_files(root)
    hash = _digest(files)
    name = _cache_name(hash) if cache and folder is None else None
    cached = _kept(name) if name else None
    if cached is not None:
        return cached
    # Only a cold start pays for the parser.
    from advisor.rulebook.parse_rulebook import parse_rulebook

    book = parse_rulebook(files, hash)
    if name:
        keep(name, packed.pack(book))
    return book


def _read_files(root: Path) -> dict[str, bytes]:
    found = sorted(p for p in root.rglob("*") if p.suffix in _ENDINGS)
    if not found:
        raise BadInput.at(Place(str(root)), "no rule files here; wanted a folder like rules/")
    return {p.relative_to(root).as_posix(): p.read_bytes() for p in found}


def _digest(files: dict[str, bytes]) -> str:
    digest = hashlib.sha256()
    for name, raw in files.items():
        digest.update(os.fsencode(name) + b"\0" + raw + b"\0")
    return digest.hexdigest()[:12]


def _cache_name(hash: str) -> str:
    shapes = hashlib.sha256()
    here = Path(packed.__file__)
    late = (here.with_name(f"{name}.py") for name in packed.LATE_SHAPES)
    for file in (here, *(Path(str(shape.__file__)) for shape in packed.SHAPES), *late):
        shapes.update(file.read_bytes())
    return f"rules-{hash}-{shapes.hexdigest()[:8]}"


def _kept(name: str) -> RuleBook | None:
    """The cached book, or None for any reason: a cache may be missing, old or damaged."""
    raw = read_kept(name)
    try:
        return packed.unpack(raw) if raw is not None else None
    except (ValueError, LookupError, TypeError, ArithmeticError):
        return None
