"""Names as keepers write them, brought to one form."""

from __future__ import annotations

from typing import Any

UNKNOWN_GRASS = "dont_know"


def as_name(text: Any) -> Any:
    """`Kentucky bluegrass` as `kentucky_bluegrass`; what is not text comes back as it was."""
    if not isinstance(text, str):
        return text
    plain = text.strip().lower().replace("'", "").replace("’", "")
    return "_".join(plain.replace("-", " ").replace("_", " ").split())


def as_flag(text: Any) -> Any:
    """`yes` as True and `no` as False; everything else comes back as it was."""
    plain = text.strip().lower() if isinstance(text, str) else text
    return {"yes": True, "true": True, "no": False, "false": False}.get(plain, text)
