"""Runs the commands of a lawn on a day, each in this process, and hands on what they print."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any
from unittest import mock

from reader import Claim, Reader, html_lines
from typer.testing import CliRunner

from advisor.cli.main import app

RULES = Path(__file__).parents[2] / "rules" / "operations"
ASKED = ("overseeding", "thatch_removal", "core_aeration", "feeding", "low_mow", "topdressing")


def titles() -> dict[str, str]:
    """Ids and titles of all jobs, as they stand in the rule files."""
    found = {}
    for path in sorted(RULES.glob("*.yaml")):
        title = re.search(r"^title: *(.+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
        assert title, path
        found[path.stem] = title[1].strip("\"' ")
    return found


class Refused(AssertionError):
    """A command that did not answer."""


def said(*words: str) -> str:
    """What a command prints. Raises `Refused` unless it went well."""
    found = CliRunner().invoke(app, list(words))
    if found.exit_code:
        raise Refused(f"{' '.join(words)}: {found.exit_code} {found.output} {found.exception!r}")
    return found.output


COMPOSED = (
    "advisor.render.digest.edition.compose_edition",
    "advisor.planning.workplan.compose_workplan",
)


@contextmanager
def composed_once() -> Iterator[None]:
    """What two commands show in two forms, such as text and a page, is composed by the first."""
    with ExitStack() as patches:
        for name in COMPOSED:
            module, _, function = name.rpartition(".")
            once = _once(getattr(import_module(module), function))
            patches.enter_context(mock.patch(name, once))
        yield


def _once(compose: Callable[..., Any]) -> Callable[..., Any]:
    made: dict[str, Any] = {}

    def composed(of: Any, *given: Any, **named: Any) -> Any:
        case = getattr(of, "case", of)
        key = repr((case.name, case.on, given, sorted(named.items())))
        if key not in made:
            made[key] = compose(of, *given, **named)
        return made[key]

    return composed


def claims(site: Path, on: dt.date, parts: tuple[str, ...], scratch: Path) -> list[Claim]:
    """All that the views claim. scratch: a folder for a calendar."""
    with composed_once():
        return list(_claims(site, on, parts, scratch))


def _claims(site: Path, on: dt.date, parts: tuple[str, ...], scratch: Path) -> Iterator[Claim]:
    names = titles()
    reader = Reader(tuple(names.values()), parts, on)
    where, day = str(site), ("--on", on.isoformat())
    yield from reader.digest("week", said("week", where, *day).splitlines())
    page = said("week", where, *day, "--format", "html")
    yield from reader.digest("week page", html_lines(page))
    for id in ASKED:
        question = f"should I do {names[id].lower()}"
        yield from reader.answers("ask", said("ask", where, question, *day))
    yield from reader.amounts("amounts", said("amounts", where, *day))
    saturday = on + dt.timedelta(days=(5 - on.weekday()) % 7)
    plan = ("workplan", where, "--from", saturday.isoformat(), "--days", "3", *day)
    yield from reader.plan("workplan", said(*plan))
    yield from reader.plan_json("workplan", json.loads(said(*plan, "--json")), names)
    calendar = scratch / "year.ics"
    yield from reader.year("year", said("year", where, *day, "--ics", str(calendar)))
    yield from reader.calendar("calendar", calendar.read_text(encoding="utf-8"))
