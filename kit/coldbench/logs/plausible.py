"""Columns that cannot be what they are declared to be, and those that one has to ask about."""

from __future__ import annotations

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.codes import extent
from coldbench.logs.columns import Column
from coldbench.logs.record import steps_of
from coldbench.logs.rows import Rows
from coldbench.quantities import number
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.run import LogSheet
from coldbench.sheets.types import ABSOLUTE_ZERO

COLDEST_BENCH, HOTTEST_BENCH = -100.0, 150.0  # dry ice and a hot compressor lie between [°C]
FEW = 20  # steps that tell nothing yet of how a log is written
IRREGULAR = 3.0  # 90th percentile of the steps over their median


def refuse_too_cold(
    heading: str, role: str, unit: str, values: np.ndarray, at: np.ndarray | None, rows: Rows
) -> None:
    """Refuse a temperature that does not exist, such as a broken lead gives.

    Parameters
    ----------
    heading, role, unit : str
        Of the column; the unit as written.
    values : ndarray, shape (n,)
        [unit of the role]
    at : ndarray of int, shape (n,), or None
        Row of each value; None where each row has one.
    rows : Rows
        Names the line.

    Raises
    ------
    UserError
        Colder than absolute zero.
    """
    if ROLE_KINDS[base_role(role)] != "temperature" or not (
            extent(values)[0] < ABSOLUTE_ZERO - 1e-6):
        return
    first = int(np.flatnonzero(values < ABSOLUTE_ZERO - 1e-6)[0])
    raise UserError(Fault(
        f'colder than absolute zero, in column "{heading}"',
        rows.place(first if at is None else int(at[first])),
        found=f"{values[first]:.6g} °C, from {unit}",
        do="mend the unit, or blank the cells in which the instrument reports a broken lead",
    ))


def question_of(column: Column) -> str | None:
    """What to ask of a temperature that no bench has: most often its unit is another one."""
    if ROLE_KINDS[base_role(column.role)] != "temperature":
        return None
    low, high = extent(column.values)
    if COLDEST_BENCH <= low and high <= HOTTEST_BENCH:
        return None
    span = f"from {number(low, 1)} to {number(high, 1)} °C"
    return f'Column "{column.heading}" goes {span}, read as {column.unit}: is that its unit?'


def refuse_on_change(columns: list[Column], log: LogSheet, where: str) -> None:
    """Refuse a log on change that does not say how long a silence is a gap.

    Parameters
    ----------
    columns : list of Column
        All of a log.
    log : LogSheet
        Its declarations.
    where : str
        File and line of the log's block.

    Raises
    ------
    UserError
        No gap is stated, and the steps of a column differ too much for a rule.
    """
    if log.gap is not None:
        return
    uneven = {}
    for column in columns:
        blank = np.isnan(column.values)
        least, most, _ = steps_of(column.t)
        if log.columns[column.heading].bucket is not None or (
                most <= IRREGULAR * least and not blank.any()):
            continue
        step = np.diff(column.t[~blank])
        if is_uneven(step):
            uneven[column.heading] = step
    if not uneven:
        return
    names = ", ".join(f'"{heading}"' for heading in uneven)
    all_steps = np.concatenate(list(uneven.values()))
    raise UserError(Fault(
        f"written on change: {names}. How long a silence is a gap?", where,
        found=f"steps from {all_steps.min():.0f} s to {all_steps.max():.0f} s",
        do='say it in the [[log]] block: gap = "30 min"',
    ))


def is_uneven(steps: np.ndarray) -> bool:
    """Whether steps between samples are those of a log on change.

    Parameters
    ----------
    steps : ndarray, shape (n,)
        [s]
    """
    if len(steps) <= FEW or steps.max() <= IRREGULAR * steps.min():
        return False
    return bool(np.quantile(steps, 0.9) > IRREGULAR * np.median(steps))
