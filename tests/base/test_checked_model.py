"""Every refusal of a model is told at its line and column, in plain words."""

from __future__ import annotations

from typing import Annotated, Literal

import pytest
from pydantic import Field, model_validator

from advisor.base.checked_model import FileModel, Listed, at, check_document
from advisor.base.problems import BadInput, Place
from advisor.base.strict_yaml import load_text


class Part(FileModel):
    name: str
    size: float = Field(default=1, ge=0, lt=10)


class Whole(FileModel):
    format: Literal[1]
    tone: Literal["loud", "soft"] = "soft"
    parts: Annotated[Listed[Part], Field(min_length=1)] = (Part(name="default"),)
    by_name: dict[str, Part] = {}

    @model_validator(mode="after")
    def _no_seven(self) -> Whole:
        if any(part.size == 7 for part in self.parts):
            raise ValueError("no part may be 7")
        return self


def told(text: str) -> list[str]:
    with pytest.raises(BadInput) as caught:
        check_document(Whole, load_text(text, "f"))
    return [str(problem) for problem in caught.value.problems]


def test_a_good_document() -> None:
    document = load_text("format: 1\nparts: [{name: a, size: 3}]\nby_name: {b: {name: b}}", "f")
    whole = check_document(Whole, document)
    assert whole.parts == (Part(name="a", size=3.0),)
    assert at(document, "parts", 0, "size") == Place("f", 2, 25)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("parts: []", ["f:1:1: key 'format' is missing; add it",
                       "f:1:8: parts: wanted at least 1 in the list; found an empty list"]),
        ("format: 2", ["f:1:9: format: wanted 1; found 2"]),
        ("format: '1'", ["f:1:9: format: wanted 1; found '1'"]),
        ("format: 1\ntone: lout",
         ["f:2:7: tone: wanted 'loud' or 'soft'; found 'lout', did you mean 'loud'?"]),
        ("format: 1\nparts: 3", ["f:2:8: parts: wanted a list; found 3"]),
        ("format: 1\nparts: [3]",
         ["f:2:9: parts.0: wanted a mapping of keys to values; found 3"]),
        ("format: 1\nparts: [{name: 3}]", ["f:2:16: parts.0.name: wanted text; found 3"]),
        ("format: 1\nparts: [{name: a, size: 10}]",
         ["f:2:25: parts.0.size: must be under 10; found 10"]),
        ("format: 1\nparts: [{name: a, size: -1}]",
         ["f:2:25: parts.0.size: must be at least 0; found -1"]),
        ("format: 1\nparts: [{name: a, size: true}]",
         ["f:2:25: parts.0.size: wanted a number; found true"]),
        ("format: 1\nparts: [{nam: a}]", ["f:2:9: key 'name' is missing in 'parts.0'; add it",
                                          "f:2:10: unknown key 'nam', did you mean 'name'?"]),
        ("format: 1\nby_name: {b: {zzz: 1, name: b}}",
         ["f:2:15: unknown key 'zzz'; known: name, size"]),
        ("format: 1\nparts: [{name: a, size: 7}]", ["f:1:1: no part may be 7"]),
        ("- 1", ["f:1:1: found a list; wanted keys such as 'format', 'tone', 'parts'"]),
        ("word", ["f:1:1: found 'word'; wanted keys such as 'format', 'tone', 'parts'"]),
    ],
)  # fmt: skip
def test_refusals(text: str, wanted: list[str]) -> None:
    assert told(text) == wanted
