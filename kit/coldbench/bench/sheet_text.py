"""Write sheets the way a careful person would: plain TOML, comments where they help."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import Any

BARE = re.compile(r"[A-Za-z0-9_-]+")


class Inline(dict):
    """A table that is written on one line, in braces."""


def toml_text(table: Mapping[str, Any]) -> str:
    """A table as TOML.

    Parameters
    ----------
    table : mapping
        Text, numbers, truth values, dates, lists of those, ``Inline`` tables, tables and lists of
        tables. A key that begins with ``#`` is a comment line; the first of a table stands above
        its heading.

    Returns
    -------
    str
        Ends with a line feed.

    Examples
    --------
    >>> print(toml_text({"title": "Cans", "load": [{"count": 4, "can": Inline(mass="13 g")}]}))
    title = "Cans"
    <BLANKLINE>
    [[load]]
    count = 4
    can = { mass = "13 g" }
    <BLANKLINE>
    """
    return "\n".join(_lines(table, "")).lstrip("\n") + "\n"


def _lines(table: Mapping[str, Any], above: str) -> list[str]:
    """Plain values first, as TOML wants it, then tables and lists of tables."""
    lines = []
    for key, value in table.items():
        if key.startswith("#"):
            lines.append(f"# {value}")
        elif not _is_table(value) and not _is_tables(value):
            lines.append(f"{_key(key)} = {_value(value)}")
    for key, value in table.items():
        name = f"{above}{_key(key)}"
        if _is_table(value):
            lines += _headed(value, f"[{name}]", name)
        elif _is_tables(value):
            for one in value:
                lines += _headed(one, f"[[{name}]]", name)
    return lines


def _headed(table: Mapping[str, Any], heading: str, name: str) -> list[str]:
    """A table below its heading; a single one that only holds tables needs none."""
    first, *rest = table
    if not heading.startswith("[[") and all(_is_table(value) for value in table.values()):
        return _lines(table, f"{name}.")
    if first.startswith("#"):
        remaining = {key: table[key] for key in rest}
        return ["", f"# {table[first]}", heading, *_lines(remaining, f"{name}.")]
    return ["", heading, *_lines(table, f"{name}.")]


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping) and not isinstance(value, Inline)


def _is_tables(value: Any) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(_is_table(v) for v in value)


def _key(key: str) -> str:
    return key if BARE.fullmatch(key) else _text(key)


def _text(value: str) -> str:
    escaped = value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dt.datetime | dt.date):
        return value.isoformat()
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, Inline):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    return "[" + ", ".join(_value(one) for one in value) + "]"
