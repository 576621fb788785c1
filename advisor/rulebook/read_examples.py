"""Inline examples of a rule file: facts in, verdict or truth out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, get_args

from advisor.base.checked_model import FileModel
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document
from advisor.base.units import UnitError
from advisor.facts.fact import Vocabulary
from advisor.rulebook.model import Example, Grass, VerdictName
from advisor.rulebook.read_conditions import read_value

_TRUTHS = ("true", "false", "unknown")
_VERDICTS: tuple[str, ...] = get_args(VerdictName)


class ExampleEntry(FileModel):
    """`like` names an earlier example whose facts are taken over; null removes one.

    The traits of the grass are facts of every example.
    """

    name: str
    grass: str | None = None
    like: str | None = None
    of: str = ""
    facts: dict[str, Any] = {}
    window: Literal["before", "open", "over", "unknown"] = "open"
    lasting: bool = False
    expect: str | bool | None


def read_examples(
    entries: list[ExampleEntry],
    vocabulary: Vocabulary,
    grasses: Mapping[str, Grass],
    document: Document,
    problems: Problems,
) -> tuple[Example, ...]:
    """The examples in file order; what does not hold together goes to `problems`."""
    found: dict[str, Example] = {}
    stated: dict[str, dict[str, float | bool | str]] = {}
    for i, entry in enumerate(entries):
        loc = ("examples", i)
        place = document.place(loc)
        if entry.name in found:
            problems.add(place, f"example '{entry.name}' stands twice; give it another name")
        base = found.get(entry.like or "")
        if entry.like and base is None:
            near = did_you_mean(entry.like, found)
            problems.add(document.place((*loc, "like")), f"no earlier example '{entry.like}'{near}")
        grass = entry.grass or (base.grass if base else "")
        if grass not in grasses and not (entry.like and base is None and not grass):
            near = did_you_mean(grass, grasses)
            problems.add(document.place((*loc, "grass")), f"grass '{grass}' has no file{near}")
        facts = dict(stated[base.name]) if base else {}
        for name, raw in entry.facts.items():
            at = document.place((*loc, "facts", name))
            if raw is None:
                facts.pop(name, None)
                continue
            try:
                facts[name] = read_value(raw, vocabulary[name])
            except KeyError:
                near = did_you_mean(name, vocabulary)
                problems.add(at, f"fact '{name}' is not in facts.yaml{near}")
            except UnitError as error:
                problems.add(at, f"{name}: {error}")
        stated[entry.name] = facts
        expect = _word(entry.expect)
        allowed = _TRUTHS if entry.of else _VERDICTS
        if expect not in allowed:
            what = f"expect: '{expect}' is not one of {', '.join(allowed)}"
            at = document.place((*loc, "expect"))
            problems.add(at, what + did_you_mean(expect, allowed))
        traits = grasses[grass].traits if grass in grasses else {}
        found[entry.name] = Example(
            name=entry.name,
            grass=grass,
            facts={**traits, **facts},
            expect=expect,
            window=entry.window,
            lasting=entry.lasting,
            of=entry.of,
            place=place,
        )
    return tuple(found.values())


def _word(expect: str | bool | None) -> str:
    """`unknown` for null, so that every expectation is a word."""
    if expect is None:
        return "unknown"
    return str(expect).lower() if isinstance(expect, bool) else expect
