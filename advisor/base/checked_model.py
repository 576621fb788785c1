"""From a strict YAML document to a pydantic model, with each refusal at its line and column."""

from __future__ import annotations

from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, Strict, ValidationError

from advisor.base.problems import MOST_FOUND, BadInput, Place, Problem, did_you_mean
from advisor.base.strict_yaml import Document, Loc


class FileModel(BaseModel):
    """Base of all models read from files: frozen, no unknown keys, nothing coerced.

    A model is built when the first file is read with it, since most commands read few kinds.
    """

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        strict=True,
        defer_build=True,
        # A model that is first needed while a test's own clock runs finds a date of another class.
        arbitrary_types_allowed=True,
    )


M = TypeVar("M", bound=FileModel)
T = TypeVar("T")

# A YAML list, kept as a tuple (strict mode alone would refuse the list).
Listed = Annotated[tuple[T, ...], Strict(False)]

_SAID: dict[str, str] = {
    "string_type": "wanted text",
    "int_type": "wanted a whole number",
    "int_from_float": "wanted a whole number",
    "float_type": "wanted a number",
    "bool_type": "wanted true or false",
    "date_type": "wanted a date as YYYY-MM-DD",
    "tuple_type": "wanted a list",
    "list_type": "wanted a list",
    "dict_type": "wanted a mapping of keys to values",
    "model_type": "wanted a mapping of keys to values",
    "greater_than": "must be over {gt:g}",
    "greater_than_equal": "must be at least {ge:g}",
    "less_than": "must be under {lt:g}",
    "less_than_equal": "must be at most {le:g}",
    "too_short": "wanted at least {min_length} in the list",
    "too_long": "wanted at most {max_length} in the list",
    "string_too_short": "wanted at least {min_length} character",
}


def check_document(model: type[M], document: Document) -> M:
    """The document as a `model`. Raises `BadInput` with every refusal at its place."""
    if not isinstance(document.data, dict):
        what = f"found {_kind(document.data)}; wanted keys such as {_some_keys(model)}"
        raise BadInput.at(document.place(()), what)
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        told = [e for e in error.errors() if not _echo(e)][:MOST_FOUND]
        raise BadInput(_problem(model, document, e) for e in told) from None


def _echo(error: Any) -> bool:
    """Whether a list is called too short only because some of its items were refused."""
    given = error["input"]
    listed = error["type"] == "too_short" and isinstance(given, (list, tuple))
    return bool(listed and len(given) >= error["ctx"]["min_length"])


def _problem(model: type[FileModel], document: Document, error: Any) -> Problem:
    loc: Loc = tuple(error["loc"])
    name = ".".join(str(part) for part in loc)
    if error["type"] == "extra_forbidden":
        known = list(_fields_at(model, loc[:-1]))
        hint = did_you_mean(str(loc[-1]), known) or f"; known: {', '.join(known)}"
        return Problem(document.place(loc, key=True), f"unknown key '{loc[-1]}'{hint}")
    if error["type"] == "missing":
        where = ".".join(str(part) for part in loc[:-1])
        inside = f" in '{where}'" if where else ""
        return Problem(document.place(loc[:-1]), f"key '{loc[-1]}' is missing{inside}; add it")
    said = f"{name}: {_said(error)}" if name else _said(error)
    return Problem(document.place(loc), said)


def _said(error: Any) -> str:
    if error["type"] == "value_error":
        return str(error["ctx"]["error"])
    context = error.get("ctx", {})
    found = _kind(error["input"])
    if error["type"] == "literal_error":
        expected = context["expected"]
        hint = did_you_mean(str(error["input"]), expected.split("'")[1::2])
        return f"wanted {expected}; found {found}{hint}"
    said = _SAID.get(error["type"])
    return f"{said.format(**context) if said else error['msg']}; found {found}"


def _kind(value: Any) -> str:
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list):
        return "a list" if value else "an empty list"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{value}'"
    return "nothing" if value is None else str(value)


def _some_keys(model: type[FileModel]) -> str:
    return ", ".join(f"'{name}'" for name in list(_fields(model))[:3])


def _fields_at(model: type[FileModel], loc: Loc) -> dict[str, Any]:
    """The fields of the model nested at `loc`; list indices and mapping keys are stepped over."""
    fields = _fields(model)
    for part in loc:
        if part in fields:
            nested = _nested_model(fields[str(part)].annotation)
            if nested is not None:
                fields = _fields(nested)
    return fields


def _fields(model: type[FileModel]) -> dict[str, Any]:
    """The fields by the key that stands in the file."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _nested_model(annotation: Any) -> type[FileModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, FileModel):
        return annotation
    for argument in getattr(annotation, "__args__", ()):
        found = _nested_model(argument)
        if found is not None:
            return found
    return None


def at(document: Document, *loc: str | int) -> Place:
    """Shorthand for the place of a location."""
    return document.place(tuple(loc))
