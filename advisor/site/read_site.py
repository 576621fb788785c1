"""From a site's folder to a checked `Site`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from pathlib import Path

from advisor.base.checked_model import check_document
from advisor.base.problems import BadInput, Place, Problems
from advisor.base.strict_yaml import Document, load_file
from advisor.site.record import Site
from advisor.site.site_checks import cross_problems

SITE_FILE = "site.yaml"
JOURNAL_FILE = "journal.csv"


def read_site(folder: Path, known_grasses: Collection[str] | None, today: dt.date) -> Site:
    """The site of a folder. Raises `BadInput` with every problem found.

    known_grasses: the grasses of the rule book (None: any name passes).
    """
    if not folder.is_dir():
        what = "no such folder" if not folder.exists() else "not a folder; name the site's folder"
        raise BadInput.at(Place(str(folder)), what)
    path = folder / SITE_FILE
    if not path.is_file():
        what = f"no {SITE_FILE} in this folder; 'advisor new {folder}' writes one"
        raise BadInput.at(Place(str(folder)), what)
    return check_site(load_file(path), known_grasses, today)


def check_site(document: Document, known_grasses: Collection[str] | None, today: dt.date) -> Site:
    """A site from a document that is already read. Raises `BadInput`."""
    problems = Problems()
    site: Site | None = None
    try:
        site = check_document(Site, document)
    except BadInput as error:
        problems.take(error)
    if isinstance(document.data, dict):
        for problem in cross_problems(document, known_grasses, today):
            problems.add(problem.place, problem.what)
    problems.raise_if_any()
    assert site is not None
    return site
