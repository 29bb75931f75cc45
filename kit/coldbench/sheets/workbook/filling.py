"""What a campaign's tables put into the pages of a workbook."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from coldbench.sheets.raw import Raw
from coldbench.sheets.workbook.cells import cell_of
from coldbench.sheets.workbook.keys import Key
from coldbench.sheets.workbook.pages import CAMPAIGN, RUNS, VALUE, Across, Rows

Cell = str | float | bool


@dataclass(frozen=True)
class Filled:
    """One column of a page with keys down, or one row of the others.

    Parameters
    ----------
    owners : tuple of str
        Head of the column, or leading cells of the row.
    cells : dict
        By key: one cell, or several where a key may be given several times.
    """

    owners: tuple[str, ...]
    cells: dict[Key, list[Cell]]


def across_filled(page: Across, raw: Raw) -> list[Filled]:
    """Columns of a page with keys down.

    Parameters
    ----------
    page : Across
        The page.
    raw : Raw
        Sheets of a campaign; none gives no columns.
    """
    if page.name == CAMPAIGN:
        table = raw.tables.get("campaign.toml")
        return [Filled((VALUE,), _cells(page.keys, table or {}))]
    return [Filled((ident,), _cells(page.keys, raw.tables[sheet] or {}))
            for ident, sheet in raw.named(page.name.lower()).items()]


def rows_filled(page: Rows, raw: Raw) -> list[Filled]:
    """Rows of a page with one row a thing.

    Parameters
    ----------
    page : Rows
        The page.
    raw : Raw
        Sheets of a campaign.
    """
    if "run" not in page.owners:
        found = _held(raw.tables.get("campaign.toml") or {}, page.holder)
        return [Filled(tuple(owners), _all(page, table)) for owners, table in found]
    return [Filled((run, *owners), _all(page, table))
            for run, sheet in raw.named(RUNS.lower()).items()
            for owners, table in _held(raw.tables[sheet] or {}, page.holder)]


def _held(table: dict[str, Any], holder: tuple[str, ...]) -> Iterator[tuple[list[str], Any]]:
    """Tables that a path leads to, each with the ids on the way."""
    first, *rest = holder
    held = table.get(first, [])
    named = list(held.items()) if isinstance(held, dict) else [(None, one) for one in held]
    for number, (ident, one) in enumerate(named):
        own = [] if ident is None else [ident]
        if not rest:
            yield own, one
        else:
            files = [inner.get("file") for _, inner in named]
            log = one["file"] if files.count(one["file"]) == 1 else str(number + 1)
            yield from (([*own, log, *inner], last) for inner, last in _held(one, tuple(rest)))


def _all(page: Rows, table: Any) -> dict[Key, list[Cell]]:
    """Cells of a row; a column's role may stand alone in the place of its table."""
    if isinstance(table, str):
        table = {page.keys[0].name: table}
    numbered = [key for name in table if (key := page.key_of(name)) and key not in page.keys]
    return _cells((*page.keys, *numbered), table)


def _cells(keys: tuple[Key, ...], table: dict[str, Any]) -> dict[Key, list[Cell]]:
    found = {}
    for key in keys:
        value: Any = table
        for step in key.path:
            value = value.get(step) if isinstance(value, dict) else None
        if value is not None:
            values = value if key.many else [value]
            found[key] = [cell_of(one, key) for one in values]
    return found
