"""From a strict YAML document to a pydantic model, with each refusal at its line and column."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from advisor.base.problems import BadInput, Place, Problem, did_you_mean
from advisor.base.strict_yaml import Document, Loc


class FileModel(BaseModel):
    """Base of all models read from files: frozen, no unknown keys, nothing coerced."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


M = TypeVar("M", bound=FileModel)


def check_document(model: type[M], document: Document) -> M:
    """The document as a `model`. Raises `BadInput` with every refusal at its place."""
    if not isinstance(document.data, dict):
        what = f"found {_kind(document.data)}; wanted keys such as {_some_keys(model)}"
        raise BadInput.at(document.place(()), what)
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        raise BadInput(_problem(model, document, e) for e in error.errors()) from None


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
    said = str(error["msg"]).removeprefix("Value error, ")
    return Problem(document.place(loc), f"{name}: {said}{_found(error)}")


def _found(error: Any) -> str:
    if error["type"] == "value_error":
        return ""
    value = error["input"]
    return f"; found {_kind(value)}"


def _kind(value: Any) -> str:
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list):
        return "a list"
    return "nothing" if value is None else f"'{value}'"


def _some_keys(model: type[FileModel]) -> str:
    return ", ".join(f"'{name}'" for name in list(model.model_fields)[:3])


def _fields_at(model: type[FileModel], loc: Loc) -> dict[str, Any]:
    """The fields of the model nested at `loc`; list indices and mapping keys are stepped over."""
    fields: dict[str, Any] = dict(model.model_fields)
    for part in loc:
        if part in fields:
            nested = _nested_model(fields[str(part)].annotation)
            if nested is not None:
                fields = dict(nested.model_fields)
    return fields


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
