"""Where the lawn stands in a programme, as data."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from keyed import Key, keys
from passages import Passage


def standing(programmes: Iterable[Mapping[str, Any]], passage: Passage) -> Iterator[Key]:
    """Of a programme when its steps open, when it is over, and what of it comes too late."""
    for each in programmes:
        part = each["part"]
        named = part in ("", "lawn") or re.search(rf"\b{re.escape(part)}\b", passage.head)
        if not named or not passage.head.startswith(each["title"]):
            continue
        if passage.text.startswith("Brought through"):
            yield from keys(each["through"])
        for step in each["steps"]:
            if (step["title"], part) in passage.jobs:
                yield from keys(step["first" if "in this order" in passage.text else "date"])
