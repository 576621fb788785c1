"""A share with all that a worker on another machine needs: no folder is shared with it."""

from __future__ import annotations

import gzip
import hashlib
import tempfile
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import advisor
from advisor.base.problems import BadInput, Place
from advisor.base.record import Record, replace
from advisor.mailing.letters import batch as shares
from advisor.mailing.letters.batch import Done, Share
from advisor.mailing.readers.weather_places import Cell
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.kept_weather import WEATHER_FOLDER


class Packed(Record, frozen=True):
    """weather: the bytes of the cell's file, compressed; None where there is no cell."""

    share: Share
    weather: bytes | None


def pack(share: Share) -> Packed:
    """Raises `BadInput` if the weather was changed since the build began."""
    cell = share.keys[0].cell
    return Packed(share, _file(share.folder, cell) if cell else None)


def work_packed(work: Callable[[Share], Done], packed: Packed) -> Done:
    """`work` on a share that was sent here, in a folder that holds just its weather."""
    with tempfile.TemporaryDirectory() as here:
        cell = packed.share.keys[0].cell
        if cell and packed.weather is not None:
            folder = Path(here) / WEATHER_FOLDER
            folder.mkdir()
            (folder / cell.file).write_bytes(gzip.decompress(packed.weather))
        return work(replace(packed.share, folder=Path(here)))


def split(packed: Packed) -> list[Packed]:
    """In two halves, as `share.split`."""
    return [replace(packed, share=part) for part in shares.split(packed.share)]


def longest(packed: Packed) -> float:
    """Seconds, as `share.longest`."""
    return shares.longest(packed.share)


def about() -> str:
    """The program's version and the rules' hash, which decide what a letter says."""
    return f"version {advisor.__version__}, rules {read_rulebook().hash[:16]}"


@lru_cache(maxsize=1)
def _file(folder: Path, cell: Cell) -> bytes:
    raw = (folder / WEATHER_FOLDER / cell.file).read_bytes()
    if hashlib.sha256(raw).hexdigest() != cell.hash:
        what = "was changed while the edition was being built; build again"
        raise BadInput.at(Place(str(folder / WEATHER_FOLDER / cell.file)), what)
    return gzip.compress(raw, compresslevel=1)
