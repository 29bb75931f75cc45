"""One finding of a design, predicted and measured, and what parts make of the difference."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.design.expected import SURE
from coldbench.design.limits import DESIGN
from coldbench.findings import KINDS

SPREADS = {"energy": LIMITS.spread_energy, "time": LIMITS.spread_time}


@dataclass(frozen=True)
class Told:
    """A number and its 95 % interval; None where it is not known. [as its row]"""

    value: float | None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Term:
    """What of a difference one part makes. [as its row]"""

    what: str
    told: Told


@dataclass(frozen=True)
class Row:
    """One finding, predicted and measured.

    Parameters
    ----------
    finding, at, unit : str
        As in findings; of walls and machine at full drive in words.
    runs : tuple of str
        Those that measured it.
    inside, ambient : float or None
        Measured conditions under which it was predicted. [°C]
    predicted, measured, apart : Told
        ``apart`` is predicted less measured, draw by draw, with what one run differs from the
        next. [unit]
    agrees : {"yes", "no", "cannot tell"}
        Whether ``apart`` may be nothing. Cannot tell: an interval is missing, holding is not
        sure, or so much is open that half of the value would not show.
    terms : tuple of Term
        What each part of the prediction makes of ``apart``, in the order in which they give way.
    remains : Told or None
        What no part explains; None where no part was measured.
    """

    finding: str
    at: str
    unit: str
    runs: tuple[str, ...]
    inside: float | None
    ambient: float | None
    predicted: Told
    measured: Told
    apart: Told
    agrees: str
    terms: tuple[Term, ...] = ()
    remains: Told | None = None


def row_of(
    finding: str, at: str, runs: tuple[str, ...], conditions: tuple[float | None, float | None],
    ways: Sequence[tuple[str, np.ndarray]], value: float, true: np.ndarray | None,
) -> Row:
    """A finding with its terms.

    Parameters
    ----------
    finding, at : str
        What, see :class:`Row`.
    runs : tuple of str
        That measured it.
    conditions : tuple
        Inside and ambient, or None. [°C]
    ways : sequence of (str, ndarray)
        The prediction, then the same with one part after another as it was measured, with the
        part's name; NaN where the machine cannot hold. [unit]
    value : float
        Measured. [unit]
    true : ndarray, shape (4000,), or None
        Draws of it; None where an instrument states no error. [unit]

    Returns
    -------
    Row

    References
    ----------
    .. [1] JCGM 101:2008, 7: draws subtracted row by row. This kit's own otherwise.
    """
    inside, ambient = conditions
    measured = Told(value) if true is None else Told(value, *draws.interval(true))
    first, last = ways[0][1], ways[-1][1]
    predicted, apart = _told(first), _apart(finding, runs, first, value, true)
    terms, remains = [], None
    if len(ways) > 1 and all(_sure(one) for _, one in ways):
        for (_, was), (what, now) in zip(ways[:-1], ways[1:], strict=True):
            told = _told(was - now, float(np.median(was) - np.median(now)))
            if (told.low, told.high) != (0.0, 0.0):
                terms.append(Term(what, told))
        remains = _apart(finding, runs, last, value, true)
    return Row(finding, at, KINDS[finding].unit, runs, inside, ambient, predicted, measured, apart,
               _agrees(finding, first, apart, value, ambient), tuple(terms), remains)


def _sure(values: np.ndarray) -> bool:
    return float(np.isfinite(values).mean()) >= SURE


def _told(values: np.ndarray, middle: float | None = None) -> Told:
    """None where a machine does not surely hold."""
    values = np.broadcast_to(np.asarray(values, float), draws.DRAWS)
    if not _sure(values):
        return Told(None)
    kept = np.where(np.isfinite(values), values, np.nanmax(values))
    return Told(float(np.median(kept)) if middle is None else middle, *draws.interval(kept))


def _apart(
    finding: str, runs: tuple[str, ...], predicted: np.ndarray, value: float,
    true: np.ndarray | None,
) -> Told:
    """Predicted less measured, and what one run of the same differs from the next."""
    if not _sure(predicted):
        return Told(None)
    middle = float(np.nanmedian(predicted)) - value
    if true is None:
        return Told(middle)
    name, varies = f"{' '.join(runs)} again", KINDS[finding].varies
    again = (draws.normal(name, LIMITS.spread_temperature) if varies == "temperature"
             else true * draws.normal(name, SPREADS[varies]))
    return _told(predicted - true + again, middle)


def _agrees(
    finding: str, predicted: np.ndarray, apart: Told, value: float, ambient: float | None
) -> str:
    if float(np.isfinite(predicted).mean()) <= 1 - SURE:
        return "no"  # it was predicted not to hold what it holds
    if apart.value is None or apart.low is None:
        return "cannot tell"
    if not apart.low <= 0 <= apart.high:
        return "no"
    whole = abs(value - ambient) if finding == "coldest_air" else abs(value)
    return "yes" if (apart.high - apart.low) / 2 <= DESIGN.beside_open * whole else "cannot tell"
