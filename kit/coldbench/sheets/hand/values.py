"""What a cell of a typed data sheet says: a number alone takes the unit of its head."""

from __future__ import annotations

import re

from coldbench.quantities import ErrorLimit, Quantity
from coldbench.sheets.workbook.cells import text_of
from coldbench.sheets.workbook.keys import Key

_HEAD = re.compile(r"(?P<label>.*?)\s*(?:\[(?P<unit>[^\]]*)\])?")
_NUMBER = re.compile(r"[+−-]?(\d+([.,]\d*)?|[.,]\d+)")
# A comma that cannot part thousands: after a nought, or not in front of three digits.
_COMMA = re.compile(r"([+−-]?(?:0*(?=,)|\d+(?=,(?!\d{3}$)))),(\d+)")


def split_head(text: str) -> tuple[str, str]:
    """Label and unit of a head.

    Examples
    --------
    >>> split_head("container mass [g]"), split_head("note")
    (('container mass', 'g'), ('note', ''))
    """
    found = _HEAD.fullmatch(text)
    return (found["label"], found["unit"] or "") if found else (text, "")


def typed(cell: object, key: Key, unit: str) -> object:
    """A cell's content, with the unit of its head where it is a number alone.

    Parameters
    ----------
    cell : object
        Text, number, truth value, date or time.
    key : Key
        What it is said of.
    unit : str
        ``""`` where none is known.

    Examples
    --------
    >>> from coldbench.sheets.hand.form import run_keys
    >>> typed(24.5, run_keys()["ambient"], "°C"), typed("76 °F", run_keys()["ambient"], "°C")
    ('24.5 °C', '76 °F')
    >>> typed("24,5", run_keys()["ambient"], "°C"), typed("1,250", run_keys()["ambient"], "°C")
    ('24.5 °C', '1,250 °C')
    """
    if unit and key.types & {Quantity, ErrorLimit} and is_number(cell):
        parts = _COMMA.fullmatch(text_of(cell))
        return f"{parts[1]}.{parts[2]} {unit}" if parts else f"{text_of(cell)} {unit}"
    return cell


def is_number(cell: object) -> bool:
    """Whether a cell holds a number without a unit."""
    if isinstance(cell, str):
        return bool(_NUMBER.fullmatch(cell.strip()))
    return isinstance(cell, int | float) and not isinstance(cell, bool)


def decimals(cell: object) -> int:
    """Decimals of a number as it stands in its cell.

    Examples
    --------
    >>> decimals(24.25), decimals("24,0"), decimals(24.0)
    (2, 1, 0)
    """
    return len(text_of(cell).replace(",", ".").partition(".")[2])
