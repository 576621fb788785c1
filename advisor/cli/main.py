"""The command `advisor`. Exit status: 0 fine, 2 bad input or output, 1 our own fault.

Commands are built when they are asked for, so that one question waits for no others.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from contextlib import suppress
from importlib import import_module
from typing import Any

import typer
from typer.core import TyperGroup
from typer.main import get_group

from advisor.base.problems import BadInput
from advisor.base.text import one_line
from advisor.cli.options import guard, plain_help
from advisor.cli.printer import Printer, plain_streams
from advisor.decide.engine.model import EngineMissing


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


COMMANDS = {
    "demo": "demo",
    "new": "sites",
    "check": "sites",
    "identify": "identify",
    "note": "records",
    "done": "records",
    "undo": "records",
    "weather": "weather",
    "ask": "ask",
    "week": "week",
    "measure": "measure",
    "year": "year",
    "weekends": "weekends",
    "workplan": "workplan",
    "tomorrow": "tomorrow",
    "stop": "stop",
    "behind": "behind",
    "amounts": "amounts",
    "replay": "replay",
    "spreader": "spreader",
    "waterplan": "waterplan",
    "rules": "rules",
    "mail": "mail",
}
"""The module of each command."""

app = typer.Typer(
    name="advisor",
    cls=late(COMMANDS),
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


@app.callback()
def _advisor() -> None:
    """What to do on your lawn this week, and what not, from its records and its weather."""


def main() -> None:
    """Run a command; every refusal is a line on standard error, never a traceback."""
    with plain_streams():
        status = _status()
        with suppress(OSError):
            sys.stderr.flush()
    sys.exit(status)


def _status() -> int:
    try:
        # Not in typer's own way, which takes a reader that has gone, or an end of input, for a
        # fault of ours.
        found = app(standalone_mode=False)
        if sys.stdout is not None:
            sys.stdout.flush()
        return found if isinstance(found, int) else 0
    except BadInput as error:
        for problem in error.problems:
            _tell(str(problem))
        return 2
    except EngineMissing as error:
        _tell(str(error))
        return 1
    except typer.Abort:
        _tell("advisor: stopped at a question, since no answer came")
        return 2
    except OSError as error:
        return _not_possible(error)
    except Exception as error:
        if hasattr(error, "exit_code") and hasattr(error, "show"):
            # A word or an option that no command knows, or a value of no use.
            with suppress(OSError):
                error.show()
            return int(error.exit_code)
        return _our_fault(error)


# CPython keeps its calls on chunks of 16 KB, and calls at the edge of one map and unmap the next
# each time: 3,600 times in an `advisor ask`, a twelfth of its processor time. A frame that asks for
# more than a chunk gets one of its own, half of which is left for all that it calls.
_status.__code__ = _status.__code__.replace(co_stacksize=33_000)


def _not_possible(error: OSError) -> int:
    """What the machine refused: a full disk, too long a name, a folder in a file's place."""
    said = error.strerror or type(error).__name__
    if isinstance(sys.stdout, Printer) and error is sys.stdout.trouble:
        _tell(f"advisor: standard output cannot be written: {said}")
        return 2
    if error.filename is None:
        return _our_fault(error)
    _tell(f"{os.fsdecode(error.filename)}: cannot be used: {said}")
    return 2


def _our_fault(error: Exception) -> int:
    if os.environ.get("ADVISOR_DEBUG"):
        raise error
    _tell(
        f"advisor failed, which is our fault: {type(error).__name__}: {error} "
        "(set ADVISOR_DEBUG=1 for the details, and please report it)"
    )
    return 1


def _tell(line: str) -> None:
    """One line on standard error; if that is full or gone, the exit status has to do."""
    with suppress(OSError):
        print(one_line(line), file=sys.stderr)


if __name__ == "__main__":
    main()
