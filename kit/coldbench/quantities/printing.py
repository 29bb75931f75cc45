"""Numbers as a report prints them: two figures on the uncertainty, the value to match."""

from __future__ import annotations

import math
from collections.abc import Callable

MINUS = "\u2212"
FIGURES_ALONE = 3
EXACT_DECIMALS = 3
EVEN = 0.05  # ends that differ by less of the width print as one ±


def two_figures(value: float | None, low: float | None, high: float | None) -> int:
    """Decimals with which a number and its interval are printed.

    Parameters
    ----------
    value, low, high : float or None
        A number and the ends of its interval; None is open or missing. [any]

    Returns
    -------
    int
        Decimals that leave two figures on half the interval's width. Negative: tens, hundreds.
        Where an end is open, the distance to the other one counts. Without any width the value
        stands alone and keeps three figures, or, with an interval of zero, what it was given.

    References
    ----------
    .. [1] JCGM 100:2008, 7.2.6: at most two significant digits on an uncertainty, the estimate
       rounded to match.

    Examples
    --------
    >>> two_figures(3.917, 3.468, 4.366), two_figures(5123.0, 4670.0, 5570.0)
    (2, -1)
    """
    if low is not None and high is not None:
        width = abs(high - low) / 2
    elif value is not None and (low is not None or high is not None):
        width = abs(value - (low if low is not None else high))
    else:
        ends = [abs(end) for end in (value, low, high) if end is not None]
        figures = FIGURES_ALONE if value is not None else 2
        return _figures(max(ends, default=0.0), figures)
    if width > 0 and math.isfinite(width):
        return _figures(width, 2)
    return _exact(value if value is not None else low if low is not None else high or 0.0)


def number(value: float, decimals: int) -> str:
    """A number with a real minus sign; zero has none.

    Parameters
    ----------
    value : float
        [any]
    decimals : int
        Negative ones round to tens, hundreds and so on.

    Examples
    --------
    >>> number(-18.04, 1), number(-0.04, 1), number(5123, -1)
    ('−18.0', '0.0', '5120')
    """
    text = f"{round(value, decimals):.{max(decimals, 0)}f}"
    if float(text) == 0:
        text = text.removeprefix("-")
    return text.replace("-", MINUS)


def show(
    value: float | None, low: float | None, high: float | None, unit: str = "", most: int = 99
) -> str:
    """A number with its interval, or the bounds in its place.

    Parameters
    ----------
    value, low, high : float or None
        None is open or missing. [unit]
    unit : str
        Printed after each number; ``"-"`` and ``""`` print none.
    most : int
        Decimals at most, where finer ones say nothing to a reader.

    Returns
    -------
    str
        ``"3.92 ± 0.45 °C"``, or ``"6.7 h (6.4 to 7.3)"`` where the ends lie unevenly;
        ``"≥ 2.0 h"`` and ``"between 6.2 h and 9.4 h"`` without a value, rounded outwards so that
        the bounds stay true; ``"no value"`` without anything.

    Examples
    --------
    >>> show(None, 2.0, None, "h"), show(None, 6.2, 9.4, "h")
    ('≥ 2.0 h', 'between 6.2 h and 9.4 h')
    """
    decimals = min(two_figures(value, low, high), most)
    if value is not None and any(end and round(end, decimals) == 0 for end in (low, high)):
        decimals += 1  # an end that is not zero must not look it
    if value is None:
        return _bounds(low, high, unit, decimals)
    shown = f"{number(value, decimals)}{_suffix(unit)}"
    if low is None and high is None:
        return shown
    if low is None:
        return f"{shown} (≤ {number(high, decimals)})"
    if high is None:
        return f"{shown} (≥ {number(low, decimals)})"
    if low == high == value:
        return shown
    below, above = value - low, high - value
    if abs(above - below) <= EVEN * (above + below):
        half = number(max(above, below), decimals)
        return f"{number(value, decimals)} ± {half}{_suffix(unit)}"
    return f"{shown} ({number(low, decimals)} to {number(high, decimals)})"


def _bounds(low: float | None, high: float | None, unit: str, decimals: int) -> str:
    suffix = _suffix(unit)
    below = None if low is None else number(_outwards(low, decimals, math.floor), decimals)
    above = None if high is None else number(_outwards(high, decimals, math.ceil), decimals)
    if below is not None and above is not None:
        return f"between {below}{suffix} and {above}{suffix}"
    if below is not None:
        return f"≥ {below}{suffix}"
    return "no value" if above is None else f"≤ {above}{suffix}"


def _outwards(value: float, decimals: int, towards: Callable[[float], int]) -> float:
    step = 10.0**decimals
    near = round(value * step)
    # 6.2 × 10 is 62.000000000000004 or so: what is whole but for that stays.
    whole = near if math.isclose(value * step, near, rel_tol=1e-9) else towards(value * step)
    return whole / step


def _suffix(unit: str) -> str:
    if unit in ("", "-"):
        return ""
    return unit if unit == "°" else f" {unit}"


def _figures(size: float, figures: int) -> int:
    """Decimals that leave some figures on a positive number."""
    if size == 0 or not math.isfinite(size):
        return 0
    decimals = figures - 1 - math.floor(math.log10(size))
    # 0.0996 to two figures is 0.10: rounding up has gained a figure.
    gained = round(size, decimals) >= 10.0 ** (figures - decimals)
    return decimals - int(gained)


def _exact(value: float) -> int:
    for decimals in range(EXACT_DECIMALS):
        if round(value, decimals) == round(value, EXACT_DECIMALS):
            return decimals
    return max(EXACT_DECIMALS, _figures(abs(value), FIGURES_ALONE) if abs(value) < 1 else 0)
