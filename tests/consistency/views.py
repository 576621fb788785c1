"""Runs the commands of a lawn on a day, each in this process, and hands on what they print.

What is printed is kept, as strings: whoever reads it again, or changed, needs no command.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any
from unittest import mock

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
    "advisor.render.digest.week.all_answers",
    "advisor.planning.shopping.compose_shopping",
    "advisor.planning.workplan.compose_workplan",
    "advisor.planning.weekends.compose_weekends",
    "advisor.render.yearly.year.compose_year",
)


@dataclass(frozen=True)
class Views:
    """texts: what each view prints. forms: what the same commands hand to other programs."""

    on: dt.date
    texts: dict[str, str]
    forms: dict[str, Any]


@contextmanager
def composed_once() -> Iterator[None]:
    """What commands show in several forms, such as text and a page, is composed by the first."""
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
        key = repr(
            (getattr(case, "name", case), getattr(case, "on", ""), given, sorted(named.items()))
        )
        if key not in made:
            made[key] = compose(of, *given, **named)
        return made[key]

    return composed


def views(site: Path, on: dt.date, scratch: Path) -> Views:
    """All that is printed for a lawn on a day. scratch: a folder for a calendar."""
    names = titles()
    texts, forms = dict[str, str](), dict[str, Any]()
    where, day = str(site), ("--on", on.isoformat())

    def both(view: str, *words: str) -> None:
        command = (words[0], where, *words[1:], *day)
        texts[view] = said(*command)
        forms[view] = json.loads(said(*command, "--json"))

    with composed_once():
        both("week", "week")
        texts["week page"] = said("week", where, *day, "--format", "html")
        both("measure", "measure")
        for id in ASKED:
            texts[f"ask {id}"] = said("ask", where, f"should I do {names[id].lower()}", *day)
        once = _once(import_module("advisor.cli.opened").advice_for)
        with mock.patch("advisor.cli.amounts.advice_for", once):
            both("amounts", "amounts")
        with mock.patch("advisor.cli.weekends.advice_for", once):
            both("weekends", "weekends")
        saturday = on + dt.timedelta(days=(5 - on.weekday()) % 7)
        both("workplan", "workplan", "--from", saturday.isoformat(), "--days", "3")
        both("year", "year")
        calendar = scratch / "year.ics"
        said("year", where, *day, "--ics", str(calendar))
        texts["calendar"] = calendar.read_text(encoding="utf-8")
    # Commands to be typed name the folder and the day that were asked about.
    for view, text in texts.items():
        texts[view] = text.replace(f" --on {on.isoformat()}", "").replace(where, "the-lawn")
    return Views(on, texts, forms)
