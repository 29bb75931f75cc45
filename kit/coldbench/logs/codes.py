"""Error codes that instruments write in place of a value: dropped only when they also jump."""

from __future__ import annotations

import numpy as np

from coldbench.logs.limits import QUALITY
from coldbench.quantities import unit_kind

# Common practice, no source. The first are also temperatures that a bench can have: a probe in ice
# water, a hot sink. They are codes only for a sample or a few.
COULD_BE_TRUE = (0.0, 85.0)
AT_AN_END = 85.0  # what a digital probe shows before its first conversion
# In °C, and as a hub turns them into °F.
OF_PROBES = (-127.0, 127.0, 127.9, 127.94, 127.9375, -100.0)
OF_ANYTHING = (999.0, 999.9, -999.0, -999.9, 9999.0, 9999.9, -9999.0, 99999.0, 32767.0, -32768.0,
               3276.7, -3276.8, 65535.0, 6553.5)
FAHRENHEIT = 1.8


def error_codes(written: np.ndarray, unit: str) -> np.ndarray:
    """Samples that are an instrument's error code.

    Parameters
    ----------
    written : ndarray, shape (n,)
        As written; NaN where blank. [unit]
    unit : str
        Unit of the column.

    Returns
    -------
    ndarray of bool, shape (n,)
        Exact codes that jump by more than 5 K from the good values on both sides, or on the one
        side that there is; a run of one code counts as one sample. Of a column that is no
        temperature, codes that are ten times larger than any other value.

    References
    ----------
    .. [1] This kit's own definition; the codes are common practice, no source.

    Examples
    --------
    >>> error_codes(np.array([85.0, 24.0, -127.0, -127.0, 24.1, 0.0, 0.3]), "°C").tolist()
    [True, False, True, True, False, False, False]
    """
    bad = np.zeros(len(written), bool)
    kind = unit_kind(unit) if unit else None
    codes = _codes(written, unit, kind)
    if not codes:
        return bad
    there = np.flatnonzero(~np.isnan(written))
    values = written[there]
    found = np.zeros(len(values), bool)
    for code in codes:
        found |= np.abs(values - code) < 1e-6
    if not found.any() or found.all():
        return bad
    if kind != "temperature":
        largest = np.abs(values[~found]).max()
        bad[there] = found & (np.abs(values) > QUALITY.code_share * max(largest, 1.0))
        return bad
    begin = np.flatnonzero(np.append(True, np.diff(values) != 0))
    end = np.append(begin[1:], len(values))
    of_code = found[begin]
    begin, end = begin[of_code], end[of_code]
    scale = FAHRENHEIT if unit == "°F" else 1.0
    limit = QUALITY.jump * scale
    before = np.abs(values[begin] - values[np.maximum(begin - 1, 0)])
    after = np.abs(values[begin] - values[np.minimum(end, len(values) - 1)])
    jumps = ((before > limit) | (begin == 0)) & ((after > limit) | (end == len(values)))
    shown = _celsius(values[begin], unit)
    could_be = np.isclose(shown[:, None], COULD_BE_TRUE, rtol=0, atol=1e-6).any(axis=1)
    inside = ((begin > 0) & (end < len(values))) | np.isclose(shown, AT_AN_END, rtol=0, atol=1e-6)
    jumps &= ~could_be | (inside & (end - begin <= QUALITY.code_run))
    # Samples between the first and the last of each run that jumps.
    edges = np.zeros(len(values) + 1, int)
    np.add.at(edges, begin[jumps], 1)
    np.add.at(edges, end[jumps], -1)
    bad[there] = np.cumsum(edges[:-1]) > 0
    return bad


def _codes(written: np.ndarray, unit: str, kind: str | None) -> list[float]:
    """Codes that lie within what was written."""
    low, high = extent(written)
    codes = list(OF_ANYTHING)
    if kind == "temperature":
        codes += [*COULD_BE_TRUE, *OF_PROBES]
        if unit == "°F":
            codes += [code * FAHRENHEIT + 32 for code in (*COULD_BE_TRUE, *OF_PROBES)]
    return [code for code in codes if low - 1e-6 <= code <= high + 1e-6]


def extent(values: np.ndarray) -> tuple[float, float]:
    """Least and greatest value, blanks left out; NaN where there is none."""
    low, high = (float(values.min()), float(values.max())) if len(values) else (np.nan, np.nan)
    if np.isfinite(low) or not len(values) or np.isnan(values).all():
        return low, high
    return float(np.nanmin(values)), float(np.nanmax(values))


def _celsius(values: np.ndarray, unit: str) -> np.ndarray:
    return (values - 32) / FAHRENHEIT if unit == "°F" else values
