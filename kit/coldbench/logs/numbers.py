"""Cells that are not plain numbers: words for “nothing measured”, units in the cell."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.layout import bare_unit
from coldbench.logs.rows import Rows
from coldbench.logs.words import listed, many
from coldbench.quantities import unit_kind

if TYPE_CHECKING:
    import pandas as pd

SHOWN = 3  # cells shown of one column
# What instruments write where nothing was measured, in lower case. Common practice, no source.
NO_VALUE = frozenset((
    "nan", "null", "none", "n/a", "na", "#n/a", "-", "--", "---", "----", "–", "—", "?", "ol",
    "o.l", "o.l.", "overload", "err", "error", "unavailable", "unknown", "invalid", "disconnected",
    "no data", "missing", "#value!", "#ref!", "#div/0!",
))
ROUGHLY = r"(?:approx\.?|about|ca\.?|circa|~|≈)"
# Digits of other scripts are digits to a pattern, but not to the reader of numbers.
PLAIN = r"[-+]?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?"
WITH_UNIT = (rf"^(?P<rough>{ROUGHLY})?\s*(?P<number>{PLAIN})\s*"
             rf"(?P<unit>[^\d\s+\-.,][^\d]*?)?\s*(?P<after>{ROUGHLY})?$")


@dataclass(frozen=True, eq=False)
class Numbers:
    """A column as numbers.

    Parameters
    ----------
    values : ndarray, shape (n,)
        NaN where nothing was measured. [as written]
    units : ndarray of str, shape (n,), or None
        Unit written in each cell, ``""`` where none is; None where no cell has one.
    silent : ndarray of bool, shape (n,)
        Cells in which a word says that nothing was measured; a blank cell says nothing.
    said : tuple of str
        What was taken for what.
    """

    values: np.ndarray
    units: np.ndarray | None = None
    silent: np.ndarray = field(default_factory=lambda: np.zeros(0, bool))
    said: tuple[str, ...] = ()


def column_numbers(rows: Rows, heading: str, decimal: str, no_value: list[str]) -> Numbers:
    """Numbers of a column.

    Parameters
    ----------
    rows : Rows
        Of the log.
    heading : str
        Of the column.
    decimal : str
        Decimal sign.
    no_value : list of str
        Words of this instrument for “nothing was measured”, besides the usual ones.

    Returns
    -------
    Numbers

    Raises
    ------
    UserError
        Text where numbers belong, or nothing but blanks.
    """
    if heading in rows.numbers:
        return Numbers(rows.numbers[heading], silent=np.zeros(rows.count, bool))
    return text_numbers(rows.texts[heading], heading, rows, decimal, no_value)


def text_numbers(
    cells: pd.Series, heading: str, rows: Rows, decimal: str, no_value: list[str]
) -> Numbers:
    """Numbers of cells that are text; parameters and faults as for :func:`column_numbers`."""
    import pandas as pd

    there = cells.notna().to_numpy()
    words = cells.str.lower().isin(NO_VALUE | {word.strip().lower() for word in no_value})
    silent = words.fillna(False).to_numpy(bool)
    plain = _plain(cells, decimal)
    values = pd.to_numeric(plain, errors="coerce").to_numpy(float, na_value=np.nan).copy()
    values[silent] = np.nan
    said, units = [], None
    wrong = there & ~silent & ~np.isfinite(values)
    if wrong.any():
        units, roughly = _with_units(plain, wrong, values)
        if roughly:
            said.append(f"{many(roughly, 'value')} of “{heading}” given as approximate, taken as "
                        "written")
        wrong &= ~np.isfinite(values)
    if wrong.any():
        raise UserError(_no_number(cells[wrong], heading, rows, decimal))
    if np.isnan(values).all():
        raise UserError(Fault(f'nothing but blanks in column "{heading}"', rows.name,
                              do="take it out of [log.columns], or export the log again"))
    if silent.any():
        kinds = listed(f"“{word}”" for word in cells[silent].unique())
        said.append(f"{many(int(silent.sum()), 'cell')} of “{heading}” say {kinds}: nothing was "
                    "measured there" if silent.sum() > 1 else
                    f"one cell of “{heading}” says {kinds}: nothing was measured there")
    return Numbers(values, units, silent, tuple(said))


def _plain(cells: pd.Series, decimal: str) -> pd.Series:
    """Text with a decimal point and a plain minus; the other sign must not pass for one."""
    text = cells.str.replace("\u2212", "-", regex=False)
    if decimal == ".":
        return text
    return text.where(~text.str.contains(".", regex=False, na=False)).str.replace(
        decimal, ".", regex=False)


def _with_units(
    plain: pd.Series, wrong: np.ndarray, values: np.ndarray
) -> tuple[np.ndarray | None, int]:
    """Fill in values of cells such as “24.5 °C” or “approx 24”; their units, and how many rough."""
    import pandas as pd

    parts = plain[wrong].str.extract(WITH_UNIT)
    unit = parts["unit"].fillna("").map(lambda text: bare_unit(text) if text else "")
    good = (parts["number"].notna() & unit.map(
        lambda text: not text or unit_kind(text) is not None)).to_numpy(bool)
    at = np.flatnonzero(wrong)[good]
    values[at] = pd.to_numeric(parts["number"][good]).to_numpy(float)
    units = np.full(len(values), "", object)
    units[at] = unit[good].to_numpy(object)
    rough = int((parts["rough"].notna() | parts["after"].notna())[good].sum())
    return (units if (units != "").any() else None), rough


def _no_number(wrong: pd.Series, heading: str, rows: Rows, decimal: str) -> Fault:
    first = ", ".join(
        f'line {rows.line(int(row))}: "{_shown(value)}"'
        for row, value in wrong.iloc[:SHOWN].items()
    )
    more = f" and {len(wrong) - SHOWN} more" if len(wrong) > SHOWN else ""
    other = "," if decimal == "." else "."
    words = list(dict.fromkeys(wrong.astype(str)))
    do = "leave a cell blank where nothing was measured"
    if wrong.astype(str).str.fullmatch(rf"\s*[-+]?\d*[{other}]\d+\s*").all():
        do = f'if these are decimal signs, say so in the [[log]] block: decimal = "{other}"'
    elif len(words) <= SHOWN and not any(sign in word for word in words for sign in '"\\'):
        quoted = ", ".join(f'"{word}"' for word in words)
        do += f"; or, if this says so, add to the [[log]] block: no_value = [{quoted}]"
    return Fault(f'text where numbers belong, in column "{heading}"',
                 rows.place(int(wrong.index[0])), found=first + more, do=do)


def _shown(value: object) -> str:
    text = str(value)
    return text if len(text) <= 40 else f"{text[:39]}…"
