"""A command prints the same whatever lies in the cache folder: nothing, all of it, or rubbish."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

COMMANDS = (
    ("ask", "{site}", "should I dethatch this year", "--why"),
    ("ask", "{site}", "how much seed for the front"),
    ("week", "{site}"),
    ("week", "{site}", "--json"),
    ("year", "{site}"),
    ("weekends", "{site}"),
    ("tomorrow", "{site}"),
    ("stop", "{site}"),
    ("workplan", "{site}", "--from", "2026-09-12"),
    ("amounts", "{site}"),
    ("measure", "{site}"),
    ("check", "{site}"),
)
DAY = "2026-09-05"
PROGRAM = """
import json, sys
from typer.testing import CliRunner
from advisor.cli.main import app
for command in json.load(sys.stdin):
    found = CliRunner().invoke(app, command)
    print(command, found.exit_code, found.output)
"""


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Path:
    """The demo site."""
    folder = tmp_path_factory.mktemp("demo")
    command = [sys.executable, "-m", "advisor", "demo", "--to", str(folder)]
    environment = os.environ | {"XDG_CACHE_HOME": str(tmp_path_factory.mktemp("caches"))}
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment)
    return folder / "site"


def printed(site: Path, caches: Path) -> bytes:
    """What all commands print, one after the other in a process of their own."""
    import json

    commands = [
        [part.format(site=site) for part in command]
        + ([] if command[0] == "check" else ["--on", DAY])
        for command in COMMANDS
    ]
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        input=json.dumps(commands).encode(),
        env=os.environ | {"XDG_CACHE_HOME": str(caches)},
        capture_output=True,
        check=True,
    )
    return done.stdout


@pytest.mark.slow
def test_the_cache_changes_nothing(site, tmp_path):
    no_folder = tmp_path / "file"
    no_folder.write_text("no folder can be made here")
    without = printed(site, no_folder)
    assert without.count(b" 0 ") >= len(COMMANDS)
    assert b"Traceback" not in without
    caches = tmp_path / "caches"
    kept = caches / "turf-windows"
    assert printed(site, caches) == without, "cold"
    names = {file.name.partition("-")[0] for file in kept.iterdir()}
    assert {"weather", "program", "holidays", "rules", "site"} <= names
    whole = {file: file.read_bytes() for file in kept.iterdir()}
    assert printed(site, caches) == without, "warm"
    assert {file: file.read_bytes() for file in kept.iterdir()} == whole, "made anew when warm"
    for file, raw in whole.items():
        file.write_bytes(raw[: len(raw) // 2])
    assert printed(site, caches) == without, "cut"
    for file, raw in whole.items():
        assert file.read_bytes() == raw, f"{file.name} was not mended"
    names = sorted(whole)
    for file, other in zip(names, names[1:] + names[:1], strict=True):
        file.write_bytes(whole[other])
    assert printed(site, caches) == without, "each in the place of another"
