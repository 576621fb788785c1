"""From the document of a site file to a checked `Site`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from typing import TypeVar

import msgspec

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import BadInput, Problems
from advisor.base.strict_yaml import Document
from advisor.records.record import Site
from advisor.records.site_checks import cross_problems
from advisor.records.site_keys import SiteKeys

T = TypeVar("T")


def check_site(document: Document, known_grasses: Collection[str] | None, today: dt.date) -> Site:
    """A site from a document that is already read. Raises `BadInput`."""
    problems = Problems()
    site: Site | None = None
    try:
        site = as_record(check_document(SiteKeys, document), Site)
    except BadInput as error:
        problems.take(error)
    if isinstance(document.data, dict):
        for problem in cross_problems(document, known_grasses, today):
            problems.add(problem.place, problem.what)
    problems.raise_if_any()
    assert site is not None
    return site


def as_record(keys: FileModel, record: type[T]) -> T:
    """What a checked section of a file says, as the record that has fields of its names."""
    return msgspec.convert(keys, record, from_attributes=True)
