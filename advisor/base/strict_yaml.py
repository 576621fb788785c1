"""YAML without surprises: every value keeps its line and column, nothing is guessed.

Only `true`/`false`, decimal numbers, `null`/empty and ISO dates are resolved; all other plain
scalars stay text, so `NO`, `on` and `1:30` are never turned into something else. Anchors, aliases,
tags, merge keys and repeated keys are errors.
"""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path
from typing import Any

import yaml

from advisor.base.problems import BadInput, Place, Problem, Problems
from advisor.base.record import Record
from advisor.base.text import control_in

Scalar = str | int | float | bool | dt.date | None
Loc = tuple[str | int, ...]

_LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_INTEGER = re.compile(r"[-+]?(0|[1-9][0-9]*)\Z")
_DECIMAL = re.compile(r"[-+]?([0-9]+\.[0-9]*|\.[0-9]+)\Z")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_WORDS: dict[str, Scalar] = {"true": True, "false": False, "null": None, "": None}
LARGEST_BYTES = 1_000_000
"""The longest of our own, the list of sources, has a quarter of it; a site file some 10 kB."""
_MOST_DIGITS = 18
_CLEVER = frozenset("&*!")
_DEEPEST = 40
"""Levels of nesting; our own files need a third of them."""
# What YAML 1.1 forbids, the line breaks that an editor does not count as lines, and what turns the
# direction of reading, so that a line does not say what it seems to.
_UNWANTED = re.compile(
    r"[^\t\r\x20-\x7e\xa0-\u2027\u202f-\u2065\u206a-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
)


class Document(Record, frozen=True):
    """Plain data (dict, list, scalars) with the place of each key and value.

    `places` maps a location such as `("areas", 0, "size")` to where its value stands, `keys` to
    where its key stands.
    """

    file: str
    data: Any
    places: dict[Loc, Place]
    keys: dict[Loc, Place]

    def place(self, loc: Loc, *, key: bool = False) -> Place:
        """The place of a location, or of its longest existing prefix."""
        table = self.keys if key else self.places
        for end in range(len(loc), -1, -1):
            found = table.get(loc[:end]) or self.places.get(loc[:end])
            if found:
                return found
        return Place(self.file, 1)


def load_file(path: Path, shown_as: str | None = None) -> Document:
    """Read a YAML file. Raises `BadInput` for an unreadable, broken or ambiguous file."""
    file = shown_as or str(path)
    try:
        if (size := path.stat().st_size) > LARGEST_BYTES:
            raise BadInput.at(Place(file), _too_large(size))
        raw = path.read_bytes()
    except FileNotFoundError:
        raise BadInput.at(Place(file), "no such file") from None
    except OSError as error:
        raise BadInput.at(Place(file), f"cannot be read: {error.strerror}") from None
    return load_bytes(raw, file)


def load_bytes(raw: bytes, file: str) -> Document:
    """Read YAML from bytes, which must be UTF-8. Raises `BadInput`."""
    if len(raw) > LARGEST_BYTES:
        raise BadInput.at(Place(file), _too_large(len(raw)))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        what = f"byte 0x{raw[error.start]:02x} is not UTF-8 text; save the file as UTF-8"
        raise BadInput.at(Place(file, line), what) from None
    return load_text(text, file)


def load_text(text: str, file: str) -> Document:
    """Read YAML from text. Raises `BadInput` listing every problem found."""
    for number, line in enumerate(text.split("\n"), 1):
        bad = _UNWANTED.search(line)
        if bad:
            what = f"control character 0x{ord(bad[0]):02x}; remove it"
            raise BadInput.at(Place(file, number, bad.start() + 1), what)
    problems = Problems()
    try:
        # Without these signs there can be no anchor, alias or tag, and a second reading is saved.
        if not _CLEVER.isdisjoint(text):
            for event in yaml.parse(text, Loader=_LOADER):
                _refuse_cleverness(event, file, problems)
            problems.raise_if_any()
        root = yaml.compose(text, Loader=_LOADER)
    except yaml.MarkedYAMLError as error:
        raise BadInput([_syntax_problem(error, text, file)]) from None
    except yaml.YAMLError as error:
        raise BadInput.at(Place(file, 1), f"not YAML: {error}") from None
    except RecursionError:  # of the parser in Python; the one in C has a bound of its own
        raise BadInput.at(Place(file, 1), _too_deep()) from None
    if root is None:
        raise BadInput.at(Place(file, 1), "the file is empty")
    document = Document(file, None, {}, {})
    data = _build(root, (), document, problems)
    problems.raise_if_any()
    return Document(file, data, document.places, document.keys)


