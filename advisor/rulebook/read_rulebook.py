"""The whole rule book from its folder, with a cache of the parsed form."""

from __future__ import annotations

import hashlib
import pickle
import sys
from contextlib import suppress
from pathlib import Path

from advisor.base.files import write_whole
from advisor.base.paths import cache_folder, data_folder
from advisor.base.problems import BadInput, Place
from advisor.facts import vocabulary
from advisor.rulebook import conditions, effort, evidence, gate, key, law, model, packed, wait, work
from advisor.rulebook.model import RuleBook
from advisor.site import doing

_ENDINGS = (".yaml", ".yml")
_SHAPES = (
    vocabulary, conditions, doing, effort, evidence, gate, key, law, model, packed, wait, work,
)  # fmt: skip


def read_rulebook(folder: Path | None = None, *, cache: bool = True) -> RuleBook:
    """Read and check every rule file. Raises `BadInput` with the problems of all files at once.

    The packaged rule book is cached, parsed, in the user's cache folder under the hash of its
    text and of the classes it is made of; `cache=False` reads the files whatever the cache holds.
    """
    root = folder or data_folder("rules")
    files = _read_files(root)
    hash = _digest(files)
    kept = _cache_file(hash) if cache and folder is None else None
    cached = _from_cache(kept)
    if cached is not None:
        return cached
    # Only a cold start pays for the parser.
    from advisor.rulebook.parse_rulebook import parse_rulebook

    book = parse_rulebook(files, hash)
    _to_cache(kept, book)
    return book


def _read_files(root: Path) -> dict[str, bytes]:
    found = sorted(p for p in root.rglob("*") if p.suffix in _ENDINGS)
    if not found:
        raise BadInput.at(Place(str(root)), "no rule files here; wanted a folder like rules/")
    return {p.relative_to(root).as_posix(): p.read_bytes() for p in found}


def _digest(files: dict[str, bytes]) -> str:
    digest = hashlib.sha256()
    for name, raw in files.items():
        digest.update(name.encode() + b"\0" + raw + b"\0")
    return digest.hexdigest()[:12]


def _cache_file(hash: str) -> Path | None:
    folder = cache_folder()
    if folder is None:
        return None
    shapes = hashlib.sha256()
    for module in _SHAPES:
        shapes.update(Path(str(module.__file__)).read_bytes())
    python = f"{sys.version_info.major}{sys.version_info.minor}"
    name = f"rules-{python}-{hash}-{shapes.hexdigest()[:8]}.pickle"
    return folder / name


def _from_cache(file: Path | None) -> RuleBook | None:
    """The cached book, or None for any reason: a cache may be missing, old or damaged."""
    if file is None:
        return None
    try:
        book = pickle.loads(file.read_bytes())
    except Exception:
        return None
    return book if isinstance(book, RuleBook) else None


def _to_cache(file: Path | None, book: RuleBook) -> None:
    if file is None:
        return
    with suppress(BadInput):
        write_whole(file, packed.pack(book))
