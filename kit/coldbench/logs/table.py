"""The body of a log: columns of numbers, and the time column as text."""

from __future__ import annotations

import re
import warnings
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
        How to read it.
    time : str
        Heading of the time column; it stays text.
    columns : list of str
        Headings of the columns that have a role; they become numbers, blanks NaN.

    Returns
    -------
    DataFrame

    Raises
    ------
    UserError
        A row with too many cells, text where numbers belong, nothing but headings or blanks.
    """
    import pandas as pd

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", pd.errors.ParserWarning)
            table = pd.read_csv(
                shape.path, sep=shape.delimiter, decimal=shape.decimal, encoding=shape.encoding,
                skiprows=shape.skip, header=0, names=list(shape.headings), dtype={time: str},
                keep_default_na=False, na_values=[""], skip_blank_lines=False, index_col=False,
                usecols=[time, *columns], skipinitialspace=True, low_memory=False,
            )
    except (pd.errors.ParserError, pd.errors.ParserWarning) as error:
        raise UserError(_wrong_row(shape, str(error))) from None
    except UnicodeDecodeError as error:
        raise UserError(Fault(
            f"this is not {shape.encoding} text all through", shape.name,
            found=f"byte 0x{error.object[error.start]:02x}",
            do='name its encoding in the [[log]] block: encoding = "cp1252"',
        )) from None
    table = table.dropna(how="all")
    if table.empty:
        raise UserError(Fault("the log has headings but no rows", shape.name,
                              do="export it again from the instrument"))
    faults = [f for column in columns for f in _to_numbers(table, column, shape)]
    if table[time].isna().any():
        row = int(table.index[table[time].isna()][0])
        faults.append(Fault("a row without a time", f"{shape.name}:{shape.line(row)}",
                            do="take the row out of a copy of the log, or export it again"))
    if faults:
        raise UserError(faults)
    return table


def _wrong_row(shape: Shape, message: str) -> Fault:
    told = re.search(r"Expected (\d+) fields in line (\d+), saw (\d+)", message)
    if told:
        wanted, line, seen = told.groups()
        return Fault("a row with too many cells", f"{shape.name}:{line}", found=f"{seen} cells",
                     allowed=f"{wanted}, one for each heading")
    return Fault("a row does not fit the headings", shape.name,
                 found="more cells than headings, or a quote that never ends",
                 allowed=f"{len(shape.headings)} cells a row")


def _to_numbers(table: pd.DataFrame, column: str, shape: Shape) -> list[Fault]:
    """Make a column numbers in place; what is no number is a fault with its line."""
    import pandas as pd

    values = table[column]
    if not pd.api.types.is_numeric_dtype(values):
        text = values.astype("string").str.strip()
        text = text.where(text != "")
        if shape.decimal != ".":
            text = text.str.replace(shape.decimal, ".", regex=False)
        numbers = pd.to_numeric(text, errors="coerce")
        wrong = values[numbers.isna() & text.notna()]
        if len(wrong):
            return [_no_number(column, wrong, shape)]
        table[column] = numbers.astype(float)
    finite = np.isfinite(table[column].to_numpy(float, na_value=np.nan))
    endless = table[column][~finite & table[column].notna()]
    if len(endless):
        return [_no_number(column, endless, shape)]
    if table[column].isna().all():
        return [Fault(f'nothing but blanks in column "{column}"', shape.name,
                      do="take it out of [log.columns], or export the log again")]
    return []


def _no_number(column: str, wrong: pd.Series, shape: Shape) -> Fault:
    first = ", ".join(
        f'line {shape.line(int(row))}: "{value}"' for row, value in wrong.iloc[:SHOWN].items()
    )
    more = f" and {len(wrong) - SHOWN} more" if len(wrong) > SHOWN else ""
    do = "leave a cell blank where nothing was measured"
    comma = wrong.astype(str).str.fullmatch(r"\s*[-+]?\d+,\d+\s*").all()
    if comma and shape.decimal == ".":
        do = 'if these are decimal commas, say so in the [[log]] block: decimal = ","'
    return Fault(f'text where numbers belong, in column "{column}"',
                 f"{shape.name}:{shape.line(int(wrong.index[0]))}", found=first + more, do=do)
