"""Commands that are built when asked for: their names are those that the modules register."""

from __future__ import annotations

from importlib import import_module

import pytest
import typer
from typer.main import get_group
from typer.testing import CliRunner

from advisor.cli import mail
from advisor.cli import main as top


@pytest.mark.parametrize("commands", [top.COMMANDS, mail.COMMANDS], ids=["advisor", "mail"])
def test_each_name_is_registered_by_its_module_and_none_is_left_out(commands) -> None:
    for module in set(commands.values()):
        part = typer.Typer()
        import_module(f"advisor.cli.{module}").register(part)
        assert set(get_group(part).commands) == {n for n, m in commands.items() if m == module}


@pytest.mark.parametrize(("words", "near"), [(["weak"], "'week'"), (["mail", "sendd"], "'send'")])
def test_a_mistyped_name_is_told_what_is_near(words, near) -> None:
    said = CliRunner().invoke(top.app, words)
    assert said.exit_code == 2
    assert f"Did you mean {near}?" in said.output
