"""`advisor mail`: the weekly mailing to many readers."""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperGroup
from typer.main import get_group


def register(app: typer.Typer) -> None:
    """Add the group of commands."""
    mail = typer.Typer(
        cls=_BuiltWhenAsked,
        help="Write a digest to each reader of a list, once a week.",
        no_args_is_help=True,
    )
    app.add_typer(mail, name="mail")


class _BuiltWhenAsked(TyperGroup):
    """A keeper with one question does not wait until all commands of the mailing are built."""

    def list_commands(self, ctx: Any) -> list[str]:
        """The names of the commands."""
        self._build()
        return super().list_commands(ctx)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The command of that name, or None."""
        self._build()
        return super().get_command(ctx, cmd_name)

    def _build(self) -> None:
        if self.commands:
            return
        from advisor.cli import (
            mail_bounces,
            mail_demo,
            mail_editions,
            mail_preview,
            mail_readers,
            mail_sending,
            mail_web,
        )

        mail = typer.Typer(rich_markup_mode=None)
        modules = (
            mail_readers, mail_editions, mail_preview, mail_sending, mail_bounces, mail_web,
            mail_demo,
        )  # fmt: skip
        for module in modules:
            module.register(mail)
        self.commands.update(get_group(mail).commands)
