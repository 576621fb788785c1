"""Arguments and options that commands share, and what each must be, whatever else is asked.

The converter is a large library, and takes as long to load as all else that reads a command line.
A value that is told here to pass is what it would make of it; whatever is doubtful goes its way,
and so do all errors.

The tree of commands is walked, so a new command is guarded without its doing.
"""

from __future__ import annotations

import datetime as dt
import errno
import math
import os
import re
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.base.dates import known_day
from advisor.base.text import control_in

DOUBTFUL = object()


def plain_value(parameter: Any, value: Any) -> Any:
    """What a parameter makes of a value from the command line or its default; or `DOUBTFUL`."""
    # Older versions of the parser convert by themselves, and have no such description.
    descriptor: Any = getattr(parameter, "type_descriptor", None)
    info = getattr(descriptor, "parameter_info", None)
    if info is None or parameter.callback is not None:
        return DOUBTFUL
    several = parameter.multiple or parameter.nargs != 1
    if value is None:
        return DOUBTFUL if parameter.required else () if several else None
    if several or getattr(info, "click_type", None) is not None:
        return DOUBTFUL
    if info.parser is not None:
        return _parsed(info.parser, value)
    wanted = descriptor.annotation
    if wanted is Path:
        return _path(info, value)
    if type(value) is not wanted:
        # A word of a list may stand for its default.
        return wanted(value) if _is_word(wanted) and value == parameter.default else DOUBTFUL
    # A number that is no default may be out of its range.
    return value if wanted in (str, bool) or value == parameter.default else DOUBTFUL


def _is_word(wanted: Any) -> bool:
    return isinstance(wanted, type) and issubclass(wanted, StrEnum)


def plain_help(option: Any) -> Any:
    """A help option that converts nothing while nobody asks for help; None if there is none."""
    if option is not None and "process_value" not in vars(option):
        process = option.process_value
        option.process_value = lambda ctx, value: process(ctx, value) if value else value
    return option


def _parsed(parser: Any, value: Any) -> Any:
    try:
        return parser(value) if type(value) is str else DOUBTFUL
    except Exception:
        return DOUBTFUL


def _path(info: Any, value: Any) -> Any:
    """A path with no more to it than that it can be read, if it is there."""
    asked = (info.exists, info.writable, info.resolve_path, info.allow_dash, info.path_type)
    if any(asked) or not (info.file_okay and info.dir_okay) or type(value) is not str:
        return DOUBTFUL
    try:
        return Path(value) if os.access(value, os.R_OK) or not Path(value).exists() else DOUBTFUL
    except (OSError, ValueError):
        return DOUBTFUL


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
        _never_a_file(value)
    if isinstance(value, float) and math.isnan(value):
        raise typer.BadParameter("nan is no number; write one")
    if isinstance(value, (int, float)) and abs(value) > _LARGEST:
        raise typer.BadParameter(f"is too large a number; wanted at most {_LARGEST:,}")
    return value


def _never_a_file(given: Path) -> None:
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


def as_date(text: str) -> dt.date:
    """A day that can be reckoned with. Raises `typer.BadParameter`."""
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"'{text}' is no date; write YYYY-MM-DD") from None
    try:
        return known_day(day)
    except ValueError as error:
        raise typer.BadParameter(str(error)) from None


def as_minute(text: str) -> int:
    """A time of the day, in minutes after midnight. Raises `typer.BadParameter`."""
    found = re.fullmatch(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", text.strip())
    if found is None:
        raise typer.BadParameter(f"'{text}' is no time of the day; write HH:MM, such as 14:30")
    return int(found[1]) * 60 + int(found[2])


def as_delay(text: str) -> int:
    """A length of time, in whole minutes. Raises `typer.BadParameter`."""
    from advisor.base.units import UnitError, parse_quantity

    try:
        minutes = round(60 * parse_quantity(text, "h"))
    except UnitError as error:
        raise typer.BadParameter(f"{error}, such as '2 h' or '45 min'") from None
    if not 0 <= minutes <= 24 * 60:
        raise typer.BadParameter(f"'{text}' is not within a day; write such as '2 h' or '45 min'")
    return minutes


SiteFolder = Annotated[
    Path, typer.Argument(metavar="SITE", help="The site's folder.", show_default=False)
]
On = Annotated[
    dt.date | None,
    typer.Option(
        "--on",
        metavar="DATE",
        parser=as_date,
        help="Answer as of this day, YYYY-MM-DD; later weather and records are hidden.",
        show_default="today where the lawn lies",
    ),
]
At = Annotated[
    int | None,
    typer.Option("--at", metavar="HH:MM", parser=as_minute, help="How late it is now."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Plain data for other programs.")]
