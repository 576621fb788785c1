"""The commands that a view prints, found as a reader finds them, and run as a keeper runs them."""

from __future__ import annotations

import ast
import contextlib
import email
import email.policy
import html
import io
import json
import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import advisor
from advisor.cli.main import main

ROOT = Path(advisor.__file__).parent
LABELS = re.compile(r"advisor (?:failed,|weather: |mail serve: )")
"""What names the program or a command of it as the one that speaks, and is not to be typed."""
_PROGRAM = re.compile(r"(?<![\w./-])advisor (?=[a-z])")


@dataclass(frozen=True)
class Printed:
    """argv: the words after `advisor`. said: the line on which it stands."""

    argv: tuple[str, ...]
    said: str


def commands_in(text: str) -> Iterator[Printed]:
    """All of a text's commands. Each must stand in single quotes, or run to the end of a line that
    begins with it or has a colon before it; anything else is no command that can be pasted.
    """
    lines = text.splitlines()
    for at, line in enumerate(lines):
        said = " ".join(" ".join(lines[max(at - 6, 0) : at + 3]).split())
        for found in _PROGRAM.finditer(line):
            if LABELS.match(line, found.start()):
                continue
            before, end = line[: found.start()], len(line)
            if before.endswith("'"):
                end = _closing(line, found.end())
            else:
                assert before.strip() == "" or before.endswith(": "), f"not to be pasted: {line}"
            argv = tuple(shlex.split(line[found.end() : end]))
            assert "…" not in "".join(argv), line
            yield Printed(argv, said)


def _closing(line: str, at: int) -> int:
    """Where the single quote stands that ends a command."""
    inside = False
    while at < len(line):
        if line[at] == "\\" and not inside:
            at += 1
        elif line[at] == '"':
            inside = not inside
        elif line[at] == "'" and not inside:
            return at
        at += 1
    raise AssertionError(f"a command that does not end: {line}")


def of_page(page: str) -> str:
    """What a page shows, a line for each piece of text."""
    body = re.sub(r"(?s)<(style|title)\b.*?</\1>", "", page)
    return html.unescape(re.sub(r"<[^>]*>", "\n", body))


def of_calendar(calendar: str) -> str:
    """What the events of a calendar say (RFC 5545, 3.1 and 3.3.11)."""
    unfolded = re.sub(r"\r?\n[ \t]", "", calendar)
    plain = {"n": "\n", "N": "\n"}
    return re.sub(r"\\(.)", lambda found: plain.get(found[1], found[1]), unfolded).replace(
        "DESCRIPTION:", "DESCRIPTION:\n"
    )


def of_mail(mail: bytes) -> str:
    """The text and the page of a mail."""
    message = email.message_from_bytes(mail, policy=email.policy.default)
    parts = [part for part in message.walk() if part.get_content_maintype() == "text"]
    assert len(parts) == 2
    return "\n".join(
        of_page(part.get_content()) if part.get_content_subtype() == "html" else part.get_content()
        for part in parts
    )


def of_json(text: str) -> str:
    """Every text in JSON, a line for each."""

    def texts(data: Any) -> Iterator[str]:
        if isinstance(data, str):
            yield data
        elif isinstance(data, dict):
            yield from (text for value in data.values() for text in texts(value))
        elif isinstance(data, list):
            yield from (text for value in data for text in texts(value))

    return "\n".join(texts(json.loads(text)))


@dataclass(frozen=True)
class Ran:
    """status: exit status. said, refused: standard output and error."""

    status: int
    said: str
    refused: str


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def run(*argv: str, answers: str | None = None) -> Ran:
    """A command as the shell runs it. answers: what is typed at its questions; None where there is
    no terminal."""
    said, refused = io.StringIO(), io.StringIO()
    typed = io.StringIO() if answers is None else _Terminal(answers)
    status: Any = 0
    with (
        mock.patch("sys.argv", ["advisor", *argv]),
        mock.patch("sys.stdin", typed),
        contextlib.redirect_stdout(said),
        contextlib.redirect_stderr(refused),
    ):
        try:
            main()
        except SystemExit as end:
            status = end.code or 0
    ran = Ran(int(status), said.getvalue(), refused.getvalue())
    assert "Traceback" not in ran.said + ran.refused
    return ran


def composed() -> Iterator[tuple[str, ...]]:
    """The words that the program's own code builds commands from, as far as they are fixed."""
    for path in sorted(ROOT.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else ""
            of_case = name == "command" and path.parent.name != "cli"
            if of_case or (isinstance(node.func, ast.Name) and node.func.id == "command"):
                yield tuple(
                    a.value
                    for a in node.args
                    if isinstance(a, ast.Constant) and re.fullmatch("[a-z][a-z-]*", str(a.value))
                )


def written_out() -> Iterator[tuple[str, str]]:
    """File and text of each command that stands in code or a template; docstrings apart."""
    for path in sorted((ROOT.parent / "templates").rglob("*.*")):
        for line in path.read_text(encoding="utf-8").splitlines():
            if _PROGRAM.search(line):
                yield path.name, line
    for path in sorted(ROOT.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        docs = {
            id(node.value) for node in ast.walk(tree)
            if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
        }  # fmt: skip
        for node in ast.walk(tree):
            text = node.value if isinstance(node, ast.Constant) and id(node) not in docs else None
            if isinstance(text, str) and _PROGRAM.search(text):
                yield path.name, text
