"""Where keys of sheets stand: file and line, or the cell of a workbook."""

from __future__ import annotations

import re

# Steps from a sheet's top: keys, and positions in lists.
Path = tuple[str | int, ...]
# Text of the place of each path, such as "runs/a.toml:4"; the empty path is the sheet itself.
Places = dict[Path, str]

_PLACE = re.compile(r"(?P<file>.*?):(?: (?P<page>.+)!(?P<column>[A-Z]+))?(?P<number>\d+)")


def place_of(places: Places, path: Path, otherwise: str) -> str:
    """Place of a path, or of the nearest table or key around it.

    Parameters
    ----------
    places : dict
        Of one sheet.
    path : tuple
        Steps to a key.
    otherwise : str
        Where nothing around it has a place.

    Examples
    --------
    >>> place_of({("outside",): "coolers/a.toml:4"}, ("outside", "width"), "")
    'coolers/a.toml:4'
    """
    for depth in range(len(path), -1, -1):
        if path[:depth] in places:
            return places[path[:depth]]
    return otherwise


def place(places: dict[str, Places], file: str, path: Path) -> str:
    """Place of a key in one of several sheets.

    Examples
    --------
    >>> place({"runs/a.toml": {("log",): "runs/a.toml:4"}}, "runs/a.toml", ("log", 0))
    'runs/a.toml:4'
    """
    return place_of(places.get(file, {}), path, f"{file}:1")


def in_order(where: str, first: str) -> tuple[bool, str, str, int, int, str]:
    """Sort key of a place: file, page of a workbook, line or row, column.

    Parameters
    ----------
    where : str
        The place.
    first : str
        File that comes before all others.

    Examples
    --------
    >>> sorted(["b.toml:2", "a.toml:10", "a.toml:9"], key=lambda where: in_order(where, "b.toml"))
    ['b.toml:2', 'a.toml:9', 'a.toml:10']
    """
    found = _PLACE.fullmatch(where)
    if found is None:
        return (where != first, where, "", 0, 0, "")
    column = found["column"] or ""
    return (found["file"] != first, found["file"], found["page"] or "", int(found["number"]),
            len(column), column)
