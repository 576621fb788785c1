"""The commands that read a site, found in the program's own tree, and a run of one in process."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import typer.main

from advisor.cli.main import app, main

ON = "2026-09-05"
ELSEWHERE = {
    "demo": "has a site of its own",
    "new": "asks for what is checked when it is read back",
    "identify": "reads no site",
    "mail": "has its own list and tests",
    "rules": "reads no site",
    "spreader": "reads no site",
    "waterplan cans": "reads no site",
    "waterplan flow": "reads no site",
}
"""Commands without a site, and why they are not walked here."""
GIVEN: dict[str, list[list[str]]] = {
    "ask": [["can I overseed"], ["when should I feed"], ["how much water"]],
    "note": [["thatch 0.8 in"]],
    "done": [["mowed"]],
    "undo": [["r1"]],
    "workplan": [["--from", "2026-09-12"]],
    "behind": [["2 h"]],
    "weather": [["--offline"]],
}
"""What a command wants besides the site; a new one that wants something is told of by name."""


@dataclass(frozen=True)
class Ran:
    """status: exit status. said, refused: standard output and error."""

    status: int
    said: str
    refused: str


def site_commands() -> Iterator[tuple[str, list[str]]]:
    """Each command that takes a site, with all else that it wants."""
    for name, command in _leaves(typer.main.get_command(app), ()):
        if name in ELSEWHERE or name.partition(" ")[0] in ELSEWHERE:
            continue
        takes = {p.name for p in command.params}
        wants = {p.name for p in command.params if p.required} - {"site"}
        assert "site" in takes, f"'{name}' takes no site: say why under ELSEWHERE"
        assert not wants or name in GIVEN, f"'{name}' wants {wants}: say what to give under GIVEN"
        on = ["--on", ON] if "on" in takes else []
        for more in GIVEN.get(name, [[]]):
            yield name, [*more, *on]


def run(folder: Path, name: str, more: list[str]) -> Ran:
    """A command on a site's folder, as the shell would run it."""
    said, refused = io.StringIO(), io.StringIO()
    words = ["advisor", *name.split(), str(folder), *more]
    status: Any = 0
    with (
        mock.patch("sys.argv", words),
        contextlib.redirect_stdout(said),
        contextlib.redirect_stderr(refused),
    ):
        try:
            main()
        except SystemExit as end:
            status = end.code or 0
    return Ran(int(status), said.getvalue(), refused.getvalue())


def _leaves(command: Any, path: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    if not hasattr(command, "list_commands"):
        yield " ".join(path), command
        return
    if getattr(command, "invoke_without_command", False) and path:
        yield " ".join(path), command
    for name in command.list_commands(None):
        yield from _leaves(command.get_command(None, name), (*path, name))
