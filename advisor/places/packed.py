"""The packaged tables, unpacked once and kept as text."""

from __future__ import annotations

import gzip
from functools import cache
from importlib.resources import files


@cache
def table(name: str) -> str:
    """The lines of `towns`, `regions` or `postcodes`, each between two line breaks."""
    packed = files("advisor.places").joinpath("data", f"{name}.tsv.gz").read_bytes()
    return f"\n{gzip.decompress(packed).decode()}"
