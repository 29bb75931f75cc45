"""Faults in the words of a workbook: cells and pages instead of lines and brackets."""

from __future__ import annotations

import re
from dataclasses import replace

from coldbench.errors import Fault
from coldbench.sheets.workbook.pages import PAGE_NAMES

_BRACES = re.compile(r"(\w+) = \{ (.*?) \}")
_PAGE = re.compile(r"(?:the )?\[\[(\w+)\]\](?: block)?")
_TABLE = re.compile(r"\[(\w+)\]")
_ADD_LINE = re.compile(r"add (?:a line|above the first table|to the page \w+): (\w[\w.]*) = ")
# What only makes sense in a file of text.
_PLAIN = (
    ('columns = { "CH1" = "air" }', "CH1, role air, in the page Columns"),
    (" without quotes", ""), (", without quotes", ""), (" (without quotes)", ""),
    ("text in quotes", "text"), ("true, false", "TRUE, FALSE"),
    ('add a role and its value: air = "24.1 °C"', "write the value below its role: 24.1 °C"),
    ("; until it is made, keep the sheet elsewhere", ""),
)


def in_cells(fault: Fault, notes: dict[str, str]) -> Fault:
    """A fault as somebody at a spreadsheet reads it.

    Parameters
    ----------
    fault : Fault
        In the words of TOML.
    notes : dict of str to str
        By place: what has to be done there, where that is known better.

    Examples
    --------
    >>> in_cells(Fault("key 'name' is missing", do='add a line: name = "…"'), {}).do
    'fill in name: …'
    """
    told = {name: _plain(getattr(fault, name)) for name in ("what", "allowed", "do")}
    if fault.where in notes:
        told["do"] = notes[fault.where]
    return replace(fault, **told)


def _plain(text: str) -> str:
    for old, new in _PLAIN:
        text = text.replace(old, new)
    text = _BRACES.sub(lambda m: re.sub(r'"?(\w+)"? = ', rf"{m[1]}.\1 = ", m[2]), text)
    text = _PAGE.sub(lambda m: f"the page {PAGE_NAMES.get(m[1], m[1].capitalize())}", text)
    text = _ADD_LINE.sub(r"fill in \1: ", _TABLE.sub(r"\1", text))
    return text.replace('"', "")
