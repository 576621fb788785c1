"""Every command and every option of it, with values that hurt: never our fault, never a trace.

The commands are found by walking the parser's tree, so a new one is tried here without a change.
The status is 0 or 2 (DEVELOPERS.md, "Style"), and no control character reaches the terminal.
"""

from __future__ import annotations

import io
import random
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
import sampling
from typer.main import get_group

from advisor.cli.main import app, main
from advisor.demo.scenario import write_demo

TEXTS = (
    "", " ", "-", "--", ".", "?", "\x1b]0;own\x07\x1b[31mred", "\u202egnp.exe\u2066", "a\nb\tc",
    "\x85\x9b2J", "nan", "inf", "-inf", "1e400", "-1", "0", "1", "2.5", "9" * 400, "0x10",
    "a" * 300, "ä" * 100_000, "caf\udce9", "\ud800", "nul\0", "🌱 façade", "%s%n{0}", "[" * 500,
    "3 in", "1 ft", "1000 ft2", "America/New_York", "us", "text", "tall_fescue", "12:00",
)  # fmt: skip
DAYS = (
    "0001-01-01", "0001-12-31", "0002-06-21", "1899-12-31", "1900-01-01", "2026-02-30",
    "2199-12-31", "2200-01-01", "9998-12-31", "9999-06-21", "9999-12-31", "-0001-01-01",
)  # fmt: skip
TEXTS_EACH, PATHS_EACH = 5, 1
"""Drawn for each parameter; the days are all tried where a day is wanted."""
FEW = 2
"""Of these values so many are tried always, others for each commit."""
YEARS = 3
"""Of the demo's weather, so that a command takes less time."""

GIVEN = {
    "site": "site", "folder": "list", "file": "site/weather.csv", "question": "should I dethatch",
    "words": "thatch 0.8 in", "record": "r1", "name": "feeding", "operation": "feeding",
    "catches": "3", "address": "a@example.org", "reader": "a@example.org", "week": "2026-09-05",
    "first": "2026-09-05", "on": "2026-09-05", "grass": "tall_fescue", "size": "3000 ft2",
    "latitude": "41", "longitude": "-81", "given": "bud=folded", "spent": "2 lb",
    "length": "83 ft", "swath": "12 ft", "wanted": "5 lb/1000ft2", "per_minute": "10 gal",
    "area": "front", "to": "shown",
}  # fmt: skip
"""A value that is of use, for what must be given, and what keeps a command from asking."""
OWN = {
    "waterplan flow": {"area": "1000 ft2"},
    "new": {"site": "new", "where": None},
    "rules check": {"folder": "rules"},
    "mail demo": {"folder": "site/site.yaml", "readers": "1", "workers": "1"},
}
ALWAYS = {
    "on",
    "latitude",
    "longitude",
    "grass",
    "size",
    "given",
    "folder",
    "readers",
    "workers",
    "to",
}


def commands(group=None, path=()) -> Iterator[tuple[str, list]]:
    group = group or get_group(app)
    for name in group.list_commands(None):
        found = group.get_command(None, name)
        if hasattr(found, "list_commands"):
            yield from commands(found, (*path, name))
        else:
            yield " ".join((*path, name)), found.params


COMMANDS = dict(commands())


def is_argument(parameter) -> bool:
    return parameter.param_type_name == "argument"


def words_of(name, parameters, chosen, value) -> list[str]:
    """The command's words, with the value for one parameter and what is of use for the others."""
    known = GIVEN | OWN.get(name, {})
    options, arguments = [], []
    for parameter in parameters:
        own = parameter is chosen
        if not own and not (parameter.required or parameter.name in ALWAYS):
            continue
        given = value if own else known.get(parameter.name)
        if is_argument(parameter):
            arguments.append(str(given))
        elif getattr(parameter, "is_flag", False):
            options += [parameter.opts[0]] if own else []
        elif given is not None:
            options.append(f"{parameter.opts[0]}={given}")
    return [*name.split(), *options, "--", *arguments]


@pytest.fixture(scope="module")
def place(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("fuzz")
    weather = write_demo(folder) / "weather.csv"
    lines = weather.read_text().splitlines(keepends=True)
    weather.write_text("".join([*lines[:2], *lines[-YEARS * 365 :]]))
    for inner in ("list", "rules", "shown"):
        (folder / inner).mkdir()
    (folder / "loop").symlink_to("loop")
    return folder


@pytest.fixture
def run(place, monkeypatch):
    """A command in this process: its status, and all that it wrote."""
    monkeypatch.chdir(place)
    monkeypatch.setenv("ADVISOR_CONTACT", "me@example.org")
    for name in ("FORECAST", "DAILY", "REFERENCE"):
        monkeypatch.setenv(f"ADVISOR_{name}_URL", "http://127.0.0.1:9/nobody")  # the discard port
    monkeypatch.setenv("BROWSER", "true")

    def call(*words):
        raw = io.BytesIO()
        out = io.TextIOWrapper(raw, encoding="utf-8", write_through=True)
        status = 0
        with monkeypatch.context() as patch:
            for stream in ("stdout", "stderr"):
                patch.setattr(sys, stream, out)
            patch.setattr(sys, "stdin", io.StringIO())
            patch.setattr(sys, "argv", ["advisor", *words])
            try:
                main()
            except SystemExit as end:
                status = end.code or 0
            except Exception as error:  # its text may hold what no report of a test can
                return 1, ascii(error)
        out.flush()
        return status, raw.getvalue().decode()

    return call


def values_for(parameter, draw) -> list[str]:
    if getattr(parameter, "is_flag", False):
        return [""]
    paths = ("loop", "loop/x", "site", "site/site.yaml", "/dev/null/x", "no/such", "a" * 300)
    is_day = parameter.name in ("on", "week", "first", "last", "sown", "rain")
    if parameter.name == "to":  # `demo` works for seconds on each folder that it can write
        return [*paths[:3], "nul\0", "caf\udce9"]
    drawn = [*draw.sample(TEXTS, TEXTS_EACH), *draw.sample(paths, PATHS_EACH)]
    return [*drawn, *(DAYS if is_day else ())]


def tried_values(name) -> dict[str, list[str]]:
    """Of each parameter of a command."""
    draw = random.Random(name)
    return {parameter.name: values_for(parameter, draw) for parameter in COMMANDS[name]}


@pytest.mark.slow
@pytest.mark.parametrize("name", COMMANDS)
def test_no_value_is_our_fault(name, run, place):
    few = sampling.dice(name)
    values = tried_values(name).items()
    no_fault(name, run, place, {p: few.sample(v, min(FEW, len(v))) for p, v in values})


@pytest.mark.long
@pytest.mark.parametrize("name", COMMANDS)
def test_none_of_more_values_is_our_fault(name, run, place):
    no_fault(name, run, place, tried_values(name))


def no_fault(name, run, place, tried):
    site = place / "site"
    kept = place / "kept"
    shutil.copytree(site, kept)
    try:
        for parameter in COMMANDS[name]:
            for value in tried[parameter.name]:
                words = words_of(name, COMMANDS[name], parameter, value)
                status, said = run(*words)
                told = ascii((words, said[-300:]))[:1000]
                assert status in (0, 2), told
                assert "Traceback" not in said, told
                assert "our fault" not in said, told
                plain = said.replace("\n", "").replace("\t", "")
                # Letters of all scripts may be shown; what steers the terminal may not.
                found = {c for c in plain if not c.isprintable()}
                assert found <= {"\u00a0", "\u202f"}, told
    finally:
        shutil.rmtree(site)
        kept.rename(site)
