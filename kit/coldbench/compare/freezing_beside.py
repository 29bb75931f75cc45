"""Predicted freezing times set beside the measured ones, and why they may differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coldbench.findings import Finding, find
from coldbench.quantities import number

# What each law speaks of: Plank's has no sensible heat in it.
OF = {"plateau, Plank": ("Plank", "plateau_time", "plateau"),
      "start to end, Pham": ("Pham", "freeze_time", "freezing time")}
FASTER = ("the container touched a cold wall or plate, the fan blew harder than assumed, or the "
          "probe was not in the last water to freeze")
SLOWER = ("containers stood close together, the air at them was warmer than at its probe, or "
          "hardly moved")
WARM_FIRST = "the air was warmer at first than on its mean"


@dataclass(frozen=True)
class Beside:
    """A measured time and what a law says of it.

    Parameters
    ----------
    law : str
        ``Plank`` or ``Pham``.
    what : str
        The time that law speaks of, in words.
    measured, predicted : Finding
        ``plateau_time`` or ``freeze_time``, and ``freeze_time_predicted``. [h]
    verdict : {"agree", "faster", "slower", "cannot tell"}
        Of the measured against the predicted.
    why : str
        What may be behind a difference; empty where they agree.
    """

    law: str
    what: str
    measured: Finding
    predicted: Finding
    verdict: Literal["agree", "faster", "slower", "cannot tell"]
    why: str = ""

    @property
    def words(self) -> str:
        """``plateau measured 8.9 h, Plank 7.6–19.0 h: agree``."""
        said = f"{self.what} {_measured(self.measured)}, {self.law} {_span(self.predicted)}"
        if self.verdict in ("faster", "slower"):
            return f"{said}: {self.verdict} than film and shape allow; {self.why}"
        return f"{said}: {self.verdict}"


def beside_measured(rows: Sequence[Finding]) -> list[Beside]:
    """Pairs of a measured and a predicted freezing time, of the same run.

    Parameters
    ----------
    rows : sequence of Finding
        Of the campaign.

    Returns
    -------
    list of Beside
        Plank's beside the plateau, Pham's beside the whole time.

    References
    ----------
    .. [1] This kit's own definition: they agree where their intervals overlap.
    """
    found = []
    for predicted in find(rows, finding="freeze_time_predicted"):
        law = next((words for at, words in OF.items() if predicted.at.startswith(at)), None)
        if law is None or predicted.low is None or predicted.high is None:
            continue
        name, finding, what = law
        for row in find(rows, finding=finding, cooler=predicted.cooler):
            if set(row.runs) & set(predicted.runs) and row.basis != "not measured":
                verdict = _verdict(row, predicted)
                found.append(
                    Beside(name, what, row, predicted, verdict, _why(verdict, name, row, rows)))
    return found


def _verdict(
    measured: Finding, predicted: Finding
) -> Literal["agree", "faster", "slower", "cannot tell"]:
    low, high = _ends(measured)
    if high < predicted.low:
        return "faster"
    if low > predicted.high:
        return "slower"
    # Tried for so long, without an end: it may still take as long as predicted, or longer.
    return "cannot tell" if not np.isfinite(high) else "agree"


def _ends(row: Finding) -> tuple[float, float]:
    if row.value is not None and row.low is None and row.high is None:
        return row.value, row.value
    return (row.low if row.low is not None else 0.0,
            row.high if row.high is not None else np.inf)


def _why(verdict: str, law: str, measured: Finding, rows: Sequence[Finding]) -> str:
    if verdict == "faster":
        return FASTER
    if verdict != "slower":
        return ""
    if law == "Plank":
        return SLOWER
    start = next((f for f in find(rows, finding="freeze_start", cooler=measured.cooler)
                  if set(f.runs) & set(measured.runs)), None)
    cooled = start.note if start is not None and "supercooled" in start.note else ""
    said = f"the water {cooled}, which no law counts; " if cooled else ""
    return f"{said}{WARM_FIRST}; {SLOWER}"


def _measured(row: Finding) -> str:
    if row.value is not None:
        return f"measured {number(row.value, 1)} h"
    if row.basis == "not reached":
        return f"not over in {number(row.low, 1)} h"
    return f"bounded, {_span(row)}"


def _span(row: Finding) -> str:
    low = number(row.low, 1) if row.low is not None else ""
    high = number(row.high, 1) if row.high is not None else ""
    return f"{low}–{high} h"
