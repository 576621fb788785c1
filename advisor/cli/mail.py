"""`advisor mail`: the weekly mailing to many readers."""

from __future__ import annotations

import typer

from advisor.cli import (
    mail_bounces,
    mail_demo,
    mail_editions,
    mail_preview,
    mail_readers,
    mail_sending,
    mail_web,
)


def register(app: typer.Typer) -> None:
    """Add the group of commands."""
    mail = typer.Typer(
        help="Write a digest to each reader of a list, once a week.", no_args_is_help=True
    )
    modules = (
        mail_readers, mail_editions, mail_preview, mail_sending, mail_bounces, mail_web, mail_demo,
    )  # fmt: skip
    for module in modules:
        module.register(mail)
    app.add_typer(mail, name="mail")
