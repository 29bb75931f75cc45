"""From an instrument's stated limits to draws of what was really there.

A reading is ``true · (1 + gain) + offset``. Offset and gain are hidden constants of the probe,
drawn by its name, so all findings of a campaign that used the probe share them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from coldbench import draws
from coldbench.logs.record import Trace

TOLD_BY = 200_000  # second differences that tell the noise of a log


@dataclass(frozen=True, eq=False, kw_only=True)
class CheckedTrace(Trace):
    """Readings corrected by a same-place check.

    Parameters
    ----------
    rest : ndarray, shape (4000,)
        Draws of the offset that the correction leaves; those of all probes of one check share
        what they have in common. [K]
    """

    rest: np.ndarray


def offset(trace: Trace) -> np.ndarray | None:
    """Draws of a probe's constant offset.

    Returns
    -------
    ndarray, shape (4000,), or None
        Rectangular within the stated limit, or what a same-place check left; None when the sheet
        states no error. [unit]

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.2; one constant a probe is this kit's own definition.
    """
    if trace.error is None:
        return None
    if isinstance(trace, CheckedTrace):
        return trace.rest
    return draws.uniform(f"{trace.probe} offset", trace.error.absolute)


def gain(trace: Trace) -> np.ndarray | None:
    """Draws of a probe's constant relative error.

    Returns
    -------
    ndarray, shape (4000,), or None
        Rectangular within the stated limit; None when the sheet states no error. [-]

    References
    ----------
    .. [1] As :func:`offset`.
    """
    if trace.error is None:
        return None
    return draws.uniform(f"{trace.probe} gain", trace.error.relative)


def true_of(trace: Trace, reading: np.ndarray | float) -> np.ndarray | None:
    """Draws of the true quantity behind a reading (or a mean of readings).

    Parameters
    ----------
    trace : Trace
        Whose probe's hidden constants apply.
    reading : float or ndarray, shape (4000,)
        [unit of the trace]

    Returns
    -------
    ndarray, shape (4000,), or None
        None when the instrument's error is not stated. [unit of the trace]

    References
    ----------
    .. [1] As :func:`offset`.
    """
    if trace.error is None:
        return None
    return (reading - offset(trace)) / (1 + gain(trace))


def reading_of(trace: Trace, true: float) -> np.ndarray | None:
    """Draws of what the probe shows at a true value: the level to look for in the readings.

    Parameters
    ----------
    true : float
        [unit of the trace]

    Returns
    -------
    ndarray, shape (4000,), or None
        [unit of the trace]

    References
    ----------
    .. [1] As :func:`offset`.
    """
    if trace.error is None:
        return None
    return true * (1 + gain(trace)) + offset(trace)


@lru_cache(maxsize=32)
def noise_sd(trace: Trace) -> float:
    """Standard deviation of one reading about a smooth course, seen in the readings.

    Returns
    -------
    float
        From second differences of neighbouring samples, by their median, so that cycles and
        jumps do not count as noise; at least that of rounding. [unit]

    References
    ----------
    .. [1] This kit's own definition; the factor 0.6745 is the normal's median deviation and
       √6 the norm of the second difference (1, −2, 1).
    """
    rounding = trace.resolution / np.sqrt(12)
    if len(trace.y) < 5:
        return float(rounding)
    # Some hundred thousand of them, spread evenly, tell it as well as millions.
    every = max(1, len(trace.y) // TOLD_BY)
    y = trace.y
    second = np.abs(y[:-2:every] - 2 * y[1:-1:every] + y[2::every])
    return float(max(np.median(second) / 0.6745 / np.sqrt(6), rounding))


def mean_scatter(name: str, trace: Trace, seen_range: float, samples: int) -> np.ndarray:
    """Draws of what rounding and noise leave in a mean of many readings.

    Parameters
    ----------
    name : str
        Name of the scatter: finding, cooler and run.
    trace : Trace
        Its resolution and noise count.
    seen_range : float
        Range of the readings in the window: rounding averages out only where the readings
        move over several steps. [unit]
    samples : int
        Readings in the mean.

    Returns
    -------
    ndarray, shape (4000,)
        [unit]

    References
    ----------
    .. [1] This kit's own definition; rectangular rounding error after JCGM 101:2008, 6.4.2.
    """
    steps_seen = max(1.0, seen_range / trace.resolution) if trace.resolution else 1.0
    rounding = trace.resolution / 2 / steps_seen
    noise = noise_sd(trace) / np.sqrt(max(samples, 1))
    return draws.uniform(f"{name} rounding", rounding) + draws.normal(f"{name} noise", noise)
