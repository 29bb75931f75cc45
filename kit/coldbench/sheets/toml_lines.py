"""Lines of keys in TOML text.

The standard library's reader gives values without their places. This scanner runs over text that
the reader has accepted, so it needs no grammar: it tells tables, keys and the end of a value
apart, no more.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter

from coldbench.sheets.places import Path

# One piece of a dotted key: bare, in double or in single quotes.
_KEY = re.compile(r"""\s*([A-Za-z0-9_-]+|"(?:[^"\\]|\\.)*"|'[^']*')\s*""")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|' r"'''.*?'{3,5}|" r'"(?:[^"\\\n]|\\.)*"|' r"'[^'\n]*'", re.DOTALL
)


def key_lines(text: str) -> dict[Path, int]:
    """Line of every key and table.

    Parameters
    ----------
    text : str
        TOML that the standard library's reader accepts.

    Returns
    -------
    dict
        By path: keys, and positions in arrays of tables. Keys of an inline table have no line of
        their own; they stand where the key in front of the braces does.

    Examples
    --------
    >>> key_lines('a = 1\\n[[log]]\\nfile = "x"')
    {('a',): 1, ('log',): 2, ('log', 0): 2, ('log', 0, 'file'): 3}
    """
    found: dict[Path, int] = {}
    tables: Counter[Path] = Counter()
    table: Path = ()
    at, line = 0, 1
    while at < len(text):
        begin = at
        if text[at] == "#":
            at = _end_of_line(text, at)
        elif text[at].isspace():
            at += 1
        elif text[at] == "[":
            is_list = text.startswith("[[", at)
            keys, at = _dotted(text, at + 1 + is_list)
            table = _inside(keys, tables)
            found.setdefault(table, line)
            if is_list:
                table = (*table, tables[table])
                tables[table[:-1]] += 1
                found[table] = line
            at = _end_of_line(text, at)
        else:
            keys, at = _dotted(text, at)
            for depth in range(len(keys)):
                found.setdefault((*table, *keys[: depth + 1]), line)
            at = _end_of_value(text, at + 1)
        line += text.count("\n", begin, at)
    return found


def _inside(keys: list[str], tables: Counter[Path]) -> Path:
    """Path of a heading: below an array of tables it belongs to the last one."""
    path: Path = ()
    for number, name in enumerate(keys):
        path = (*path, name)
        if path in tables and number < len(keys) - 1:
            path = (*path, tables[path] - 1)
    return path


def _dotted(text: str, at: int) -> tuple[list[str], int]:
    keys = []
    while piece := _KEY.match(text, at):
        keys.append(_bare(piece[1]))
        at = piece.end()
        if not text.startswith(".", at):
            break
        at += 1
    return keys, at


def _bare(piece: str) -> str:
    if piece[0] == "'":
        return piece[1:-1]
    # The reader knows the escapes of a quoted key.
    return tomllib.loads(f"k = {piece}")["k"] if piece[0] == '"' else piece


def _end_of_line(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end


def _end_of_value(text: str, at: int) -> int:
    depth = 0
    while at < len(text):
        sign = text[at]
        if sign in "\"'":
            at = _STRING.match(text, at).end()
            continue
        if sign == "#":
            at = _end_of_line(text, at)
            continue
        if sign == "\n" and depth == 0:
            return at
        depth += (sign in "[{") - (sign in "]}")
        at += 1
    return at
