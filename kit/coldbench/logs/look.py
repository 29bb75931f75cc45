"""What a log looks like before anybody has said what it is: no guess is used, all are proposed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from coldbench.errors import Fault, UserError
from coldbench.logs.clock import ISO
from coldbench.logs.formats import fitting
from coldbench.logs.layout import (
    SEARCHED,
    Layout,
    most_common,
    split_line,
    with_units,
)
from coldbench.logs.numbers import NO_VALUE
from coldbench.logs.source import LEGACY, Source, open_source

if TYPE_CHECKING:
    import pandas as pd

LOOKED_AT = 20_000  # lines looked at
NUMBER = r"[-+\u2212]?\d*[.,]?\d+(?:[eE][-+]?\d+)?"
TIME_WORDS = re.compile(r"(?i)^(time|date|datum|zeit|uhrzeit|heure|hora|fecha|stamp|t$|epoch|elaps"
                        r"|sec|min$|clock|recorded|when)|time|date|stamp")


@dataclass(frozen=True, eq=False)
class Look:
    """How a file looks.

    Parameters
    ----------
    source : Source
        Its text.
    layout : Layout
        Delimiter and headings that most lines agree with.
    named : bool
        Whether it has a line of headings.
    cells : DataFrame
        Text of the rows that were looked at, by place.
    encoding : str or None
        What the sheet has to declare.
    above : tuple of str
        Lines above the headings.
    """

    source: Source
    layout: Layout
    named: bool
    cells: pd.DataFrame
    encoding: str | None
    above: tuple[str, ...]

    @cached_property
    def decimal(self) -> str:
        """Decimal sign that the numbers of the rows have."""
        text = self.cells.stack()
        commas = text.str.fullmatch(r"\s*[-+\u2212]?\d+,\d+\s*").sum()
        points = text.str.fullmatch(r"\s*[-+\u2212]?\d*\.\d+\s*").sum()
        return "," if commas > points else "."

    def column(self, place: int) -> pd.Series:
        """Cells of one column that hold something."""
        cells = self.cells[place].str.strip()
        return cells[(cells != "") & cells.notna()]

    def numbers(self, place: int) -> pd.Series:
        """Numbers of one column, empty where it holds anything else but words for “nothing”."""
        import pandas as pd

        cells = self.column(place)
        cells = cells[~cells.str.lower().isin(NO_VALUE)]
        if not len(cells) or cells.str.fullmatch(NUMBER).mean() < 0.9:
            return pd.Series(dtype=float)
        plain = cells.str.replace("\u2212", "-", regex=False)
        plain = plain.str.replace(self.decimal, ".", regex=False)
        return pd.to_numeric(plain, errors="coerce").dropna()


def look_at(path: Path, name: str, sheet: str | None = None) -> Look:
    """Look at a file.

    Parameters
    ----------
    path : Path
        The file.
    name : str
        As it is to be called.
    sheet : str, optional
        Sheet of a workbook.

    Returns
    -------
    Look

    Raises
    ------
    UserError
        It is no text, or no table.
    """
    import pandas as pd

    encoding = None
    try:
        source = open_source(path, name, sheet=sheet)
    except UserError as fault:
        if not fault.faults[0].what.startswith("this is not utf-8"):
            raise
        encoding = LEGACY
        source = open_source(path, name, encoding=encoding)
    lines = source.head(LOOKED_AT)
    layout, named = _layout(lines, name)
    rows = [layout.split(line) for line in lines[layout.first - 1 :]]
    rows = [row for row in rows if len(row) == layout.width and row != list(layout.headings)]
    if not rows:
        raise UserError(_no_table(name))
    cells = pd.DataFrame(rows, dtype="str")
    above = tuple(lines[: layout.heading - 1]) if named else ()
    return Look(source, layout, named, cells, encoding, above)


def is_time(cells: pd.Series) -> bool:
    """Whether a column holds times that need no declaration: ISO 8601."""
    return len(cells) > 0 and bool(cells.str.fullmatch(ISO.pattern).mean() > 0.95)


def time_places(look: Look) -> tuple[int | None, int | None, list[str]]:
    """Which column holds the time, which its clock if apart, and the ways to read them.

    Parameters
    ----------
    look : Look
        At the file.

    Returns
    -------
    column, clock : int or None
        Places; None where there is none.
    ways : list of str
        Declarations that fit, empty where none is needed or none is known.
    """
    width = look.layout.width
    filled = [look.column(place) for place in range(width)]
    for place, cells in enumerate(filled):
        if is_time(cells):
            if cells.str.fullmatch(r"\d{4}-\d{2}-\d{2}").all():
                clock = _clock_beside(filled, place)
                if clock is not None:
                    return place, clock, fitting(_pairs(look, place, clock))
            return place, None, []
    dates = [p for p, cells in enumerate(filled) if len(cells) and cells.str.fullmatch(
        r"\d{1,2}[./-]\d{1,2}[./-]\d{2,4}|\d{4}[./]\d{1,2}[./]\d{1,2}").mean() > 0.9]
    for place in dates:
        clock = _clock_beside(filled, place)
        if clock is not None:
            return place, clock, fitting(_pairs(look, place, clock))
    named = [p for p in range(width) if TIME_WORDS.search(look.layout.headings[p])]
    for place in [*named, *(p for p in range(width) if p not in named)]:
        if not len(filled[place]):
            continue
        some = _clean(filled[place])
        ways = fitting(some)
        plain = bool(some.str.fullmatch(NUMBER).all())
        if ways and (not plain or place in named or "elapsed" not in ways[0]):
            return place, None, ways
    return None, None, []


def _pairs(look: Look, date: int, clock: int) -> pd.Series:
    both = look.cells[[date, clock]].map(str.strip)
    both = both.replace("", None)
    return (both[date].ffill() + " " + both[clock]).dropna().iloc[:: max(1, len(both) // 300)]


def _clean(cells: pd.Series) -> pd.Series:
    """Some of a column, without lines below the table."""
    digits = cells[cells.str.match(r"[-+]?\d")]
    some = digits if len(digits) > 0.5 * len(cells) else cells
    return some.iloc[:: max(1, len(some) // 300)]


def _clock_beside(filled: list[pd.Series], date: int) -> int | None:
    for place, cells in enumerate(filled):
        if place != date and len(cells) and cells.str.fullmatch(
                r"(?i)\d{1,2}[:.]\d{2}([:.]\d{2})?(\s*[ap]m)?").mean() > 0.9:
            return place
    return None


def _layout(lines: list[str], name: str) -> tuple[Layout, bool]:
    """Delimiter and headings that most lines agree with."""
    some = [line for line in lines[:SEARCHED] if line.strip()]
    best: tuple[float, str, int] | None = None
    for sign in ("\t", ";", "|", ",", "  ", " "):
        widths = [len(split_line(line, sign)) for line in some]
        wide = [w for w in widths if w > 1]
        if not wide:
            continue
        width = most_common(wide)
        share = widths.count(width) / len(some)
        # A sign that parts fewer lines has to be passed over, even if it parts them more finely.
        if best is None or share > best[0] + 0.15:
            best = share, sign, width
    if best is None or best[0] < 0.3:
        raise UserError(_no_table(name))
    _, sign, width = best
    at = [i for i, line in enumerate(lines[: 2 * SEARCHED])
          if len(split_line(line, sign)) == width and line.strip(sign + " ")]
    heading = next((i for i in at if _is_heading(split_line(lines[i], sign))), None)
    if heading is None or heading > at[0] + 3:
        names = tuple(f"column {place}" for place in range(1, width + 1))
        return Layout(sign, ".", at[0], names), False
    layout = Layout(sign, ".", heading + 1, tuple(split_line(lines[heading], sign)))
    return with_units(layout, lines), True


def _is_heading(cells: list[str]) -> bool:
    """Words in most cells, and no number in any."""
    words = [cell for cell in cells if re.search(r"[^\W\d_]", cell)]
    numbers = [cell for cell in cells if re.fullmatch(NUMBER, cell)]
    dates = [cell for cell in cells if re.match(r"\d{1,4}[-./:]\d", cell)]
    return 2 * len(words) >= len(cells) and not numbers and not dates


def _no_table(name: str) -> Fault:
    return Fault("no table can be made out in it", name,
                 allowed="lines of which most have the same number of cells",
                 do="export it as text (CSV), or type the readings into the run sheet")
