"""The block that the check proposes for a log, as rows of the pages Logs and Columns."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

BLOCK, COLUMNS = "[[log]]", "[log.columns]"
LOGS_ROW = "Fill in a row of the page Logs of {book}; what follows a ? is for you to decide:"
COLUMNS_ROWS = "and for each column a row of the page Columns:"


def card_in_cells(card: str, book: str) -> str:
    """A card whose block of TOML is told cell by cell.

    Parameters
    ----------
    card : str
        As the check prints it for campaigns of text files.
    book : str
        Name of the campaign's workbook.

    Returns
    -------
    str
        The card as it is, if there is no block in it.
    """
    lines = card.splitlines()
    if BLOCK not in lines:
        return card
    begin = lines.index(BLOCK)
    head = [line for line in lines[:begin] if line and not line.startswith("  Paste")]
    return "\n".join([*head, f"  {LOGS_ROW.format(book=book)}", *_rows(lines[begin + 1 :])])


def _rows(block: list[str]) -> Iterator[str]:
    yield "    run: its id, as at the head of its column in Runs"
    file, in_columns = "", False
    for line in filter(None, block):
        in_columns = in_columns or line == COLUMNS
        if line == COLUMNS:
            yield f"  {COLUMNS_ROWS}"
            continue
        bare = line.removeprefix("# ").replace("in campaign.toml", "in Instruments")
        table, remark = _read(bare), bare.rpartition("    # ")
        if table is None:
            yield f"    # {bare}"
            continue
        file = table.get("file", file)
        told = _column(file, table) if in_columns else _flat(table)
        mark = "?  " if line.startswith("#") else ""
        after = f"    # {remark[2]}" if remark[1] else ""
        yield f"    {mark}{'   '.join(f'{name}: {value}' for name, value in told)}{after}"


def _read(line: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(line)
    except tomllib.TOMLDecodeError:
        return None


def _column(file: str, table: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    for heading, column in table.items():
        yield "log", file
        yield "heading", heading
        yield from _flat(column if isinstance(column, dict) else {"role": column})


def _flat(table: dict[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    for name, value in table.items():
        if isinstance(value, dict):
            yield from _flat(value, f"{above}{name}.")
        else:
            for one in value if isinstance(value, list) else [value]:
                yield f"{above}{name}", one
