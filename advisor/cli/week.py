"""`advisor week`: the digest."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from advisor.base.files import write_whole
from advisor.cli.options import AsJson, On, SiteFolder
from advisor.cli.printer import echo_bytes


class Form(StrEnum):
    """The forms a digest comes in."""

    text = "text"
    html = "html"
    eml = "eml"


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(week)


def week(
    site: SiteFolder,
    on: On = None,
    as_json: AsJson = False,
    form: Annotated[Form, typer.Option("--format", help="How to show it.")] = Form.text,
    out: Annotated[Path | None, typer.Option(help="Write to this file.")] = None,
    keep: Annotated[
        bool, typer.Option("--keep", help="Keep it, so that the next one says what changed.")
    ] = False,
) -> None:
    """What to do this week, what to leave alone, and what is coming."""
    from advisor.cases.open_folder import open_case
    from advisor.render.digest.edition import compose_edition, keep_edition, show
    from advisor.rulebook.read_rulebook import read_rulebook

    case = open_case(site, read_rulebook(), on)
    edition = compose_edition(case)
    shown: str | bytes
    if form is Form.eml and not as_json:
        from advisor.mailing.mails.keeper_mail import own_copy

        shown = own_copy(edition)
    else:
        shown = show(edition, "json" if as_json else form.value)
    if out is not None:
        write_whole(out, shown, reads=[site])
    elif isinstance(shown, bytes):
        echo_bytes(shown)
    else:
        typer.echo(shown, nl=False)
    if keep:
        keep_edition(edition, site)
