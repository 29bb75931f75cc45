"""Cells of a workbook: their names, and what their content means to a key."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

from coldbench.quantities import ErrorLimit, Quantity
from coldbench.sheets.types import LOCAL_TIME
from coldbench.sheets.workbook.keys import Key

TRUTH = {"true": True, "false": False, "yes": True, "no": False}
# Choices that cannot be seen in a cell, and how they are spelt there.
SPELT = {"\t": "tab", " ": "one blank", "  ": "two blanks"}
PAIR = " to "
_WHOLE = re.compile(r"[+-]?\d+")
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_AS_TEXT = "format the cell as text, then type it again"
MADE_TIME = f"the spreadsheet program made a date or time of what was typed: {_AS_TEXT}"


def cell_name(row: int, column: int) -> str:
    """Name of a cell, counted from 0.

    Examples
    --------
    >>> cell_name(6, 2), cell_name(0, 26)
    ('C7', 'AA1')
    """
    letters, column = "", column + 1
    while column:
        column, letter = divmod(column - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return f"{letters}{row + 1}"


def is_blank(cell: object) -> bool:
    """Whether nothing stands in a cell."""
    return cell is None or (isinstance(cell, str) and not cell.strip())


def is_time(cell: object) -> bool:
    """Whether a cell holds a date, a time of day or a length of time."""
    return isinstance(cell, dt.date | dt.time | dt.timedelta)


def text_of(cell: object) -> str:
    """A heading or an id, as it is seen.

    Examples
    --------
    >>> text_of(" chest "), text_of(3.0), text_of(None)
    ('chest', '3', '')
    """
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return "" if cell is None else str(cell).strip()


def value_of(cell: object, key: Key) -> Any:
    """What a cell says, as TOML would give it to the model; doubtful content as it is.

    Parameters
    ----------
    cell : object
        Text, number, truth value, date or time.
    key : Key
        What it is said of.

    Returns
    -------
    object
        Text stays text where a quantity is wanted; the model refuses what does not fit.

    Examples
    --------
    >>> from coldbench.sheets.workbook.keys import Key
    >>> value_of("2031-06-14", Key(("date",), frozenset({dt.date}), ""))
    datetime.date(2031, 6, 14)
    """
    if isinstance(cell, str):
        return _typed(cell.strip(), key)
    if isinstance(cell, float) and cell.is_integer() and not isinstance(cell, bool):
        if int in key.types:
            return int(cell)
        return text_of(cell) if str in key.types else cell
    return cell


def cell_of(value: Any, key: Key) -> str | float | bool:
    """What is written into a cell, so that :func:`value_of` gives the value back.

    Parameters
    ----------
    value : object
        As TOML gives it.
    key : Key
        What it is said of.

    Returns
    -------
    str or float or bool
        Dates as ISO text, which no spreadsheet program rounds.
    """
    if key.pairs:
        return PAIR.join(value)
    if isinstance(value, dt.datetime):
        return value.isoformat(" ")
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, str):
        return SPELT.get(value, value)
    if not isinstance(value, bool) and float(f"{value:.16G}") != value:
        return repr(value)  # a workbook keeps 16 digits
    return value


def note_of(cell: object, key: Key) -> str:
    """What to do if the model refuses a cell because of what a spreadsheet program made of it."""
    if isinstance(cell, dt.date) and not isinstance(cell, dt.datetime):
        if dt.datetime in key.types:
            return "write date and time: 2031-06-14 09:00:00"
    if is_time(cell):
        return MADE_TIME
    if isinstance(cell, bool) and bool not in key.types:
        return f"the cell holds a truth value: {_AS_TEXT}"
    if isinstance(cell, float) and key.types & {Quantity, ErrorLimit}:
        return f"write it with its unit, as text: {_example(cell, key)}"
    if isinstance(cell, float) and str in key.types:
        return f"the cell holds a number: {_AS_TEXT}"
    return ""


def _example(cell: float, key: Key) -> str:
    """The number with the unit of the example; a share of a cell in per cent is no number of it."""
    unit = re.sub(r"^[-+\d.\s]+", "", key.example)
    return key.example if unit == "%" else f"{cell:.12g} {unit}"


def _typed(text: str, key: Key) -> Any:
    if key.pairs:
        return [part.strip() for part in text.split(PAIR)]
    if bool in key.types:
        return TRUTH.get(text.casefold(), text)
    if int in key.types and _WHOLE.fullmatch(text):
        return int(text)
    if float in key.types and _NUMBER.fullmatch(text):
        return float(text)
    try:
        if dt.datetime in key.types and re.match(LOCAL_TIME, text):
            return dt.datetime.fromisoformat(text)
        if dt.date in key.types and _DAY.fullmatch(text):
            return dt.date.fromisoformat(text)
    except ValueError:
        return text
    return next((value for value, word in SPELT.items()
                 if word == text and value in key.choices), text)
