"""What passes without the converter is what the converter would have made of it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer import Context
from typer.main import get_command

from advisor.cli import options
from advisor.cli.main import app
from advisor.cli.options import DOUBTFUL, plain_value

GIVEN = (
    None, "", "a", "2026-09-05", "2026-02-30", "tomorrow", "7", "-1", "1e9", "0.5", "nan", "yes",
    "us", "text", "/", ".", "no/such/folder", "~", "-", "a b", "ü", True, False, 0, 1, 7, 0.5, (),
    ("a",), ["2026-09-05"], [], Path("x"),
)  # fmt: skip


def parameters(command: Any, way: str = "") -> Iterator[tuple[str, Any]]:
    context = Context(command)
    for parameter in command.params:
        yield f"{way} {parameter.name}", parameter
    for name in command.list_commands(context) if hasattr(command, "list_commands") else ():
        yield from parameters(command.get_command(context, name), f"{way} {name}")


@pytest.fixture(scope="module")
def every() -> dict[str, Any]:
    """All parameters of all commands, with the values that they convert themselves."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(options, "plain_value", lambda parameter, value: DOUBTFUL)
        return dict(parameters(get_command(app)))


def test_each_value_of_each_parameter_is_the_converters(every: dict[str, Any], monkeypatch) -> None:
    monkeypatch.setattr(options, "plain_value", lambda parameter, value: DOUBTFUL)
    passed = 0
    for name, parameter in every.items():
        values = [*GIVEN, parameter.default]
        for value in values:
            plain = plain_value(parameter, value)
            if plain is DOUBTFUL:
                continue
            slow = type(parameter).process_value(parameter, Context(get_command(app)), value)
            assert (type(plain), plain) == (type(slow), slow), (name, value)
            passed += 1
    assert len(every) > 100
    assert passed > 5 * len(every)


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser can read everything")
def test_a_folder_that_cannot_be_read_is_doubtful(every: dict[str, Any], tmp_path: Path) -> None:
    closed = tmp_path / "closed"
    closed.mkdir(mode=0)
    assert plain_value(every[" week site"], str(closed)) is DOUBTFUL


def test_an_ordinary_command_line_needs_no_converter(tmp_path: Path) -> None:
    program = (
        "import sys; from advisor.cli.main import app\n"
        "from advisor.base.problems import BadInput\n"
        "try: app(['ask', 'no such folder', 'should I mow', '--on', '2026-09-05'])\n"
        "except BadInput: print('advisor.answers.consult' in sys.modules, "
        "'typer._adapters' in sys.modules)\n"
    )
    command = [sys.executable, "-c", program]
    done = subprocess.run(command, capture_output=True, check=True, text=True, cwd=tmp_path)
    assert done.stdout.split() == ["True", "False"]
