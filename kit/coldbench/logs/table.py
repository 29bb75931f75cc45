"""The body of a log: columns of numbers, and the time column as text."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.shape import Shape

if TYPE_CHECKING:
    import pandas as pd

SHOWN = 3  # cells shown of one column


def read_table(shape: Shape, time: str, columns: list[str]) -> pd.DataFrame:
    """Rows of a log, blank rows left out; the index is the row below the headings.

    Parameters
    ----------
    shape : Shape
        How to read it; its lines have been checked.
    time : str
        Heading of the time column; it stays text.
    columns : list of str
        Headings of the columns that have a role. They stay as pandas read them.

    Returns
    -------
    DataFrame
        Blanks are NaN.

    Raises
    ------
    UserError
        Nothing but headings or blanks; a row without a time.
    """
    import pandas as pd

    # By position: columns without a role may have no name, or one name twice.
    places = sorted(shape.headings.index(heading) for heading in {time, *columns})
    try:
        table = pd.read_csv(
            shape.path, sep=shape.delimiter, decimal=shape.decimal, encoding=shape.encoding,
            skiprows=shape.skip + 1, header=None, usecols=places,
            names=[shape.headings[place] for place in places], dtype={time: str},
            keep_default_na=False, na_values=[""], skip_blank_lines=False, index_col=False,
            skipinitialspace=True, low_memory=False,
        )
    except pd.errors.EmptyDataError:
        table = pd.DataFrame(columns=[time])
    table = table.dropna(how="all")
    if table.empty:
        raise UserError(Fault("the log has headings but no rows", shape.name,
                              do="export it again from the instrument"))
    untimed = table.index[table[time].isna()]
    if len(untimed):
        raise UserError(Fault(
            "a row without a time", f"{shape.name}:{shape.line(int(untimed[0]))}",
            do="take the row out of a copy of the log, or export it again",
        ))
    return table


def to_numbers(cells: pd.Series, shape: Shape) -> np.ndarray:
    """Numbers of a column, blanks NaN.

    Parameters
    ----------
    cells : Series, shape (n,)
        Out of :func:`read_table`.
    shape : Shape
        Decimal sign, and names of lines.

    Returns
    -------
    ndarray, shape (n,)
        [as written]

    Raises
    ------
    UserError
        Text where numbers belong, or nothing but blanks.
    """
    import pandas as pd

    if pd.api.types.is_numeric_dtype(cells) and not pd.api.types.is_bool_dtype(cells):
        numbers = cells
    else:
        numbers = pd.to_numeric(_plain(cells, shape.decimal), errors="coerce")
    values = numbers.to_numpy(float, na_value=np.nan)
    wrong = cells[~np.isfinite(values) & cells.notna().to_numpy()]
    if len(wrong):
        raise UserError(_no_number(wrong, shape))
    if np.isnan(values).all():
        raise UserError(Fault(f'nothing but blanks in column "{cells.name}"', shape.name,
                              do="take it out of [log.columns], or export the log again"))
    return values


def _plain(cells: pd.Series, decimal: str) -> pd.Series:
    """Text with a decimal point; the other sign must not pass for one."""
    text = cells.astype("string").str.strip()
    if decimal == ".":
        return text
    return text.where(~text.str.contains(".", regex=False)).str.replace(decimal, ".", regex=False)


def _no_number(wrong: pd.Series, shape: Shape) -> Fault:
    first = ", ".join(
        f'line {shape.line(int(row))}: "{_shown(value)}"'
        for row, value in wrong.iloc[:SHOWN].items()
    )
    more = f" and {len(wrong) - SHOWN} more" if len(wrong) > SHOWN else ""
    other = "," if shape.decimal == "." else "."
    do = "leave a cell blank where nothing was measured"
    if wrong.astype(str).str.fullmatch(rf"\s*[-+]?\d+[{other}]\d+\s*").all():
        do = f'if these are decimal signs, say so in the [[log]] block: decimal = "{other}"'
    return Fault(f'text where numbers belong, in column "{wrong.name}"',
                 f"{shape.name}:{shape.line(int(wrong.index[0]))}", found=first + more, do=do)


def _shown(value: object) -> str:
    # pandas reads a column of truth values as such; the log has them in capitals most often.
    text = str(value).upper() if isinstance(value, bool | np.bool_) else str(value)
    return text if len(text) <= 40 else f"{text[:39]}…"