def _too_large(size: int) -> str:
    return (
        f"{size / 1e6:,.1f} MB are too much for a file like this (at most "
        f"{LARGEST_BYTES / 1e6:.0f} MB); is this the file?"
    )


def _refuse_cleverness(event: Any, file: str, problems: Problems) -> None:
    if isinstance(event, yaml.AliasEvent):
        place = _place(event, file)
        problems.add(place, f"alias '*{event.anchor}' is not allowed; write the value out")
        return
    if getattr(event, "anchor", None):
        problems.add(
            _place(event, file), f"anchor '&{event.anchor}' is not allowed; write the value out"
        )
    tag = getattr(event, "tag", None)
    if tag and tag != "!":
        problems.add(_place(event, file), f"tag '{tag}' is not allowed; remove it")


def _syntax_problem(error: yaml.MarkedYAMLError, text: str, file: str) -> Problem:
    mark = error.problem_mark or error.context_mark
    if mark and error.context_mark and mark.index >= len(text.rstrip()):
        # What was opened and never closed is noticed at the end, but mended where it begins.
        mark = error.context_mark
    place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file, 1)
    said = (error.problem or str(error)).replace("\n", " ")
    return Problem(place, f"not YAML: {said}; check indentation, colons and quotes")


def _place(node: Any, file: str) -> Place:
    return Place(file, node.start_mark.line + 1, node.start_mark.column + 1)


def _build(node: yaml.Node, loc: Loc, document: Document, problems: Problems) -> Any:
    place = document.places[loc] = _place(node, document.file)
    if len(loc) > _DEEPEST:
        problems.add(place, _too_deep())
        return None
    if isinstance(node, yaml.MappingNode):
        return _build_mapping(node, loc, document, problems)
    if isinstance(node, yaml.SequenceNode):
        return [_build(item, (*loc, i), document, problems) for i, item in enumerate(node.value)]
    text = str(node.value)
    _refuse_control(text, place, problems)
    plain = not getattr(node, "style", None)  # the C loader gives "", the Python one None
    return _scalar(text, place, problems) if plain else text


def _refuse_control(text: str, place: Place, problems: Problems) -> None:
    """Quotes can hold by an escape what the text of a file cannot."""
    if not text.isprintable() and (bad := control_in(text)):
        problems.add(place, f"control character 0x{ord(bad):02x} by an escape; remove it")


def _too_deep() -> str:
    return f"nested deeper than {_DEEPEST} levels; wanted fewer"


def _build_mapping(
    node: yaml.MappingNode, loc: Loc, document: Document, problems: Problems
) -> dict[str, Any]:
    built: dict[str, Any] = {}
    for key_node, value_node in node.value:
        place = _place(key_node, document.file)
        if not isinstance(key_node, yaml.ScalarNode):
            problems.add(place, "a key must be a single word, not a list or mapping")
            continue
        key = str(key_node.value)
        _refuse_control(key, place, problems)
        if key == "<<":
            problems.add(place, "merge key '<<' is not allowed; write the values out")
            continue
        if key in built:
            first = document.keys[(*loc, key)]
            problems.add(place, f"key '{key}' stands twice (first on line {first.line}); keep one")
            continue
        document.keys[(*loc, key)] = place
        built[key] = _build(value_node, (*loc, key), document, problems)
    return built


def _scalar(text: str, place: Place, problems: Problems) -> Scalar:
    if text in _WORDS:
        return _WORDS[text]
    number = _INTEGER.match(text) or _DECIMAL.match(text)
    if number and len(text) > _MOST_DIGITS:
        problems.add(place, f"number '{text[:12]}…' has {len(text)} digits; write a shorter one")
        return None
    if _INTEGER.match(text):
        return int(text)
    if _DECIMAL.match(text):
        return float(text)
    if _DATE.match(text):
        try:
            return dt.date.fromisoformat(text)
        except ValueError:
            problems.add(place, f"'{text}' is no date of the calendar; write YYYY-MM-DD")
    return text
