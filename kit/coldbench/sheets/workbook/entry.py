"""One thing out of a page: its nested table, the places of its keys, and what to do about them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from coldbench.sheets.places import Places
from coldbench.sheets.types import Sheet
from coldbench.sheets.workbook.cells import is_blank, note_of, value_of
from coldbench.sheets.workbook.keys import Key, needed_tables, outer


@dataclass
class Entry:
    """A cooler, a run, a log … as far as its page tells.

    Parameters
    ----------
    where : str
        Its own place: head of its column, or first cell of its row.
    table : dict
        Nested, as TOML gives it.
    places : dict
        Place of each key, also of those that are blank.
    notes : dict of str to str
        By place: what to do if the model refuses what stands there.
    """

    where: str
    table: dict[str, Any] = field(default_factory=dict)
    places: Places = field(default_factory=dict)
    notes: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.places[()] = self.where

    def put(self, key: Key, cell: object, where: str) -> None:
        """Take the content of a cell.

        Parameters
        ----------
        key : Key
            What it is said of.
        cell : object
            Content; a blank one leaves the key out.
        where : str
            Place of the cell.
        """
        for depth in range(1, len(key.path) + 1):
            self.places.setdefault(key.path[:depth], where)
        if is_blank(cell):
            return
        table = self.table
        for step in key.path[:-1]:
            table = table.setdefault(step, {})
        value = value_of(cell, key)
        if key.many:
            values = table.setdefault(key.path[-1], [])
            self.places[(*key.path, len(values))] = where
            values.append(value)
        else:
            table[key.path[-1]] = value
            self.places[key.path] = where
        if note := note_of(cell, key):
            self.notes[where] = note

    def complete(self, model: type[Sheet]) -> None:
        """Tables that have to be there are there; what they lack is told key by key."""
        for name, annotation in needed_tables(model).items():
            self.table.setdefault(name, [] if outer(annotation) is list else {})
