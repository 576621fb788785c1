"""One digest of one lawn, with what changed since the last kept one, in any form."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from typing import Literal

from advisor.cases.lawn import Lawn
from advisor.digest.changes import changes
from advisor.digest.fit import fitted
from advisor.digest.keep import keep, last_kept
from advisor.digest.render import digest_html, digest_text, head_words
from advisor.digest.view import Digest, digest_of
from advisor.digest.week import Week, compose_week
from advisor.digest.week_json import week_json

Form = Literal["text", "html", "json"]


@dataclass(frozen=True)
class Edition:
    """A composed week and what a reader sees of it."""

    lawn: Lawn
    week: Week
    digest: Digest


def compose_edition(lawn: Lawn, on: dt.date) -> Edition:
    """Compose the week and compare it with the last kept digest of an earlier day."""
    week = compose_week(lawn, on)
    changed = changes(last_kept(lawn.folder, on), week.answers, week.soil)
    return Edition(lawn, week, fitted(digest_of(week, lawn, changed), head_words))


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


def keep_edition(edition: Edition) -> None:
    """Keep the digest in the site's folder."""
    data = week_json(edition.week, edition.digest.changed)
    keep(edition.lawn.folder, edition.week.first, data)
