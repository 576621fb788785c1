"""Values of options that need no conversion, so that a command does not wait for the converter.

The converter is a large library, and takes as long to load as all else that reads a command line.
A value that is told here to pass is what it would make of it; whatever is doubtful goes its way,
and so do all errors.
"""

from __future__ import annotations

import os
from enum import StrEnum
from pathlib import Path
from typing import Any

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
