"""The whole rule book from its folder, with a cache of the parsed form."""

from __future__ import annotations

import hashlib
import os
import pickle
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Literal, TypeVar

from advisor import __version__
from advisor.base.checked_model import FileModel, check_document
from advisor.base.paths import data_folder
from advisor.base.problems import BadInput, Place, Problems
from advisor.base.strict_yaml import Document, load_bytes
from advisor.facts.vocabulary import read_vocabulary
from advisor.rulebook.model import Grass, Operation, RuleBook
from advisor.rulebook.read_evidence import read_sources
from advisor.rulebook.read_grass import read_grass
from advisor.rulebook.read_operation import operation_id, read_operation

T = TypeVar("T")
_ENDINGS = (".yaml", ".yml")


class _CautionsFile(FileModel):
    format: Literal[1]
    cautions: dict[str, str]


def read_rulebook(folder: Path | None = None, *, cache: bool = True) -> RuleBook:
    """Read and check every rule file. Raises `BadInput` with the problems of all files at once.

    The packaged rule book is cached, parsed, in the user's cache folder under the hash of its
    text and of the program's version; `cache=False` reads the files whatever the cache holds.
    """
    root = folder or data_folder("rules")
    files = _read_files(root)
    digest = hashlib.sha256()
    for name, raw in files.items():
        digest.update(name.encode() + b"\0" + raw + b"\0")
    hash = digest.hexdigest()[:12]
    kept = _cache_file(hash) if cache and folder is None else None
    cached = _from_cache(kept)
    if cached is not None:
        return cached
    book = _parse(files, hash)
    _to_cache(kept, book)
    return book


def _read_files(root: Path) -> dict[str, bytes]:
    found = sorted(p for p in root.rglob("*") if p.suffix in _ENDINGS)
    if not found:
        raise BadInput.at(Place(str(root)), "no rule files here; wanted a folder like rules/")
    return {p.relative_to(root).as_posix(): p.read_bytes() for p in found}


def _parse(files: dict[str, bytes], hash: str) -> RuleBook:
    problems = Problems()

    def attempt(make: Callable[[], T]) -> T | None:
        try:
            return make()
        except BadInput as error:
            problems.take(error)
            return None

    documents: dict[str, Document] = {}
    for name, raw in files.items():
        document = attempt(lambda raw=raw, name=name: load_bytes(raw, f"rules/{name}"))  # type: ignore[misc]
        if document is not None:
            documents[name] = document
    for needed in ("facts.yaml", "sources.yaml", "cautions.yaml"):
        if needed not in files:
            problems.add(Place(f"rules/{needed}"), "this file is missing from the rule book")
    problems.raise_if_any()
    operation_files = [d for n, d in documents.items() if n.startswith("operations/")]
    operations = frozenset(filter(None, map(operation_id, operation_files)))
    vocabulary = attempt(lambda: read_vocabulary(documents["facts.yaml"], operations))
    sources = attempt(lambda: read_sources(documents["sources.yaml"]))
    cautions = attempt(lambda: check_document(_CautionsFile, documents["cautions.yaml"]))
    problems.raise_if_any()
    assert vocabulary is not None and sources is not None and cautions is not None
    grasses: dict[str, Grass] = {}
    for document in (d for n, d in documents.items() if n.startswith("grasses/")):
        grass = attempt(lambda document=document: read_grass(document, vocabulary, sources))  # type: ignore[misc]
        if grass is not None:
            _keep_once(grasses, grass.id, grass, document, problems)
    problems.raise_if_any()
    found: dict[str, Operation] = {}
    for document in operation_files:
        operation = attempt(
            lambda document=document: read_operation(  # type: ignore[misc]
                document, vocabulary, sources, grasses, cautions.cautions
            )
        )
        if operation is not None:
            _keep_once(found, operation.id, operation, document, problems)
    _check_names(found, operations, problems)
    problems.raise_if_any()
    return RuleBook(found, grasses, vocabulary, sources, cautions.cautions, hash)


def _keep_once(
    kept: dict[str, T], id: str, item: T, document: Document, problems: Problems
) -> None:
    if id in kept:
        problems.add(document.place(()), f"'{id}' is described in two files; keep one")
    kept[id] = item


def _check_names(
    found: dict[str, Operation], operations: frozenset[str], problems: Problems
) -> None:
    """Operations may name each other only by ids that exist."""
    for operation in found.values():
        named: Iterable[str] = (
            *operation.order.after,
            *operation.order.before,
            *(later.operation for later in operation.later),
            *(a.instead for a in operation.advice if a.instead),
        )
        for name in named:
            if name not in operations:
                place = Place(f"rules/operations/{operation.id}.yaml", 1)
                problems.add(place, f"operation '{name}' has no rule file")


def _cache_file(hash: str) -> Path:
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    python = f"{sys.version_info.major}{sys.version_info.minor}"
    return Path(base) / "turf-windows" / f"rules-{__version__}-{python}-{hash}.pickle"


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
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        part = file.with_suffix(f".{os.getpid()}.part")
        part.write_bytes(pickle.dumps(book))
        part.replace(file)
    except OSError:
        return
