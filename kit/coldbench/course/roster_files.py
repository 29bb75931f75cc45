"""A roster's file as nested tables with places, whether TOML, CSV or workbook.

In a grid the first rows are settings, a key and its values; below the row that begins with ``id``
each row is a group.
"""

from __future__ import annotations

import csv
import io
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from coldbench.course.parameters import DRAWN
from coldbench.errors import Fault, UserError
from coldbench.sheets.places import Places
from coldbench.sheets.syntax import syntax_fault
from coldbench.sheets.toml_lines import key_lines
from coldbench.sheets.workbook.book import grids_of
from coldbench.sheets.workbook.cells import TRUTH, is_blank, text_of

LARGEST = 2_000_000  # bytes
DELIMITERS = ";\t,"  # of a CSV file; the first that its heading row has
FORMS = "class.toml, or a roster as .csv, .xlsx or .ods"
HEAD = "id"
LISTS = ("cards",)


def read_table(file: Path) -> tuple[dict[str, Any], Places]:
    """A roster's tables and where each key stands.

    Parameters
    ----------
    file : Path
        The roster.

    Returns
    -------
    table : dict
    places : dict

    Raises
    ------
    UserError
        No such file, or it cannot be read; the message shows no line that may hold a name.
    """
    suffix = file.suffix.lower()
    if not file.is_file():
        raise UserError(Fault("there is no such roster", found=str(file), allowed=FORMS))
    if suffix == ".toml":
        return _from_toml(file)
    if suffix == ".csv":
        rows = _csv_rows(file)
        return _from_grid(rows, lambda row, column: f"{file.name}:{row + 1}", file.name)
    if suffix in (".xlsx", ".ods"):
        faults: list[Fault] = []
        grids = list(grids_of(file, faults).values())
        if faults or not grids:
            raise UserError(faults or [Fault("the workbook has no page", file.name)])
        return _from_grid(grids[0].rows, grids[0].where, file.name)
    raise UserError(Fault("this is no roster", found=file.name, allowed=FORMS))


def _text(file: Path) -> str:
    try:
        if file.stat().st_size > LARGEST:
            raise UserError(Fault("this is too large for a roster", file.name))
        # Some Windows editors put a byte order mark in front.
        return file.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except OSError as error:
        raise UserError(Fault("the roster cannot be opened", file.name,
                              found=error.strerror or "")) from None
    except UnicodeDecodeError:
        raise UserError(Fault("the roster is not UTF-8 text", file.name,
                              do="save it as UTF-8 in the editor")) from None


def _from_toml(file: Path) -> tuple[dict[str, Any], Places]:
    text = _text(file)
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        told = syntax_fault(file.name, text, error)
        # Neither the line nor a mend made from it: it may be a line with names.
        raise UserError(Fault(told.what, told.where,
                              do="one key a line, text in straight quotes, lists in [ … ]")
                        ) from None
    lines = key_lines(text)
    return table, {(): f"{file.name}:1"} | {k: f"{file.name}:{n}" for k, n in lines.items()}


def _csv_rows(file: Path) -> list[list[str]]:
    text = _text(file)
    lines = text.splitlines()
    heading = next((line for line in lines if line.lstrip('"').lower().startswith(HEAD)), "")
    delimiter = next((sign for sign in DELIMITERS if sign in heading), ",")
    return list(csv.reader(io.StringIO(text), delimiter=delimiter))


def _from_grid(
    rows: list[list[object]], where: Callable[[int, int], str], name: str
) -> tuple[dict[str, Any], Places]:
    table: dict[str, Any] = {}
    places: Places = {(): where(0, 0)}
    headings: list[str] = []
    for number, row in enumerate(rows):
        if all(map(is_blank, row)) or text_of(row[0]).startswith("#"):
            continue
        if headings:
            _group(table, places, headings, row, lambda column, n=number: where(n, column))
        elif text_of(row[0]).lower() == HEAD:
            headings = [text_of(cell).lower() for cell in row]
            places[("group",)] = where(number, 0)
        else:
            _setting(table, places, row, where(number, 0))
    if not headings:
        raise UserError(Fault("the roster has no row of headings that begins with id", name,
                              do="below it each row is a group: id, names, makeup, …"))
    return table, places


def _setting(table: dict[str, Any], places: Places, row: list[object], where: str) -> None:
    name = text_of(row[0])
    values = [_value(cell) for cell in row[1:] if not is_blank(cell)]
    path = ("parameters", name) if name in DRAWN else (name,)
    places[path] = where
    holder = table.setdefault("parameters", {}) if name in DRAWN else table
    several = name in LISTS or (name in DRAWN and len(values) != 1)
    holder[name] = values if several else values[0] if values else ""
    if name == "seed" and isinstance(holder[name], str) and holder[name].isdecimal():
        holder[name] = int(holder[name])


def _group(
    table: dict[str, Any], places: Places, headings: list[str], row: list[object],
    where: Callable[[int], str],
) -> None:
    groups = table.setdefault("group", [])
    path = ("group", len(groups))
    entry: dict[str, Any] = {}
    places[path] = where(0)
    for column, (heading, cell) in enumerate(zip(headings, row, strict=False)):
        if heading and not heading.startswith("#") and not is_blank(cell):
            entry[heading] = _value(cell)
            places[(*path, heading)] = where(column)
    if "makeup" in entry:
        entry["makeup"] = TRUTH.get(str(entry["makeup"]).lower(), entry["makeup"])
    groups.append(entry)


def _value(cell: object) -> object:
    return cell if isinstance(cell, bool) else text_of(cell)
