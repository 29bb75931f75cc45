"""Sheets as they were found, before their models have seen them."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from coldbench.errors import Fault
from coldbench.sheets.places import Places

ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")


def _as_it_is(fault: Fault) -> Fault:
    return fault


@dataclass
class Raw:
    """All sheets of a campaign, out of files of text or out of a workbook.

    Parameters
    ----------
    source : str
        File of the campaign's own sheet, relative to its folder.
    tables : dict
        By sheet (``campaign.toml``, ``coolers/ID.toml``, ``runs/ID.toml``, whatever they were
        read from): nested tables, or None where the sheet could not be read.
    places : dict
        By sheet: where each key stands.
    faults : list of Fault
        What was wrong so far.
    told : callable
        Puts a fault into the words of the source.
    books : list of str
        Workbooks of typed data sheets beside the others.
    typed : set of str
        Sheets that stand on a page of those alone.
    blank : list of str
        Pages on which nothing was typed yet.
    """

    source: str
    tables: dict[str, dict[str, Any] | None] = field(default_factory=dict)
    places: dict[str, Places] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    told: Callable[[Fault], Fault] = _as_it_is
    books: list[str] = field(default_factory=list)
    typed: set[str] = field(default_factory=set)
    blank: list[str] = field(default_factory=list)

    @property
    def files(self) -> list[str]:
        """Files that hold the sheets, relative to the campaign."""
        texts = [name for name in self.tables if name not in self.typed]
        return [*(texts if self.source in self.tables else [self.source]), *self.books]

    def named(self, kind: str) -> dict[str, str]:
        """Sheets of one kind, ``"coolers"`` or ``"runs"``: id, sheet."""
        head = f"{kind}/"
        return {name.removeprefix(head).removesuffix(".toml"): name
                for name in self.tables if name.startswith(head)}


def safe(name: str) -> str:
    """An id that resembles a name.

    Examples
    --------
    >>> safe("my chest, old")
    'my-chest-old'
    """
    return re.sub("[^A-Za-z0-9_-]+", "-", name).strip("-_") or "one"
