"""The command `advisor`. Exit status: 0 fine, 2 bad input, 1 our own fault."""

from __future__ import annotations

import os
import sys

import typer

from advisor.base.problems import BadInput
from advisor.cli.late import late
from advisor.engine.errors import EngineMissing

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
    try:
        app()
    except BadInput as error:
        for problem in error.problems:
            print(problem, file=sys.stderr)
        sys.exit(2)
    except EngineMissing as error:
        print(error, file=sys.stderr)
        sys.exit(1)
    except BrokenPipeError:
        # The reader (a pager, `head`) has gone; there is nobody left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except Exception as error:
        if os.environ.get("ADVISOR_DEBUG"):
            raise
        print(
            f"advisor failed, which is our fault: {type(error).__name__}: {error} "
            "(set ADVISOR_DEBUG=1 for the details, and please report it)",
            file=sys.stderr,
        )
        sys.exit(1)


if __name__ == "__main__":
    main()
