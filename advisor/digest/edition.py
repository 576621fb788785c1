"""One digest of one lawn, with what changed since the last kept one, in any form."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Literal

from advisor.base.record import Record
from advisor.cases.case import Case
from advisor.digest.changes import changes
from advisor.digest.fit import fitted
from advisor.digest.render import digest_html, digest_text, head_words
from advisor.digest.view import Digest, digest_of
from advisor.digest.week import Week, compose_week
from advisor.digest.week_json import week_json
from advisor.site.kept_digests import keep

Form = Literal["text", "html", "json"]


class Edition(Record, frozen=True):
    """A composed week and what a reader sees of it."""

    week: Week
    digest: Digest


def compose_edition(case: Case) -> Edition:
    """Compose the week and compare it with the last kept digest of an earlier day."""
    week = compose_week(case)
    changed = changes(case.said, week.answers, week.soil)
    return Edition(week, fitted(digest_of(week, changed), head_words))


def show(edition: Edition, form: Form | str) -> str:
    """The digest as text, HTML or JSON."""
    if form == "json":
        data = week_json(edition.week, edition.digest.changed)
        return json.dumps(data, ensure_ascii=False, indent=2) + "\n"
    if form == "html":
        return digest_html(edition.digest)
    return digest_text(edition.digest)


def subject_of(edition: Edition) -> str:
    """The line that stands for the digest in a list of mails."""
    return f"{edition.digest.site}: {edition.digest.lead}"


def keep_edition(edition: Edition, folder: Path) -> None:
    """Keep the digest in a site's folder."""
    data = week_json(edition.week, edition.digest.changed)
    keep(folder, edition.week.first, data)
