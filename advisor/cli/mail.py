"""`advisor mail`: the weekly mailing to many readers."""

from __future__ import annotations

import typer

from advisor.cli.main import late

COMMANDS = {
    "import": "mail_readers",
    "readers": "mail_readers",
    "prefer": "mail_readers",
    "suppress": "mail_suppress",
    "readmit": "mail_suppress",
    "export": "mail_readers",
    "erase": "mail_readers",
    "build": "mail_editions",
    "note": "mail_editions",
    "approve": "mail_editions",
    "dry-run": "mail_editions",
    "preview": "mail_preview",
    "send": "mail_sending",
    "status": "mail_sending",
    "bounces": "mail_bounces",
    "serve": "mail_web",
    "calendar-link": "mail_web",
    "demo": "mail_demo",
}
"""The module of each command."""


def register(app: typer.Typer) -> None:
    """Add the group of commands."""
    mail = typer.Typer(
        cls=late(COMMANDS),
        help="Write a digest to each reader of a list, once a week.",
        no_args_is_help=True,
    )
    app.add_typer(mail, name="mail")
