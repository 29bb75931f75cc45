"""From what a model refuses to what a person has to mend."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, get_args

from pydantic import BaseModel, ValidationError, WithJsonSchema

from coldbench.errors import Fault, nearest
from coldbench.quantities import QuantityError
from coldbench.sheets.places import Path
from coldbench.sheets.types import Sheet

SHAPES = {
    "model_type": ("a table is wanted here", "[{key}] on a line of its own, its keys below"),
    "dict_type": ("a table is wanted here", "[{key}] on a line of its own, its keys below"),
    "list_type": ("a list is wanted here", "{key} = [ … ], or [[{key}]] where it holds tables"),
    "too_short": ("the list is too short", ""),
    "too_long": ("the list is too long", ""),
}


def refused(
    model: type[Sheet], error: ValidationError, where: Callable[[Path], str]
) -> list[Fault]:
    """Faults of one sheet, one for each thing that its model refused.

    Parameters
    ----------
    model : type
        Model of the sheet.
    error : ValidationError
        What it raised.
    where : callable
        Gives the place of a key by its path.

    Returns
    -------
    list of Fault
        In pydantic's order.
    """
    return [
        _fault(model, one, where(one["loc"]))
        for one in error.errors(include_url=False)
    ]


def label(path: Path) -> str:
    """A key's path in print.

    Examples
    --------
    >>> label(("log", 0, "columns", "CH1"))
    'log 1, columns, CH1'
    """
    parts: list[str] = []
    for step in path:
        if isinstance(step, int) and parts:
            parts[-1] += f" {step + 1}"
        else:
            parts.append(str(step))
    return ", ".join(parts)


def from_quantity(error: QuantityError, where: str, path: Path) -> Fault:
    """The fault of one value, headed by its key."""
    return Fault(f"{label(path)}: {error.what}", where, error.found, error.allowed, error.do)


def _fault(model: type[Sheet], one: dict[str, Any], where: str) -> Fault:
    path, kind = one["loc"], one["type"]
    key = str(path[-1]) if path else ""
    if kind == "missing":
        return _missing(_model_at(model, path[:-1]), path, where)
    if kind == "extra_forbidden":
        return _unknown(model, path, where)
    raised = one.get("ctx", {}).get("error")
    if isinstance(raised, QuantityError):
        return from_quantity(raised, where, path)
    what, do = SHAPES.get(kind, ("this value is not understood", ""))
    limits = one.get("ctx", {})
    allowed = [f"{word} {limits[name]}" for name, word in
               (("min_length", "at least"), ("max_length", "at most")) if name in limits]
    return Fault(
        f"{label(path)}: {what}", where, found=_shown(one["input"]),
        allowed=", ".join(allowed), do=f"write {do.format(key=key)}" if do else "",
    )


def _missing(model: type[Sheet], path: Path, where: str) -> Fault:
    key = str(path[-1])
    field = next(f for name, f in model.model_fields.items() if (f.alias or name) == key)
    inside = f" in {label(path[:-1])}" if len(path) > 1 else ""
    return Fault(
        f"key {key!r} is missing{inside}", where, allowed=field.description or "",
        do=f"add a line: {key} = {_example(field)}",
    )


def _unknown(model: type[Sheet], path: Path, where: str) -> Fault:
    key = str(path[-1])
    known = _model_at(model, path[:-1]).known_keys()
    near = nearest(key, known)
    do = f"write {near}" if near else "remove it, or write what it says as a comment: # …"
    if not near and len(path) > 1 and key in model.known_keys():
        do = "move it above the first [table]; a key belongs to the table above it"
    inside = f" in {label(path[:-1])}" if len(path) > 1 else ""
    return Fault(f"unknown key {key!r}{inside}", where, found=key, allowed=", ".join(known), do=do)


def _model_at(model: type[Sheet], path: Path) -> type[Sheet]:
    """Model of the table at a path: list positions and free ids stay in the same model."""
    for step in path:
        field = next(
            (f for name, f in model.model_fields.items() if (f.alias or name) == step), None
        )
        if field is not None:
            model = _model_in(field.annotation) or model
    return model


def _model_in(annotation: Any) -> type[Sheet] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_model_in(inner) for inner in get_args(annotation))
    return next((one for one in found if one), None)


def _example(field: Any) -> str:
    for extra in field.metadata:
        if isinstance(extra, WithJsonSchema):
            schema = extra.json_schema or {}
            words = schema.get("examples") or schema.get("enum")
            if words:
                return json.dumps(words[0], ensure_ascii=False)
    return '"…"' if _model_in(field.annotation) is None else "{ … }"


def _shown(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= 80 else f"{text[:77]}…"
