"""How the lines of a log are laid out: delimiter, decimal sign, headings, a row of units."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, replace

from coldbench.errors import Fault, UserError, nearest
from coldbench.logs.source import LONGEST_LINE, Source, no_table
from coldbench.quantities import unit_kind
from coldbench.sheets.run import LogSheet

SEARCHED = 120  # lines in which the headings have to stand
DELIMITERS = (",", ";", "\t", "|")
BLANKS = {" ": re.compile(r"[ \t]+"), "  ": re.compile(r"\t[ \t]*| {2,}\t*| \t")}
ROW_TIME = "row number"  # stands for the time column of a log whose rows carry none


@dataclass(frozen=True)
class Layout:
    """How the cells of a log are to be read.

    Parameters
    ----------
    delimiter, decimal : str
        Declared, or found; ``" "`` and ``"  "`` part cells by blanks.
    heading : int
        Number of the line with the headings, from 1; 0 where there is none.
    headings : tuple of str
        In order.
    units : tuple of str
        Of a second heading row, else empty.
    """

    delimiter: str
    decimal: str
    heading: int
    headings: tuple[str, ...]
    units: tuple[str, ...] = ()

    @property
    def first(self) -> int:
        """Number of the first line below headings and units."""
        return self.heading + (2 if self.units else 1)

    @property
    def width(self) -> int:
        """Cells in a row."""
        return len(self.headings)

    def unit(self, heading: str) -> str | None:
        """Unit of a column in the row of units."""
        return self.units[self.headings.index(heading)] or None if self.units else None

    def split(self, line: str) -> list[str]:
        """Cells of one line."""
        return split_line(line, self.delimiter)


def wanted_headings(log: LogSheet) -> list[str]:
    """Headings that a run sheet names, the time's first, each once."""
    time = [log.time.column, log.time.with_]
    cells = [log.long.channel, log.long.value, log.long.unit] if log.long else list(log.columns)
    return list(dict.fromkeys(name for name in [*time, *cells] if name))


def find_layout(source: Source, log: LogSheet, places: dict[str, str]) -> Layout:
    """Find the headings that a run sheet names, and how their line is parted.

    Parameters
    ----------
    source : Source
        The log as text.
    log : LogSheet
        What the run sheet declares of it.
    places : dict of str to str
        File and line that declare each column, by heading.

    Returns
    -------
    Layout

    Raises
    ------
    UserError
        No line has the declared columns, or has one of them twice.
    """
    name, wanted = source.name, wanted_headings(log)
    lines = source.head(SEARCHED + (log.skip or 0))
    choices = (log.delimiter,) if log.delimiter else (*DELIMITERS, "  ")
    if log.headings == "none":
        layout = numbered(lines, log)
        missing = [column for column in wanted if column not in layout.headings]
        if missing:
            raise UserError([_no_column(c, list(layout.headings), places[c], name)
                             for c in missing])
        return layout
    if log.skip is not None:
        tried = [log.skip]
        if len(lines) <= log.skip or not lines[log.skip].strip():
            raise UserError(Fault(
                "no heading line", f"{name}:{log.skip + 1}",
                do="the line below the `skip` lines has to name the columns"))
    else:
        tried = [i for i, line in enumerate(lines) if line.strip()]
    _refuse_long(lines, name)
    best, delimiter, at = [], choices[0], tried[0]
    most = (-1, 0)
    for i in tried:
        for sign in choices:
            cells = split_line(lines[i], sign)
            score = (sum(w in cells for w in wanted), -i)
            if score > most or (score == most and len(cells) > len(best)):
                most, best, delimiter, at = score, cells, sign, i
    if most[0] <= 0:  # nothing fits anywhere: then the first line is what the message shows
        at = tried[0]
        best = max((split_line(lines[at], sign) for sign in choices), key=len)
    missing = [column for column in wanted if column not in best]
    if missing:
        raise UserError([_no_column(c, best, places[c], f"{name}:{at + 1}") for c in missing])
    double = sorted({h for h in wanted if best.count(h) > 1})
    if double:
        raise UserError(Fault(f'two columns are called "{double[0]}"', f"{name}:{at + 1}",
                              do="give each column its own name"))
    layout = Layout(delimiter, log.decimal or ".", at + 1, tuple(best))
    return with_units(layout, lines)


def numbered(lines: list[str], log: LogSheet) -> Layout:
    """Layout of a log that names no columns: they are called by their place.

    Parameters
    ----------
    lines : list of str
        The first ones.
    log : LogSheet
        What the run sheet declares of it.
    """
    signs = (log.delimiter,) if log.delimiter else (*DELIMITERS, "  ", " ")
    widths = {sign: [len(split_line(line, sign)) for line in lines if line.strip()]
              for sign in signs}
    delimiter = max(signs, key=lambda sign: _evenness(widths[sign]))
    width = most_common(widths[delimiter])
    return Layout(delimiter, log.decimal or ".", log.skip or 0,
                  tuple(f"column {place}" for place in range(1, width + 1)))


def _evenness(widths: list[int]) -> int:
    common = most_common(widths)
    return widths.count(common) if common > 1 else 0


def most_common(widths: list[int]) -> int:
    """The width that most lines have, the smaller of two."""
    return max(sorted(set(widths)), key=widths.count, default=1)


def with_units(layout: Layout, lines: list[str]) -> Layout:
    """The layout with the row of units below the headings, where there is one.

    It is one if no cell holds a digit, and at least one is a unit.
    """
    below = lines[layout.heading] if len(lines) > layout.heading else ""
    cells = layout.split(below)
    units = [bare_unit(cell) for cell in cells]
    if len(cells) != layout.width or re.search(r"\d", below) or not any(map(_is_unit, units)):
        return layout
    return replace(layout, units=tuple(u if _is_unit(u) else "" for u in units))


def bare_unit(cell: str) -> str:
    """A unit without brackets around it, and with °C for C.

    Examples
    --------
    >>> bare_unit("(degC)"), bare_unit("[ W ]"), bare_unit("F")
    ('degC', 'W', '°F')
    """
    unit = cell.strip().strip("()[]").strip()
    return {"C": "°C", "F": "°F"}.get(unit, unit)


def split_line(line: str, delimiter: str) -> list[str]:
    """Cells of a line, without blanks around them."""
    if delimiter in BLANKS:
        return BLANKS[delimiter].split(line.strip())
    if '"' not in line:
        return [cell.strip() for cell in line.split(delimiter)]
    try:
        row = next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    except csv.Error:  # a field larger than its limit
        row = line.split(delimiter)
    return [cell.strip() for cell in row]


def _is_unit(text: str) -> bool:
    return bool(text) and unit_kind(text) is not None


def _refuse_long(lines: list[str], name: str) -> None:
    for number, line in enumerate(lines, 1):
        if len(line) > LONGEST_LINE:
            raise UserError(no_table(name, number))


def _no_column(column: str, headings: list[str], where: str, place: str) -> Fault:
    near = nearest(column, headings)
    shown = ", ".join(f'"{h[:40]}"' for h in headings[:20])
    return Fault(
        f'the log has no column "{column}"', where, found=f"{place}: {shown}",
        do=f'did you mean "{near}"?' if near else "name one of the columns it has",
    )
