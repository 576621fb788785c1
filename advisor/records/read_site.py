"""From a site's folder to a checked `Site`.

A site file that passed is kept as the record that it made, under its text, the grasses it was held
against and the code that checked it. One with a problem is never kept, so it is told each time.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from pathlib import Path

import msgspec

from advisor.base.cache import code_of, keep_keyed, key_of, read_keyed
from advisor.base.commands import command, shell_folder
from advisor.base.paths import real_path
from advisor.base.problems import BadInput, Place
from advisor.base.record import Record
from advisor.records.record import Site

SITE_FILE = "site.yaml"
JOURNAL_FILE = "journal.csv"
_CODE = (
    "records", "base/checked_model.py", "base/record.py", "base/strict_yaml.py", "base/units.py",
    "base/vocabularies.py",
)  # fmt: skip
_LARGEST_BYTES = 1_000_000
"""A larger file is refused by whoever reads it, unread."""


class _Passed(Record, frozen=True):
    """A site file that passed all checks, and the day that was today then."""

    today: dt.date
    site: Site


_PASSED = msgspec.json.Decoder(_Passed)
"""Made early, when it learns the fields of a site: a test's own clock has dates of its own."""


def read_site(folder: Path, known_grasses: Collection[str] | None, today: dt.date) -> Site:
    """The site of a folder. Raises `BadInput` with every problem found.

    known_grasses: the grasses of the rule book (None: any name passes).
    """
    if not folder.is_dir():
        what = "no such folder" if not folder.exists() else "not a folder; name the site's folder"
        raise BadInput.at(Place(str(folder)), what)
    path = folder / SITE_FILE
    if not path.is_file():
        new = command("new", shell_folder(folder))
        what = f"no {SITE_FILE} in this folder; '{new}' writes one"
        raise BadInput.at(Place(str(folder)), what)
    raw = _text(path)
    name = f"site-{key_of(str(real_path(path)))[:16]}"
    # Time zones change their offsets from one year to the next, and those are checked too.
    key = key_of(code_of(*_CODE), repr(known_grasses and sorted(known_grasses)), f"{today:%Y}", raw)
    passed = _passed(name, key) if raw else None
    # Days that have been stay so; a clock that was set back may make them days to come.
    if passed is not None and passed.today <= today:
        return passed.site
    # Only a site file that is new, or was changed, pays for the parser and the checks.
    from advisor.base.strict_yaml import load_bytes, load_file
    from advisor.records.check_site import check_site

    document = load_bytes(raw, str(path)) if raw else load_file(path)
    site = check_site(document, known_grasses, today)
    if raw:
        keep_keyed(name, key, msgspec.json.encode(_Passed(today, site), enc_hook=str))
    return site


def _text(path: Path) -> bytes:
    """The bytes of a site file; none if they cannot be had, which the parser then explains."""
    try:
        return path.read_bytes() if path.stat().st_size <= _LARGEST_BYTES else b""
    except OSError:
        return b""


def _passed(name: str, key: str) -> _Passed | None:
    raw = read_keyed(name, key)
    try:
        return None if raw is None else _PASSED.decode(raw)
    except msgspec.MsgspecError:
        return None
