"""The names of active ingredients (rules/actives.yaml), and where no text may name one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems
from advisor.base.strict_yaml import Document, Loc
from advisor.rulebook.actives import Active, Actives

FILE = "actives.yaml"
_FREE_FILES = (FILE, "ingredients.yaml", "sources.yaml")
"""What stands there is never said in an answer, or is a citation."""
_FREE_FOLDERS = ("laws/",)
_FREE_KEYS = frozenset({"options", "warns", "evidence", "examples", "choices", "is", "asked_as"})
"""What is gated, cited, tried out, asked of the keeper or heard from him."""
_TRACED = ("need", "windows", "ready", "conflicts", "waits")
"""Where what the evidence says is shown with the full trace of an answer."""


class _ActiveEntry(FileModel):
    group: str = Field("", alias="class")
    also: list[str] = []
    low_risk: bool = False


class _ActivesFile(FileModel):
    format: Literal[1]
    actives: dict[str, _ActiveEntry]


def read_actives(document: Document) -> Actives:
    """All active ingredients. Raises `BadInput`."""
    file = check_document(_ActivesFile, document)
    return Actives(
        {
            id: Active(id, entry.group, tuple(entry.also), entry.low_risk)
            for id, entry in file.actives.items()
        }
    )


def check_named(name: str, document: Document, actives: Actives, problems: Problems) -> None:
    """Complain of every text of a rule file that names an ingredient past the law."""
    if name in _FREE_FILES or name.startswith(_FREE_FOLDERS):
        return
    data = document.data
    if not isinstance(data, dict) or not isinstance(data.get("evidence", []), list):
        return  # The reader of this kind of file says so.
    for loc, text in _texts({**data, **_cited(data)}, (), actives):
        for id in sorted(actives.named_in(text)):
            what = (
                f"'{id}' is named as if it were allowed everywhere; list it under 'options', "
                "or under 'warns' where the text speaks against it"
            )
            problems.add(document.place(loc), what)


def _cited(data: Any) -> dict[str, Any]:
    """The traced parts of an operation file with what their evidence says in place of its id."""
    entries = [e for e in data.get("evidence", []) if isinstance(e, dict)]
    said = {str(e.get("id")): e.get("says", "") for e in entries}

    def shown(part: Any) -> Any:
        if isinstance(part, dict):
            cited = part.get("evidence", [])
            quoted = [said.get(str(id), "") for id in cited] if isinstance(cited, list) else []
            return {**{key: shown(value) for key, value in part.items()}, "quoted": quoted}
        return [shown(each) for each in part] if isinstance(part, list) else part

    return {key: shown(data[key]) for key in _TRACED if key in data}


def _texts(data: Any, loc: Loc, actives: Actives) -> Iterator[tuple[Loc, str]]:
    """Each text that an answer may say, without those that warn of the ingredient they name."""
    if isinstance(data, dict):
        warned = data.get("warns", [])
        for key, value in data.items():
            if key in _FREE_KEYS:
                continue
            for at, text in _texts(value, (*loc, key), actives):
                if not (warned and actives.named_in(text) <= set(warned)):
                    yield at, text
    elif isinstance(data, list):
        for i, value in enumerate(data):
            yield from _texts(value, (*loc, i), actives)
    elif isinstance(data, str):
        yield loc, data
