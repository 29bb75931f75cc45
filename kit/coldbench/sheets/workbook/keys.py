"""The keys of a sheet as cells: taken from the models, so that a new key appears by itself."""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, WithJsonSchema
from pydantic.fields import FieldInfo

from coldbench.quantities import Quantity
from coldbench.sheets.roles import ROLE_KINDS
from coldbench.sheets.types import Sheet, quantity_schema


@dataclass(frozen=True)
class Key:
    """One key of a sheet, wherever in its tables.

    Parameters
    ----------
    path : tuple of str
        Steps from the top of its sheet.
    types : frozenset of type
        What its value may be once it is read.
    words : str
        What it means.
    hint : str
        How it is written, with its units.
    example : str
        One value.
    choices : tuple of str
        What may be chosen.
    strict : bool
        Whether nothing else may stand there.
    many : bool
        Whether it may be given several times.
    pairs : bool
        Whether each value is a pair, ``"4 °C to 8 °C"``.
    needed : bool
        Whether it has to be there where its table is.
    """

    path: tuple[str, ...]
    types: frozenset[type]
    words: str
    hint: str = ""
    example: str = ""
    choices: tuple[str, ...] = ()
    strict: bool = False
    many: bool = False
    pairs: bool = False
    needed: bool = False

    @property
    def name(self) -> str:
        """Heading of its column: ``container.mass``."""
        return ".".join(self.path)


def keys_of(model: type[Sheet], above: tuple[str, ...] = ()) -> Iterator[Key]:
    """Keys of a model that take one cell each, those of inner tables included.

    Parameters
    ----------
    model : type
        Model of a sheet or table.
    above : tuple of str
        Steps that lead to it.

    Yields
    ------
    Key
        In the model's order; lists and maps of tables are left out, they have pages of their own.

    Examples
    --------
    >>> from coldbench.sheets.run import LoadSheet
    >>> [key.name for key in keys_of(LoadSheet)][:4]
    ['count', 'water', 'container.material', 'container.mass']
    """
    fields = fields_of(model)
    for name in model.known_keys():
        if name not in fields:
            yield _role_key((*above, name), name)
        elif outer(fields[name].annotation) is not None and table_in(fields[name].annotation):
            continue
        elif (inner := table_in(fields[name].annotation)) is not None:
            yield from keys_of(inner, (*above, name))
        else:
            yield _key((*above, name), fields[name])


def fields_of(model: type[Sheet]) -> dict[str, FieldInfo]:
    """Fields of a model by the key as it is written."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def table_in(annotation: Any) -> type[Sheet] | None:
    """Model of the table that a key holds, alone or in a list or map."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((one for one in map(table_in, _inner(annotation)) if one), None)


def outer(annotation: Any) -> type | None:
    """``list`` or ``dict`` where a key holds several values, else None."""
    origin = get_origin(annotation)
    if origin in (Annotated, Union, types.UnionType):
        return next((one for one in map(outer, _inner(annotation)) if one), None)
    return origin if origin in (list, dict) else None


def words_at(model: type[Sheet], path: tuple[str, ...]) -> str:
    """What the table at a path means."""
    field = fields_of(model)[path[0]]
    inner = table_in(field.annotation)
    return words_at(inner, path[1:]) if path[1:] and inner else field.description or ""


def needed_tables(model: type[Sheet]) -> dict[str, type]:
    """Inner tables without which a table is never complete."""
    return {name: field.annotation for name, field in fields_of(model).items()
            if field.is_required() and table_in(field.annotation)}


def _key(path: tuple[str, ...], field: FieldInfo) -> Key:
    schema = next(_schemas(field), {})
    loose = next((one["enum"] for one in schema.get("anyOf", ()) if "enum" in one), ())
    choices = tuple(schema.get("enum", loose))
    examples = schema.get("examples", choices)
    depth = _depth(field.annotation)
    return Key(
        path, frozenset(_leaves(field.annotation)), _bare(field.description),
        hint=_bare(schema.get("description")), example=str(examples[0]) if examples else "",
        choices=choices, strict="enum" in schema, many=depth > 0, pairs=depth > 1,
        needed=field.is_required() or any(getattr(m, "min_length", 0) for m in field.metadata),
    )


def _role_key(path: tuple[str, ...], role: str) -> Key:
    schema = quantity_schema(ROLE_KINDS[role])
    return Key(path, frozenset({Quantity}), f"Reading of {role}.",
               hint=_bare(schema.get("description", "A plain number.")),
               example=str(schema["examples"][0]))


def _bare(text: str | None) -> str:
    """Quotes are TOML's; in a cell they would be part of the value."""
    return (text or "").replace('"', "")


def _inner(annotation: Any) -> tuple[Any, ...]:
    """Type arguments; what is noted beside a type is none."""
    arguments = get_args(annotation)
    return arguments[:1] if get_origin(annotation) is Annotated else arguments


def _leaves(annotation: Any) -> Iterator[type]:
    arguments = _inner(annotation)
    for one in arguments:
        yield from _leaves(one)
    if not arguments and annotation is not type(None):
        yield annotation


def _depth(annotation: Any) -> int:
    below = max(map(_depth, _inner(annotation)), default=0)
    return below + (get_origin(annotation) is list)


def _schemas(field: FieldInfo) -> Iterator[dict[str, Any]]:
    """What an editor is told of a value, from the outside in."""
    for one in field.metadata:
        if isinstance(one, WithJsonSchema):
            yield one.json_schema or {}
    waiting = [field.annotation]
    while waiting:
        annotation = waiting.pop(0)
        if get_origin(annotation) is Annotated:
            yield from (one.json_schema or {} for one in get_args(annotation)[1:]
                        if isinstance(one, WithJsonSchema))
        waiting += _inner(annotation)
