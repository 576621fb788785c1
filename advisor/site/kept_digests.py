"""Kept digests: one JSON file a day in the site's folder, so that the next can say what changed."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

from advisor.base.files import write_whole
from advisor.base.json_text import from_json
from advisor.base.problems import BadInput, Place

KEPT_FOLDER = "digests"
FORMATS = (1, 2)


def keep(site: Path, day: dt.date, data: dict[str, Any]) -> Path:
    """Write a digest's data under its day; the same day again replaces it, whole or not at all.

    Raises `BadInput` if the folder cannot be written.
    """
    file = site / KEPT_FOLDER / f"{day.isoformat()}.json"
    try:
        file.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise BadInput.at(Place(str(file)), f"cannot be written: {error.strerror}") from None
    write_whole(file, json.dumps(data, ensure_ascii=False, indent=1) + "\n", own=True)
    return file


def last_kept(site: Path, before: dt.date) -> dict[str, Any] | None:
    """The data of the last digest kept before a day, or None.

    Raises `BadInput` if that file has been damaged.
    """
    files = sorted((site / KEPT_FOLDER).glob("????-??-??.json"), reverse=True)
    earlier = [file for file in files if file.stem < before.isoformat()]
    if not earlier:
        return None
    file = earlier[0]
    try:
        data = from_json(file.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        what = f"the kept digest cannot be read ({error}); delete it to go on without"
        raise BadInput.at(Place(str(file)), what) from None
    if not isinstance(data, dict) or data.get("format") not in FORMATS:
        what = "this is no kept digest of a format that is known; delete it to go on without"
        raise BadInput.at(Place(str(file)), what)
    return data
