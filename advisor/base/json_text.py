"""JSON of others as plain data. The only module that calls the parser."""

from __future__ import annotations

import json
from typing import Any


def from_json(text: str | bytes) -> Any:
    """The data of a JSON text. Raises `ValueError` for anything else."""
    try:
        return json.loads(text)
    except RecursionError:
        raise ValueError("it is nested too deeply") from None
