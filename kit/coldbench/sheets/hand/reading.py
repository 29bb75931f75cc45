"""Read typed data sheets: each page of a workbook in ``runs/`` is a run."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from coldbench.errors import Fault, nearest
from coldbench.sheets.hand import SUFFIXES, books_in
from coldbench.sheets.hand.blocks import Block, blocks_of
from coldbench.sheets.hand.form import LOADS, MARKS, READINGS, RUN, label_of, load_keys, run_keys
from coldbench.sheets.hand.readings import Instruments, add_row, read_readings
from coldbench.sheets.hand.values import split_head, typed
from coldbench.sheets.raw import ID, Raw, safe
from coldbench.sheets.run import MarkSheet
from coldbench.sheets.workbook.book import Grid, grids_of
from coldbench.sheets.workbook.cells import is_blank, text_of
from coldbench.sheets.workbook.entry import Entry
from coldbench.sheets.workbook.keys import Key, keys_of
from coldbench.sheets.workbook.words import in_cells

_ROW = re.compile(r"^reading \d+(?:, |: )")
NO_RUNS = "the campaign has no runs"
NO_DATA = "the run has neither a log nor a reading"


def add_typed_sheets(raw: Raw, folder: Path, campaign: str) -> None:
    """Add what stands on typed data sheets to a campaign's sheets.

    Parameters
    ----------
    raw : Raw
        Sheets read so far. Runs, places, faults and unknown instruments are added.
    folder : Path
        The campaign; every page of ``runs/*.xlsx`` and ``runs/*.ods`` is a run.
    campaign : str
        Name of the campaign's own sheet among the tables.
    """
    notes: dict[str, str] = {}
    instruments: Instruments = {}
    for path in books_in(folder):
        name = f"runs/{path.name}"
        raw.books.append(name)
        for grid in grids_of(path, raw.faults, name).values():
            _add_page(raw, grid, instruments, notes)
    _add_instruments(raw, campaign, instruments)
    if any(name.startswith("runs/") for name in raw.tables):
        raw.faults = [fault for fault in raw.faults if fault.what != NO_RUNS]
    raw.told = partial(_told, notes=notes, otherwise=raw.told)


def _add_page(raw: Raw, grid: Grid, instruments: Instruments, notes: dict[str, str]) -> None:
    where = grid.where(0, 0)
    blocks = blocks_of(grid)
    missing = [name for name in (RUN, READINGS) if name not in blocks]
    if missing:
        raw.faults.append(Fault(f"the page has no block “{missing[0]}”", where, grid.page,
                                do="take the page from a new workbook: coldbench sheets "
                                   "--workbook; # in front of a page's name: it is not read"))
        return
    if not ID.fullmatch(grid.page):
        raw.faults.append(Fault("the page's name is the run's id, and has to be safe in every "
                                "file name", where, grid.page,
                                "letters A to Z, digits, - and _, no spaces",
                                do=f"rename it: {safe(grid.page)}"))
    run = _run(blocks[RUN], raw.faults)
    _lists(run, "load", blocks.get(LOADS), load_keys(), raw.faults)
    marks = {key.name: key for key in keys_of(MarkSheet)}
    _lists(run, "mark", blocks.get(MARKS), marks, raw.faults)
    read_readings(run, blocks[READINGS], instruments, raw.faults)
    if "reading" not in run.table and "start" not in run.table:
        raw.blank.append(f"{grid.file}: {grid.page}")
        return
    notes |= run.notes
    _join(raw, f"runs/{grid.page}.toml", run)


def _run(block: Block, faults: list[Fault]) -> Entry:
    """Labels and values side by side."""
    run = Entry(block.where(block.row))
    keys = _by_label(run_keys())
    for row, cells in block.rows():
        for across in range(0, len(cells) - 1, 2):
            head, cell = text_of(cells[across]), cells[across + 1]
            if not head and is_blank(cell):
                continue
            label, unit = split_head(head)
            key = _known(label, keys, block.where(row, across), faults)
            if key is not None:
                for part in text_of(cell).split(",") if key.many else [cell]:
                    run.put(key, typed(part, key, unit), block.where(row, across + 1))
    run.places[()] = block.grid.where(0, 0)
    return run


def _lists(
    run: Entry, name: str, block: Block | None, keys: Mapping[str, Key], faults: list[Fault]
) -> None:
    """A block with one row a load, or a mark."""
    rows = list(block.rows()) if block else []
    if block is None or not rows:
        return
    number, heads = rows[0]
    by_label = _by_label(keys)
    columns = {}
    for across, head in enumerate(map(text_of, heads)):
        if head:
            label, unit = split_head(head)
            key = _known(label, by_label, block.where(number, across), faults)
            columns |= {across: (key, unit)} if key else {}
    for row, cells in rows[1:]:
        entry = Entry(block.where(row))
        for across, (key, unit) in columns.items():
            entry.put(key, typed(cells[across], key, unit), block.where(row, across))
        for across, cell in enumerate(cells):
            if not is_blank(cell) and is_blank(heads[across]):
                faults.append(Fault("a value stands in a column without a head",
                                    block.where(row, across), text_of(cell)))
        add_row(run, name, entry)


def _join(raw: Raw, sheet: str, run: Entry) -> None:
    """A run on its page alone, or in parts on the page and in a sheet of text, the log for one."""
    table, places = raw.tables.get(sheet), raw.places.get(sheet, {})
    if table is None:
        raw.tables[sheet], raw.places[sheet] = run.table, run.places
        raw.typed.add(sheet)
        return
    for name, value in run.table.items():
        if name in table:
            raw.faults.append(Fault(
                f"{name} is said twice of this run", run.places[(name,)], found=f"also in "
                f"{places.get((name,), sheet)}", do="remove one of them"))
        else:
            table[name] = value
    places.update({path: where for path, where in run.places.items() if path})
    raw.places[sheet] = places


def _add_instruments(raw: Raw, campaign: str, found: Instruments) -> None:
    """Instruments that only the data sheets describe; others have to agree with the campaign's."""
    table = raw.tables.get(campaign)
    if table is None:
        return
    known = table.setdefault("instruments", {}) if found else {}
    places = raw.places.setdefault(campaign, {})
    for name, entry in found.items():
        if name not in known:
            known[name] = {}
            places[("instruments", name)] = entry.where
        for key, value in entry.table.items():
            if key not in known[name]:
                known[name][key] = value
                places[("instruments", name, key)] = entry.places[(key,)]
            elif key != "measures" and known[name][key] != value:
                raw.faults.append(Fault(
                    f"{key} of {name} differs from the campaign's", entry.places[(key,)],
                    str(value), str(known[name][key]), do="write the same, or leave it blank here"))


def _by_label(keys: Mapping[str, Key]) -> dict[str, Key]:
    return {label_of(key.path): key for key in keys.values()}


def _known(label: str, keys: Mapping[str, Key], where: str, faults: list[Fault]) -> Key | None:
    if label in keys:
        return keys[label]
    near = nearest(label, keys)
    faults.append(Fault(f"unknown label {label!r}", where, label, ", ".join(keys),
                        do=f"write {near}" if near else "remove it"))
    return None


def _told(fault: Fault, notes: dict[str, str], otherwise: Any) -> Fault:
    file = fault.where.partition(": ")[0]
    if not file.startswith("runs/") or not file.lower().endswith(SUFFIXES):
        return otherwise(fault)
    # The cell says which reading is meant; so told, a slip above a column is one fault, not many.
    told = in_cells(replace(fault, what=_ROW.sub("", fault.what)), notes)
    if fault.what == NO_DATA:
        page = fault.where.partition(": ")[2].partition("!")[0]
        return replace(told, do=f"type the readings in, or put the block of its log, [[log]], into "
                                f"runs/{page}.toml")
    words = {name: getattr(told, name).replace("the page ", "the block ")
             for name in ("allowed", "do")}
    return replace(told, **words)
