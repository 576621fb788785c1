"""All views of a lawn on a day read back: what they claim, and the values that no field has."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from accounts import Data
from claims import Contradiction, contradictions
from orphans import Value, orphan, values
from passages import Passage, Splitter
from reader import Claim, Reader, html_lines


@dataclass(frozen=True)
class ReadBack:
    """titles: of the jobs by id. forms: the data behind the views, by command."""

    parts: tuple[str, ...]
    on: dt.date
    titles: Mapping[str, str]
    forms: Mapping[str, Any]

    @cached_property
    def reader(self) -> Reader:
        return Reader(tuple(self.titles.values()), self.parts, self.on)

    @cached_property
    def splitter(self) -> Splitter:
        return Splitter(self.reader)

    @cached_property
    def _read(self) -> dict[tuple[str, str], tuple[list[Claim], list[Value]]]:
        return {}

    def _of(self, view: str, text: str) -> tuple[list[Claim], list[Value]]:
        """Claims and values of a view, each text read once."""
        if (view, text) not in self._read:
            found = list(values(view, self.passages(view, text), self.data))
            self._read[view, text] = list(self._claims(view, text)), found
        return self._read[view, text]

    def claims(self, view: str, text: str) -> list[Claim]:
        """What a view claims."""
        return self._of(view, text)[0]

    def values(self, view: str, text: str) -> list[Value]:
        """The values of a view, but for those in texts of the rules."""
        return self._of(view, text)[1]

    def _claims(self, view: str, text: str) -> Iterator[Claim]:
        read, name = self.reader, view.split()[0]
        if view == "week page":
            yield from read.digest(view, html_lines(text))
        elif name == "week":
            yield from read.digest(view, text.splitlines())
        elif name == "ask":
            yield from read.answers(name, text)
        elif name == "workplan":
            yield from read.plan(view, text)
            yield from read.plan_json(view, self.forms["workplan"], dict(self.titles))
        elif name in ("amounts", "year", "calendar"):
            yield from getattr(read, name)(view, text)

    def orphans(self, view: str, text: str) -> list[Contradiction]:
        """The values of a view that belong to no field."""
        return [orphan(view, value) for value in self.values(view, text) if not value.known]

    def passages(self, view: str, text: str) -> Iterable[Passage]:
        split = self.splitter
        if view == "week page":
            return split.page(text)
        if view == "calendar":
            return split.calendar(text, (self.forms["week"]["plan"] or {}).get("time_zone"))
        if view.startswith("ask"):
            return split.answers(text)
        return split.passages(text.splitlines())

    @cached_property
    def data(self) -> Data:
        return Data(self.forms, self.titles)

    @cached_property
    def told(self) -> list[Claim]:
        """What the data claim."""
        return list(self.reader.advice("data", self.forms["week"]))

    def all(self, texts: Mapping[str, str]) -> list[Contradiction]:
        """Contradictions between all views, and the orphans of each."""
        claims = [claim for view, text in texts.items() for claim in self.claims(view, text)]
        alone = [each for view, text in texts.items() for each in self.orphans(view, text)]
        return [*contradictions([*self.told, *claims], self.parts), *alone]
