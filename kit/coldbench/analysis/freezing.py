"""What a probe at the load's centre shows of freezing: supercooling, plateau and its end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench.analysis.doubt import noise_sd
from coldbench.analysis.limits import LIMITS
from coldbench.logs.record import Trace

HOUR = 3600.0


@dataclass(frozen=True)
class Freezing:
    """What the centre probe showed.

    Parameters
    ----------
    zero, start, end : float
        Load's time zero, start of freezing, end of the plateau; NaN where not seen. POSIX. [s]
    level : float
        Temperature of the plateau as read. [°C]
    slope : float
        Slope of the plateau. [K/h]
    dip : float or None
        Coldest reading before the jump up, where the water supercooled. [°C]
    start_between, end_between : (float, float)
        Samples between which start and end lie, POSIX. [s]
    """

    zero: float
    start: float
    end: float
    level: float
    slope: float
    dip: float | None
    start_between: tuple[float, float]
    end_between: tuple[float, float]


def find_freezing(trace: Trace, zero: float, end: float) -> Freezing | None:
    """Supercooling, plateau and its end, in the readings of a probe at the load's centre.

    Parameters
    ----------
    trace : Trace
        Load temperature.
    zero, end : float
        Load's time zero and the end of running, POSIX. [s]

    Returns
    -------
    Freezing or None
        None where the readings never come near freezing.

    Notes
    -----
    The plateau's level is the temperature within ±1 K of 0 °C (and the probe's error) at which
    the centre stayed longest. Freezing starts with the jump that ends supercooling, else with the
    first sample within 0.5 K of the plateau's level. The plateau ends where the centre leaves
    that level by 0.5 K downwards for good.

    References
    ----------
    .. [1] This kit's own definition.
    """
    used = (trace.t >= zero) & (trace.t <= end)
    t, y = trace.t[used], trace.y[used]
    limit = trace.error.absolute if trace.error else 1.0
    if len(t) < 5 or y.min() > limit + 0.3:
        return None
    level = _plateau_level(t, y, 1.0 + limit)
    if level is None:
        return None
    jump = _jump(t, y, level, trace)
    if jump is not None:
        i = jump + 1
        start, before = (t[jump] + t[i]) / 2, t[jump]
        dip = float(y[: jump + 1].min())
    else:
        i = int(np.flatnonzero(y <= level + LIMITS.plateau_band)[0])
        start, before = t[i], t[max(i - 1, 0)]
        dip = None
    plateau = np.flatnonzero(np.abs(y[i:] - level) <= LIMITS.plateau_band) + i
    last = int(plateau[-1]) if len(plateau) else i
    stop, end_between = _leaves(t, y, last, level - LIMITS.plateau_leave)
    slope = float(np.polyfit((t[i:last + 1] - t[i]) / HOUR, y[i:last + 1], 1)[0]) if (
        last - i >= 3
    ) else 0.0
    start_between = (float(before), float(t[i]))
    return Freezing(zero, float(start), stop, level, slope, dip, start_between, end_between)


def _plateau_level(t: np.ndarray, y: np.ndarray, reach: float) -> float | None:
    """Temperature near 0 °C at which the centre stayed longest, at least ten minutes."""
    near = np.abs(y) <= reach
    if near.sum() < 3:
        return None
    bins = np.arange(-reach - 0.05, reach + 0.15, 0.1)
    step = np.minimum(np.gradient(t), 10 * np.median(np.diff(t)))
    time, _ = np.histogram(y[near], bins, weights=step[near])
    wide = np.convolve(time, np.ones(3), mode="same")
    best = int(np.argmax(wide))
    if wide[best] < LIMITS.smoothing:
        return None
    middle = (bins[best] + bins[best + 1]) / 2
    return float(np.median(y[near & (np.abs(y - middle) <= 0.2)]))


def _jump(t: np.ndarray, y: np.ndarray, level: float, trace: Trace) -> int | None:
    """Last sample before the jump that ends supercooling, or None."""
    least = max(LIMITS.jump, 5 * noise_sd(trace))
    reach = max(3, int(np.ceil(300 / max(trace.step, 1.0))))
    later = np.lib.stride_tricks.sliding_window_view(np.append(y, np.full(reach, y[-1])), reach + 1)
    rise = later[:, 1:].max(axis=1) - y
    dips = np.flatnonzero((y < level - least) & (rise >= least) &
                          (np.abs(y + rise - level) <= LIMITS.plateau_band + least))
    if not len(dips):
        return None
    first = dips[0]
    span = y[first:first + reach + 1]
    return int(first + np.argmax(np.diff(span)))


def _leaves(
    t: np.ndarray, y: np.ndarray, last: int, level: float
) -> tuple[float, tuple[float, float]]:
    """When the line passes a level after the plateau's last sample, and between which samples.

    NaN if it never does.
    """
    after = np.flatnonzero(y[last:] <= level)
    if not len(after):
        return np.nan, (np.nan, np.nan)
    j = last + int(after[0])
    i = j - 1
    at = t[i] + (y[i] - level) / (y[i] - y[j]) * (t[j] - t[i]) if y[i] > level else t[j]
    return float(at), (float(t[i]), float(t[j]))
