"""The block Readings of a typed data sheet: instruments above, then one row a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from coldbench.errors import Fault, nearest
from coldbench.sheets.campaign import InstrumentSheet
from coldbench.sheets.hand.blocks import Block
from coldbench.sheets.hand.form import (
    CHECKED,
    ERROR,
    INSTRUMENT,
    METERED,
    NOTE,
    RESOLUTION,
    SORT,
    TIME,
)
from coldbench.sheets.hand.values import decimals, is_number, split_head, typed
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.run import ReadingSheet
from coldbench.sheets.workbook.cells import is_blank, text_of
from coldbench.sheets.workbook.entry import Entry
from coldbench.sheets.workbook.keys import Key, keys_of

Instruments = dict[str, Entry]
ABOVE = (INSTRUMENT, SORT, ERROR, RESOLUTION, CHECKED, METERED)
ABOUT = (SORT, ERROR, RESOLUTION, CHECKED)  # keys of an instrument


@dataclass
class _Column:
    """One role: its head, and what stands above its values."""

    role: str
    unit: str
    across: int
    above: dict[str, tuple[object, str]] = field(default_factory=dict)

    @property
    def source(self) -> tuple[str, str]:
        """Instrument and metering point; readings that share both are one reading."""
        instrument, metered = (self.above.get(name, ("", ""))[0] for name in (INSTRUMENT, METERED))
        return text_of(instrument), text_of(metered)


def read_readings(run: Entry, block: Block, instruments: Instruments, faults: list[Fault]) -> None:
    """Add the readings of a page to its run, and what it says of instruments.

    Parameters
    ----------
    run : Entry
        The run.
    block : Block
        The block Readings.
    instruments : dict of str to Entry
        By id; those of this page are added.
    faults : list of Fault
        Heads that are no role, and times and values that stand alone, are told here.
    """
    rows = list(block.rows())
    if not rows:
        return
    number, heads = rows[0]
    columns, note, unit = _heads(block, number, heads, faults)
    times = []
    for row, cells in rows[1:]:
        first = text_of(cells[0])
        if first in ABOVE:
            for column in columns:
                if not is_blank(cells[column.across]):
                    where = block.where(row, column.across)
                    column.above[first] = (cells[column.across], where)
        else:
            times.append((row, cells))
    for column in columns:
        _instrument(column, instruments, faults)
    keys = {key.name: key for key in keys_of(ReadingSheet)}
    places = {column.role: max((decimals(cells[column.across]) for _, cells in times
                                if is_number(cells[column.across])), default=0)
              for column in columns}
    for row, cells in times:
        _row(run, block, row, cells, (columns, note, unit), keys, places, faults)


def add_row(run: Entry, name: str, entry: Entry) -> None:
    """Add a row to one of a run's lists, with the places of its keys.

    Parameters
    ----------
    run : Entry
        The run.
    name : str
        Key of the list.
    entry : Entry
        The row.
    """
    rows = run.table.setdefault(name, [])
    rows.append(entry.table)
    run.places.setdefault((name,), entry.where)
    run.places.update({(name, len(rows) - 1, *path): where
                       for path, where in entry.places.items()})
    run.notes |= entry.notes


def _heads(
    block: Block, row: int, heads: list[object], faults: list[Fault]
) -> tuple[list[_Column], int | None, str]:
    """Columns of roles, the column of remarks, and the unit of the times."""
    label, unit = split_head(text_of(heads[0]))
    if label != TIME:
        faults.append(Fault(f"the first column is not headed {TIME}", block.where(row), label,
                            do=f"write {TIME} [min]"))
    columns, note = [], None
    for across, head in enumerate(map(text_of, heads[1:]), 1):
        label, own = split_head(head)
        role = label.replace(" ", "_")
        if label == NOTE:
            note = across
        elif base_role(role) in ROLE_KINDS:
            if role in (column.role for column in columns):
                faults.append(Fault(f"two columns are headed {label}", block.where(row, across),
                                    do=f"number them: {label} 2"))
            columns.append(_Column(role, own, across))
        elif label:
            near = nearest(role, ROLE_KINDS)
            faults.append(Fault(f"no role of the name {label!r}", block.where(row, across), label,
                                ", ".join(ROLE_KINDS), do=f"write {near}" if near else ""))
    return columns, note, unit


def _row(
    run: Entry, block: Block, row: int, cells: list[object],
    heads: tuple[list[_Column], int | None, str], keys: dict[str, Key],
    places: dict[str, int], faults: list[Fault],
) -> None:
    columns, note, unit = heads
    filled = [column for column in columns if not is_blank(cells[column.across])]
    known = {0, note, *(column.across for column in columns)}
    for across, cell in enumerate(cells):
        if across not in known and not is_blank(cell):
            faults.append(Fault("a value stands in a column without a head",
                                block.where(row, across), text_of(cell)))
    if not filled:
        return
    if is_blank(cells[0]):
        faults.append(Fault("the row has no time", block.where(row, 0),
                            do="write when it was read, counted from the start"))
        return
    for source in dict.fromkeys(column.source for column in filled):
        entry = Entry(block.where(row))
        entry.put(keys["at"], typed(cells[0], keys["at"], unit), block.where(row))
        above = next(column.above for column in filled if column.source == source)
        for name, told in (("instrument", INSTRUMENT), ("metered_at", METERED)):
            entry.put(keys[name], *above.get(told, ("", block.where(row))))
        if note is not None:
            entry.put(keys["note"], cells[note], block.where(row, note))
        for column in filled:
            if column.source == source:
                cell = _with_decimals(cells[column.across], places[column.role])
                entry.put(_role_key(keys, column.role), typed(cell, _role_key(keys, column.role),
                                                              column.unit),
                          block.where(row, column.across))
        add_row(run, "reading", entry)


def _with_decimals(cell: object, most: int) -> object:
    """A number as it was read: a spreadsheet drops the last nought of 24.0."""
    return f"{cell:.{most}f}" if isinstance(cell, float) else cell


def _role_key(keys: dict[str, Key], role: str) -> Key:
    like = keys[base_role(role)]
    return Key((role,), like.types, like.words, like.hint, like.example)


def _instrument(column: _Column, instruments: Instruments, faults: list[Fault]) -> None:
    """What is said of a column's instrument; columns that share one have to agree."""
    name, where = column.above.get(INSTRUMENT, ("", ""))
    told = dict(_told(column))
    if is_blank(name):
        faults += [Fault(f"the {key} of which instrument is meant?", place, text_of(cell),
                         do=f"write its id in the row {INSTRUMENT}")
                   for key, (_, cell, place) in told.items()]
        return
    entry = instruments.setdefault(text_of(name), Entry(where))
    entry.table.setdefault("measures", ROLE_KINDS[base_role(column.role)])
    entry.places.setdefault(("measures",), where)
    for key, (value, _, place) in told.items():
        if entry.table.setdefault(key, value) != value:
            faults.append(Fault(f"{key} of {text_of(name)} is said twice, and not alike", place,
                                str(value), str(entry.table[key]),
                                do="write the same, or give the other instrument its own id"))
        entry.places.setdefault((key,), place)


def _told(column: _Column) -> Iterator[tuple[str, tuple[object, object, str]]]:
    """By key of an instrument: its value, the cell, its place."""
    keys = {key.name: key for key in keys_of(InstrumentSheet)}
    unit = "K" if column.unit == "°C" else column.unit
    for name in ABOUT:
        cell, where = column.above.get(name, ("", ""))
        if not is_blank(cell):
            entry = Entry(where)
            entry.put(keys[name], typed(cell, keys[name], unit), where)
            yield name, (entry.table[name], cell, where)
