"""Clocks that cannot be right: never set, of another century, or read off lines that are none."""

from __future__ import annotations

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.rows import Rows
from coldbench.logs.words import many

DAY = 86_400.0
# Where clocks start that nobody has set: the epochs of computers, of satellite time, of chips.
UNSET = (0.0, 315_964_800.0, 946_684_800.0)
UNSET_SPAN = 30 * DAY
UNSET_JUMP = 365 * DAY
CENTURIES = (-2_208_988_800.0, 7_258_118_400.0)  # 1900 to 2200: no log is from beyond [s]


def set_clock(local: np.ndarray) -> tuple[np.ndarray, list[str]]:
    """Rows written since the clock was set, and a word on the others.

    Parameters
    ----------
    local : ndarray, shape (n,)
        Since 1970, by the log's own clock. [s]

    Returns
    -------
    kept : ndarray of bool, shape (n,)
        All where the clock was never set.
    said : list of str
        One sentence, or none.
    """
    everyone = np.ones(len(local), bool)
    if not len(local) or local.min() > UNSET[-1] + UNSET_SPAN:
        return everyone, []
    unset = ~everyone
    for epoch in UNSET:
        unset |= (local >= epoch) & (local < epoch + UNSET_SPAN)
    set_ = local[~unset]
    if not len(set_):
        return everyone, ["the clock was never set: all rows are from its zero on, and only the "
                          "times between them can be told"]
    if set_.min() - local[unset].max(initial=0.0) < UNSET_JUMP:
        return everyone, []
    return ~unset, [f"{many(int(unset.sum()), 'row')} from before the clock was set left out"]


def refuse_far(t: np.ndarray, rows: Rows) -> None:
    """Refuse times that no log is from: a year misread, or a count in another unit.

    Parameters
    ----------
    t : ndarray, shape (n,)
        Since 1970. [s]
    rows : Rows
        Names the line.

    Raises
    ------
    UserError
        At the first of them.
    """
    far = np.flatnonzero((t < CENTURIES[0]) | (t >= CENTURIES[1]))
    if len(far):
        raise UserError(Fault(
            "a time that no clock shows", rows.place(int(far[0])),
            found=f"{t[far[0]] / (365.2425 * DAY) + 1970:.6g}", allowed="a year from 1900 to 2199",
            do="mend the time in a copy of the log, or how its column is declared",
        ))


def refuse_holes(rows: Rows) -> None:
    """Refuse lines that are no rows where rows are counted for the time: all later ones shift.

    Parameters
    ----------
    rows : Rows
        Of a log without times.

    Raises
    ------
    UserError
        At the first of them.
    """
    holes = np.flatnonzero(np.diff(rows.all_lines) != 1)
    if len(holes):
        raise UserError(Fault(
            "between rows that carry no time stands a line that is none of them",
            f"{rows.name}:{rows.line(int(holes[0])) + 1}",
            do="if no reading is missing there, take the line out of a copy of the log; else cut "
               "the log there into files of their own, and give each the time of its first row: "
               "time = { every = …, from = 2031-06-14T09:00:00 }",
        ))
