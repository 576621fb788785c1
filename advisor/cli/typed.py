"""What every argument and option of every command must be, whatever else is asked of it.

The tree of commands is walked, so a new command is guarded without its doing.
"""

from __future__ import annotations

import errno
import math
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import typer

from advisor.base.plain_text import control_in
from advisor.cli.plain_values import DOUBTFUL, plain_help, plain_value

_LONGEST = 20_000
"""Characters of a text; the longest of use is an editor's note of some 6,000 bytes."""
_LARGEST = 1_000_000_000
"""Of a number; nothing here is counted further, and days beyond it cannot be reckoned with."""


def guard(command: Any) -> None:
    """Let each value of a command, and of those inside it, be checked as it is read."""
    for parameter in command.params:
        parameter.process_value = _guarded(parameter, parameter.process_value)
    help_option = command.get_help_option
    command.get_help_option = lambda ctx: plain_help(help_option(ctx))
    for inner in getattr(command, "commands", {}).values():
        guard(inner)


def _guarded(parameter: Any, process: Callable[[Any, Any], Any]) -> Callable[[Any, Any], Any]:
    def guarded(ctx: Any, value: Any) -> Any:
        _each(_before, value)
        plain = plain_value(parameter, value)
        return _each(_after, process(ctx, value) if plain is DOUBTFUL else plain)

    return guarded


def _each(check: Callable[[Any], Any], value: Any) -> Any:
    """The value, or each of several, as `check` returns it."""
    if isinstance(value, (list, tuple)):
        return type(value)([check(one) for one in value])
    return check(value)


def _before(given: Any) -> Any:
    """Whatever it is for, the system must be able to take it."""
    if isinstance(given, str):
        try:
            if b"\0" not in os.fsencode(given):
                return given
        except UnicodeError:
            pass
        raise typer.BadParameter("holds what no text and no file name can hold; write another")
    return given


def _after(value: Any) -> Any:
    if type(value) is str:
        return _text(value)
    if isinstance(value, Path):
        _path(value)
    if isinstance(value, float) and math.isnan(value):
        raise typer.BadParameter("nan is no number; write one")
    if isinstance(value, (int, float)) and abs(value) > _LARGEST:
        raise typer.BadParameter(f"is too large a number; wanted at most {_LARGEST:,}")
    return value


def _path(given: Path) -> None:
    """Refuse what can never be a file; whether it is one, or may become one, each command sees."""
    try:
        given.stat()
    except OSError as error:
        if error.errno in (errno.ELOOP, errno.ENAMETOOLONG):
            raise typer.BadParameter(f"'{given}' cannot be used: {error.strerror}") from None


def _text(given: str) -> str:
    """The text. Where the locale knows no UTF-8, what was put aside of its bytes is read anew."""
    try:
        text = given if given.isascii() else os.fsencode(given).decode("utf-8")
    except UnicodeError:
        raise typer.BadParameter("is not UTF-8 text; write it in UTF-8") from None
    if bad := control_in(text):
        what = f"holds a control character (U+{ord(bad):04X}); remove it"
        raise typer.BadParameter(what)
    if len(text) > _LONGEST:
        raise typer.BadParameter(f"has {len(text):,} characters; wanted at most {_LONGEST:,}")
    return text
