"""Times that are counted: since the start, since an epoch, in days of a spreadsheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.rows import Rows, all_read
from coldbench.logs.words import often
from coldbench.quantities.units import factors
from coldbench.sheets.run import TimeSheet
from coldbench.sheets.types import SEXAGESIMAL

if TYPE_CHECKING:
    import pandas as pd

EPOCHS = {"epoch s": 1.0, "epoch ms": 1e-3, "epoch us": 1e-6}
COUNTED = (*EPOCHS, "spreadsheet days")
# Day 0 of spreadsheets is 1899-12-30: ISO/IEC 29500-1:2016, 18.17.4.1 (from memory).
SERIAL_ZERO = 25_569.0  # days from there to 1970-01-01
# Where counts start again at 0: a day, and the ranges of 16 and 32 bit counters. [s]
WRAPS = (86_400.0, 43_200.0, 360_000.0, 65_536.0, 2**32 / 1e3, 2**32 / 1e6, 65.536)
STEPS_AT_WRAP = 10.0  # a wrap may hide a silence of a few steps, no more


def counted(
    text: pd.Series | np.ndarray, sheet: TimeSheet, decimal: str, rows: Rows, where: str
) -> tuple[np.ndarray, list[str]]:
    """Seconds that a count says; a count that starts again at its range goes on.

    Parameters
    ----------
    text : Series of str or ndarray, shape (n,)
        As in the file.
    sheet : TimeSheet
        With ``elapsed``, or with the format of an epoch or of spreadsheet days.
    decimal : str
        Decimal sign.
    rows : Rows
        Names lines in faults.
    where : str
        File and line of the declaration.

    Returns
    -------
    seconds : ndarray, shape (n,)
        Since the count's zero; of spreadsheet days local seconds since 1970. [s]
    said : list of str
        Wraps.

    Raises
    ------
    UserError
        Text that is no count, or a count that starts again where no known one does.
    """
    if sheet.elapsed in SEXAGESIMAL:
        seconds = _sexagesimal(text, sheet.elapsed, decimal, rows, where)
    else:
        unit = sheet.elapsed or sheet.format
        numbers = _numbers(text, decimal, rows, f"numbers, in {unit}", where)
        if sheet.format == "spreadsheet days":
            # Serials are binary fractions of a day: a millisecond is all they can tell.
            return np.round((numbers - SERIAL_ZERO) * 86_400.0, 3), []
        seconds = numbers * (EPOCHS.get(unit) or factors(unit, "duration")[0])
    return _unwrapped(seconds, rows) if sheet.elapsed else (seconds, [])


def _numbers(
    text: pd.Series | np.ndarray, decimal: str, rows: Rows, allowed: str, where: str
) -> np.ndarray:
    import pandas as pd

    if isinstance(text, np.ndarray):
        return text

    plain = text.str.replace(decimal, ".", regex=False)
    numbers = pd.to_numeric(plain, errors="coerce").replace([np.inf, -np.inf], np.nan)
    all_read(numbers, text, rows, allowed, where)
    return numbers.to_numpy(float)


def _sexagesimal(
    text: pd.Series, form: str, decimal: str, rows: Rows, where: str
) -> np.ndarray:
    """Hours, minutes and seconds parted by colons; hours may go past 24."""
    import pandas as pd

    units = form.split(":")
    inner = r":([0-5]?[0-9])" * (len(units) - 1)
    pattern = r"^(?:([0-9]+)\s*d\w*\s+)?([0-9]+)" + inner + r"(?:\.([0-9]+))?$"
    parts = text.str.replace(decimal, ".", regex=False).str.extract(pattern)
    all_read(parts[1], text, rows, f"times like {form}", where)
    seconds = 86_400.0 * pd.to_numeric(parts[0]).fillna(0).to_numpy(float)
    for column, unit in zip(parts.columns[1:], units, strict=False):
        seconds = seconds + pd.to_numeric(parts[column]).to_numpy(float) * factors(
            unit, "duration")[0]
    rest = pd.to_numeric("0." + parts[parts.columns[-1]].fillna("0"))
    return seconds + rest.to_numpy(float) * factors(units[-1], "duration")[0]


def _unwrapped(seconds: np.ndarray, rows: Rows) -> tuple[np.ndarray, list[str]]:
    falls = np.flatnonzero(np.diff(seconds) < 0)
    if not len(falls):
        return seconds, []
    step = float(np.median(np.abs(np.diff(seconds))))
    for wrap in WRAPS:
        rise = seconds[falls + 1] + wrap - seconds[falls]
        if (seconds <= wrap).all() and (rise >= 0).all() and (rise <= STEPS_AT_WRAP * step).all():
            added = np.zeros(len(seconds))
            added[falls + 1] = wrap
            return seconds + np.cumsum(added), [
                f"the time count started again {often(len(falls))}, at its range of "
                f"{wrap / 3600:g} h, and was carried on"]
    if len(falls) == 1 or seconds[falls + 1].max() <= 10 * step:
        raise UserError(Fault(
            "the time count starts again", rows.place(int(falls[0]) + 1),
            found=f"{often(len(falls))}; how long the logger was off cannot be told",
            do="cut the log there into files of their own, and give each the time of its first "
               'row: time = { …, from = 2031-06-14T09:00:00 }',
        ))
    return seconds, []  # single rows out of order: told as time that goes backwards
