"""The views of a lawn, rendered once in a run of the tests, and what they claim."""

from __future__ import annotations

import datetime as dt
import hashlib
import pickle
import tempfile
from pathlib import Path

from lawns import Lawn, write
from readback import ReadBack
from reader import Claim
from views import Views, titles, views


def shown(lawn: Lawn, on: dt.date, kept: Path) -> Views:
    """All views of a lawn on a day. kept: a folder of this run alone (`conftest.kept`)."""
    told = hashlib.sha256(f"{lawn} {on}".encode()).hexdigest()
    file = kept / f"views-{told}"
    if file.exists():
        found: Views = pickle.loads(file.read_bytes())
        return found
    with tempfile.TemporaryDirectory() as folder:
        found = views(write(lawn, Path(folder) / "site"), on, Path(folder))
    begun = file.with_suffix(f".{id(found)}")
    begun.write_bytes(pickle.dumps(found))
    begun.replace(file)
    return found


def back_of(of: Views, parts: tuple[str, ...]) -> ReadBack:
    """Its reader. parts: the names of the lawn's areas."""
    return ReadBack(parts, of.on, titles(), of.forms)


def claims_of(of: Views, parts: tuple[str, ...]) -> list[Claim]:
    """What its views claim."""
    back = back_of(of, parts)
    return [claim for view, text in of.texts.items() for claim in back.claims(view, text)]


def claims(site: Path, on: dt.date, parts: tuple[str, ...], scratch: Path) -> list[Claim]:
    """What the views of a site claim on a day, rendered anew. scratch: a folder for a calendar."""
    return claims_of(views(site, on, scratch), parts)
