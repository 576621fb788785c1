"""What the README tells a newcomer to type, and what happens where the engine cannot be loaded."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^```sh\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def _run_without_engine(setup: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the command in a process in which `import durable_rules_engine` fails."""
    script = f"import sys\n{setup}\nfrom advisor.cli.main import main\nmain()"
    return subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={k: v for k, v in os.environ.items() if k != "ADVISOR_DEBUG"},
    )


def test_first_command_installs_and_shows_the_demo() -> None:
    assert COMMANDS[0].count("\n") == 1
    steps = COMMANDS[0].strip().split(" && ")
    assert steps[0] == "python3 -m venv .venv"
    assert steps[1].endswith(".venv/bin/pip install .")
    assert steps[2] == ".venv/bin/advisor demo --to demo"


def test_second_command_runs_the_tests_with_nothing_done_before() -> None:
    assert COMMANDS[1].count("\n") == 1
    steps = COMMANDS[1].strip().split(" && ")
    assert steps[0] == "python3 -m venv .venv"
    assert ".venv/bin/pip install" in steps[1]
    assert "[test]" in steps[1]
    assert steps[2] == ".venv/bin/pytest"


@pytest.mark.parametrize("command", COMMANDS[:2])
def test_commands_build_the_engine_as_the_uv_setting_does(command: str) -> None:
    setting = PROJECT["tool"]["uv"]["extra-build-variables"]["durable-rules"]["CPPFLAGS"]
    assert f'CPPFLAGS="{setting}" .venv/bin/pip' in command


def test_readme_names_the_python_that_is_required() -> None:
    assert PROJECT["project"]["requires-python"] == ">=3.11"
    assert "Python 3.11, 3.12 or 3.13" in README


BROKEN = {
    # What an import says of a package that could not be built, and of one built for another Python.
    "absent": "sys.modules['durable_rules_engine'] = None",
    "undefined symbol": """
class Broken:
    def find_spec(self, name, path=None, target=None):
        if name == 'durable_rules_engine':
            raise ImportError('durable_rules_engine.so: undefined symbol: PyEval_CallObject')
sys.meta_path.insert(0, Broken())""",
}


@pytest.mark.parametrize("setup", BROKEN.values(), ids=BROKEN.keys())
def test_without_the_engine_one_sentence_says_what_to_install(setup: str, tmp_path: Path) -> None:
    done = _run_without_engine(setup, "demo", "--to", str(tmp_path / "demo"))
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1, done.stderr
    assert done.stderr.startswith("the rule engine cannot be loaded (")
    assert "install a C compiler and Python's headers" in done.stderr
    assert "pip install --force-reinstall --no-deps durable-rules" in done.stderr
    if "undefined symbol" in setup:
        assert "pip cache remove durable_rules" in done.stderr


def test_what_needs_no_engine_works_without_it() -> None:
    done = _run_without_engine(BROKEN["absent"], "--help")
    assert done.returncode == 0
    assert "demo" in done.stdout
