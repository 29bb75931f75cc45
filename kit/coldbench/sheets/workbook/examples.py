"""Examples for every key, taken from the blank sheets that a new campaign of text files gets."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from typing import Any

from coldbench import shipped
from coldbench.sheets.workbook.cells import cell_of
from coldbench.sheets.workbook.keys import Key
from coldbench.sheets.workbook.pages import CAMPAIGN, COOLERS, RUNS, Across, Rows

BLANK = {CAMPAIGN: "campaign.toml", COOLERS: "coolers/example.toml", RUNS: "runs/example-1.toml"}
_BEHIND_MARK = re.compile(r"# ((\[[^]]+\]\]?)|([a-z_]+ = .+))")


def example_of(page: Across | Rows, key: Key, number: int = 0) -> str:
    """How a key may be filled in.

    Parameters
    ----------
    page : Across or Rows
        The page it stands in.
    key : Key
        One of its keys.
    number : int
        Which value, of a key that may be given several times.

    Returns
    -------
    str
        ``""`` where nothing is known that helps.
    """
    table: Any = _blank(_sheet(page))
    for step in page.holder if isinstance(page, Rows) else ():
        table = _together(table.get(step, {}))
    for step in key.path:
        table = table.get(step) if isinstance(table, dict) else None
    values = table if key.many and isinstance(table, list) else [table]
    if values[0] is None:
        return "" if number else key.example
    return _shown(cell_of(values[number], key)) if number < len(values) else ""


def _sheet(page: Across | Rows) -> str:
    if isinstance(page, Across):
        return BLANK[page.name]
    return BLANK[RUNS if "run" in page.owners else CAMPAIGN]


@cache
def _blank(name: str) -> dict[str, Any]:
    """A blank sheet with the keys that stand behind a # put to use."""
    text = (shipped("templates") / "campaign-blank" / name).read_text(encoding="utf-8")
    rows = (m[1] if (m := _BEHIND_MARK.fullmatch(row)) else row for row in text.splitlines())
    return tomllib.loads("\n".join(rows))


def _together(held: Any) -> dict[str, Any]:
    """All that several like tables say; the first to say a thing is heard."""
    tables = list(held.values() if isinstance(held, dict) else held)
    return {name: value for table in reversed(tables) if isinstance(table, dict)
            for name, value in table.items()}


def _shown(value: str | float | bool) -> str:
    return str(value).upper() if isinstance(value, bool) else str(value)
