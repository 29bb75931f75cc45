"""Read a campaign's workbook into the same tables that files of TOML give."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from coldbench.errors import Fault, nearest
from coldbench.sheets.raw import Raw
from coldbench.sheets.toml_files import CAMPAIGN as CAMPAIGN_SHEET
from coldbench.sheets.workbook.across import read_across
from coldbench.sheets.workbook.book import Grid, grids_of
from coldbench.sheets.workbook.entry import Entry
from coldbench.sheets.workbook.lines import Line, read_lines
from coldbench.sheets.workbook.pages import (
    COOLERS,
    RUNS,
    VALUE,
    Rows,
    across_pages,
    row_pages,
)
from coldbench.sheets.workbook.words import in_cells

FOLDERS = {COOLERS: "coolers", RUNS: "runs"}


def book_sheets(folder: Path, name: str) -> Raw:
    """Read ``campaign.xlsx`` or ``campaign.ods``.

    Parameters
    ----------
    folder : Path
        The campaign.
    name : str
        The workbook in it.

    Returns
    -------
    Raw
        The sheets under the names that they have as files; places are cells.

    Raises
    ------
    UserError
        The file cannot be opened, or is no workbook.
    """
    raw = Raw(name, tables={CAMPAIGN_SHEET: None})
    grids = grids_of(folder / name, raw.faults)
    _strangers(raw, grids)
    notes: dict[str, str] = {}
    raw.told = partial(in_cells, notes=notes)
    for page in across_pages():
        if page.name not in grids:
            if not any(fault.where == f"{name}: {page.name}" for fault in raw.faults):
                raw.faults.append(Fault(f"the workbook has no page {page.name}", name,
                                        found=", ".join(grids) or "no page",
                                        do="take it from a new workbook: coldbench new"))
            continue
        for ident, entry in read_across(page, grids[page.name], raw.faults).items():
            sheet = f"{FOLDERS[page.name]}/{ident}.toml" if page.name in FOLDERS else ""
            if sheet or ident == VALUE:
                _take(raw, sheet or CAMPAIGN_SHEET, entry, notes)
    for page in row_pages():
        for line in read_lines(page, grids[page.name], raw.faults) if page.name in grids else ():
            _attach(raw, page, line)
            notes |= line.entry.notes
    return raw


def _strangers(raw: Raw, grids: dict[str, Grid]) -> None:
    known = [page.name for page in (*across_pages(), *row_pages())]
    for page, grid in grids.items():
        if page not in known and any(grid.filled()):
            near = nearest(page, [one for one in known if one not in grids])
            raw.faults.append(Fault(
                f"unknown page “{page}”", f"{raw.source}: {page}!A1", page,
                ", ".join(known),
                do=f"call it {near}" if near else
                f"remove it, or call it “# {page}”: it is then not read"))


def _take(raw: Raw, sheet: str, entry: Entry, notes: dict[str, str]) -> None:
    raw.tables[sheet] = entry.table
    raw.places[sheet] = entry.places
    notes |= entry.notes


def _attach(raw: Raw, page: Rows, line: Line) -> None:
    """Put a row where it belongs."""
    if "run" not in page.owners:
        if raw.tables[CAMPAIGN_SHEET] is not None:
            _hold(raw, CAMPAIGN_SHEET, page.holder, line, line.owners.get("id"))
        return
    run = line.owners["run"]
    sheet = f"{FOLDERS[RUNS]}/{run}.toml"
    if sheet not in raw.tables:
        raw.faults.append(_nothing("run", run, line.where["run"], list(raw.named("runs"))))
    elif "log" not in page.owners:
        _hold(raw, sheet, page.holder, line)
    else:
        number = _log_of(raw, sheet, page.holder[0], line)
        if number is not None:
            path = (page.holder[0], number, *page.holder[1:])
            _hold(raw, sheet, path, line, line.owners["heading"])


def _log_of(raw: Raw, sheet: str, holder: str, line: Line) -> int | None:
    """Which of a run's logs a row names, by file or number."""
    named, where = line.owners["log"], line.where["log"]
    files = [log.get("file", "") for log in raw.tables[sheet].get(holder, [])]
    if files.count(named) == 1:
        return files.index(named)
    if files.count(named) > 1:
        numbers = [str(i + 1) for i, file in enumerate(files) if file == named]
        raw.faults.append(Fault("the run reads this file more than once", where, named,
                                f"the number of the log: {', '.join(numbers)}",
                                do=f"write {numbers[0]} for the first of them"))
    elif named.isdecimal() and 0 < int(named) <= len(files):
        return int(named) - 1
    else:
        raw.faults.append(_nothing("log of this run", named, where, list(map(str, files))))
    return None


def _hold(
    raw: Raw, sheet: str, path: tuple[str | int, ...], line: Line, ident: str | None = None
) -> None:
    """Add a row to a list of tables, or under its id to a map of them."""
    table: Any = raw.tables[sheet]
    for step in path[:-1]:
        table = table[step]
    places, entry = raw.places[sheet], line.entry
    if ident is None:
        rows = table.setdefault(path[-1], [])
        rows.append(entry.table)
        here = (*path, len(rows) - 1)
    else:
        held = table.setdefault(path[-1], {})
        entry.places[()] = where = line.where["heading" if "heading" in line.where else "id"]
        if ident in held:
            raw.faults.append(Fault(f"{ident} stands in two rows", where, ident,
                                    do="remove one of them, or rename it"))
            return
        held[ident] = entry.table
        here = (*path, ident)
    places.setdefault(path, entry.where)
    places.update({(*here, *inner): where for inner, where in entry.places.items()})


def _nothing(what: str, name: str, where: str, known: list[str]) -> Fault:
    near = nearest(name, known)
    return Fault(f"there is no {what} {name!r}", where, name, ", ".join(known) or "none yet",
                 do=f"write {near}" if near else "")
