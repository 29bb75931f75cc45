"""The rows of a log as columns of numbers or text.

Two roads lead to the same cells. The short one hands the bytes to the CSV reader as they are, and
is left at the first thing that it does not understand. The long one looks at every line: what is
a row, what is none and is left out with a word, what has to be mended by whoever logged it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.layout import BLANKS, Layout
from coldbench.logs.sorting import Sorted, sorted_lines
from coldbench.logs.source import Source

if TYPE_CHECKING:
    import pandas as pd
    import pyarrow as pa

MOST_ROWS = 5_000_000  # two months of one each second
WORD = r"^\s*[A-Za-z#]"
BLOCK = 1 << 22  # bytes that one thread reads at a time


@dataclass(frozen=True, eq=False)
class Rows:
    """Cells of a log.

    Parameters
    ----------
    name : str
        Of the file.
    numbers : dict of str to ndarray, each of shape (n,)
        Columns that are numbers throughout, NaN where blank, by heading. [as written]
    texts : dict of str to Series, each of shape (n,)
        Columns that have to be looked at, blank where nothing stands, by heading.
    source : Source
        The text they come from.
    lines : ndarray of int, shape (n,), or int
        Line of each row; one number where the rows are all lines from that one on that are not
        blank.
    said : tuple of str
        What was left out.
    """

    name: str
    numbers: dict[str, np.ndarray]
    texts: dict[str, pd.Series]
    source: Source
    lines: np.ndarray | int
    said: tuple[str, ...] = field(default=())

    @property
    def count(self) -> int:
        """Number of rows."""
        column = next(iter([*self.numbers.values(), *self.texts.values()]))
        return len(column)

    @cached_property
    def all_lines(self) -> np.ndarray:
        """Line of the file that each row stands on, shape (n,)."""
        if isinstance(self.lines, int):
            filled = np.diff(self.source.ends, prepend=-1) > 1
            return self.lines + np.flatnonzero(filled[self.lines - 1 :])
        return self.lines

    def line(self, row: int) -> int:
        """Line of the file that a row stands on."""
        return int(self.all_lines[row])

    def place(self, row: int) -> str:
        """File and line of a row."""
        return f"{self.name}:{self.line(row)}"


def read_rows(
    source: Source, layout: Layout, times: dict[str, str], columns: dict[str, str], odd_rows: bool,
) -> Rows:
    """Read the cells below the headings.

    Parameters
    ----------
    source : Source
        The log as text.
    layout : Layout
        Where its cells are.
    times, columns : dict of str to str
        What the columns that tell the time, and those that hold values, are by heading:
        ``"time"`` (ISO 8601), ``"number"`` or ``"text"``.
    odd_rows : bool
        Whether rows with too few or too many cells are to be left out.

    Returns
    -------
    Rows
        Times that are plain ISO 8601 without an offset come as numbers: seconds since 1970 on the
        log's own clock.

    Raises
    ------
    UserError
        A row with too few or too many cells, a quote that never ends, a last line cut off, no
        rows, more than ``MOST_ROWS``.
    """
    if layout.delimiter not in BLANKS and b'"' not in source.data:
        short = _short(source, layout, times, columns)
        if short is not None:
            return short
    kept = sorted_lines(source, layout, list(times), odd_rows)
    if not len(kept.lines):
        raise UserError(_no_rows(source.name))
    table = _parsed(kept.data, kept.layout, 0, dict.fromkeys({**times, **columns}, "text"))
    return _looked_at(source, kept, table, list(times), list(columns))


def _short(
    source: Source, layout: Layout, times: dict[str, str], columns: dict[str, str]
) -> Rows | None:
    """Cells by the short road, or None where something is not plain."""
    import pyarrow as pa
    import pyarrow.compute as pc

    kinds = {**columns, **times}
    try:
        table = _parsed(source.data, layout, layout.first - 1, kinds)
    except pa.ArrowException:
        return None
    if table.num_rows == 0 or any(table[heading].null_count for heading in times):
        return None
    if table.num_rows > MOST_ROWS:
        raise UserError(_too_many(source.name))
    numbers, texts = {}, {}
    for heading, kind in kinds.items():
        column = table[heading]
        if kind == "text":
            if heading in times and pc.any(pc.match_substring_regex(column, WORD)).as_py():
                return None  # perhaps a line below the table
            texts[heading] = column.to_pandas().str.strip().replace("", None)
        elif kind == "time":
            numbers[heading] = column.to_numpy().view("int64") / 1e6
        else:
            numbers[heading] = column.to_numpy()
            bad = _not_finite(numbers[heading])
            if bad != column.null_count or bad == len(column):
                return None  # a word such as NaN, or nothing at all
    return Rows(source.name, numbers, texts, source, layout.first)


def _not_finite(values: np.ndarray) -> int:
    # A sum tells at once that there is none, which is nearly always so.
    if np.isfinite(values.sum()):
        return 0
    return len(values) - int(np.count_nonzero(np.isfinite(values)))


def _parsed(data: bytes, layout: Layout, skip: int, kinds: dict[str, str]) -> pa.Table:
    """Some columns of a table of plain text, by heading."""
    import pyarrow as pa
    import pyarrow.csv as arrow_csv

    types = {"time": pa.timestamp("us"), "number": pa.float64(), "text": pa.string()}
    # By position: columns without a role may have no name, or one name twice.
    places = {str(layout.headings.index(heading)): heading for heading in kinds}
    table = arrow_csv.read_csv(
        pa.BufferReader(data),
        read_options=arrow_csv.ReadOptions(
            skip_rows=skip, column_names=[str(i) for i in range(layout.width)], block_size=BLOCK),
        parse_options=arrow_csv.ParseOptions(
            delimiter=layout.delimiter, quote_char=False, ignore_empty_lines=True),
        convert_options=arrow_csv.ConvertOptions(
            column_types={place: types[kinds[h]] for place, h in places.items()},
            include_columns=list(places), null_values=[""], strings_can_be_null=True,
            decimal_point=layout.decimal),
    )
    return table.rename_columns([places[place] for place in table.column_names])


def _looked_at(
    source: Source, kept: Sorted, table: pa.Table, times: list[str], columns: list[str]
) -> Rows:
    """Rows by the long road: all cells are text, blank rows are gone."""
    frame = table.to_pandas()
    for heading in frame:
        cells = frame[heading].str.strip()
        frame[heading] = cells.mask(cells == "")
    # A remark in the margin has neither time nor value: it is no row.
    filled = frame.notna().any(axis=1).to_numpy()
    frame, lines = frame[filled].reset_index(drop=True), kept.lines[filled]
    if frame.empty:
        raise UserError(_no_rows(source.name))
    if len(frame) > MOST_ROWS:
        raise UserError(_too_many(source.name))
    texts = {heading: frame[heading] for heading in [*times, *columns]}
    return Rows(source.name, {}, texts, source, lines, kept.said)


def all_read(
    times: pd.Series, text: pd.Series, rows: Rows, allowed: str, where: str
) -> None:
    """Refuse times that could not be read.

    Parameters
    ----------
    times : Series, shape (n,)
        Empty where the text was no time.
    text : Series of str, shape (n,)
        As in the file.
    rows : Rows
        Names the line.
    allowed, where : str
        What may stand there, and where that is declared.

    Raises
    ------
    UserError
        At the first of them.
    """
    wrong = np.flatnonzero(times.isna().to_numpy(bool))
    if len(wrong):
        more = f" and {len(wrong) - 1} more" if len(wrong) > 1 else ""
        raise UserError(Fault(
            "a time that cannot be read", rows.place(int(wrong[0])),
            found=f'"{text.iloc[wrong[0]]}"{more}', allowed=f"{allowed} ({where})",
        ))


def _no_rows(name: str) -> Fault:
    return Fault("the log has headings but no rows", name,
                 do="export it again from the instrument")


def _too_many(name: str) -> Fault:
    return Fault("the log is too long to be read whole", name,
                 found=f"more than {MOST_ROWS} rows", allowed=f"{MOST_ROWS} rows",
                 do="split it by runs, or have the instrument log less often")
