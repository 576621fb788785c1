"""Commands that are built when they are asked for, so that one question waits for no others."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import Any

import typer
from typer.core import TyperGroup
from typer.main import get_group

from advisor.cli.plain_values import plain_help
from advisor.cli.typed import guard


def late(modules: Mapping[str, str]) -> type[TyperGroup]:
    """A group of commands. modules: which one registers each, by its name, in the help's order."""

    class Late(TyperGroup):
        def list_commands(self, ctx: Any) -> list[str]:
            return list(modules)

        def get_help_option(self, ctx: Any) -> Any:
            return plain_help(super().get_help_option(ctx))

        def get_command(self, ctx: Any, cmd_name: str) -> Any:
            # A name that is none of ours may be near to any of them.
            for module in {modules[cmd_name]} if cmd_name in modules else {*modules.values()}:
                if not any(modules[name] == module for name in self.commands):
                    self.commands.update(_commands(module))
            return super().get_command(ctx, cmd_name)

    return Late


def _commands(module: str) -> Mapping[str, Any]:
    part = typer.Typer(rich_markup_mode=None)
    import_module(f"advisor.cli.{module}").register(part)
    found = get_group(part)
    guard(found)
    return found.commands
