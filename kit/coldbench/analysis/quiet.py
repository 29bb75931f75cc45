"""Stretches in which all probes stood still: proposed as windows, never taken unasked."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from coldbench.analysis.limits import LIMITS
from coldbench.logs.record import Trace

GRID = 30.0  # [s]
AS_DONE = ('Add to its sheet [window.ice] with from = "…" and to = "…", counted from the start, '
           "or [window.air], or both")


def to_add(traces: list[Trace], begin: float) -> str:
    """Lines for the run sheet, for the one who was there to confirm.

    Parameters
    ----------
    traces : list of Trace
        Temperatures, one a probe.
    begin : float
        Start of the run, POSIX. [s]

    Returns
    -------
    str
        The longest quiet stretch near 0 °C and the longest elsewhere; only what to write where
        no stretch is quiet.

    References
    ----------
    .. [1] This kit's own definition.
    """
    lines = [
        f'window.{bath} = {{ from = "{_minutes(a - begin, np.ceil)}", '
        f'to = "{_minutes(b - begin, np.floor)}" }}'
        for bath, (a, b) in quiet(traces).items() if a >= begin
    ]
    if not lines:
        return AS_DONE
    return f"If it was so, add above the first table of its sheet: {'  and  '.join(lines)}"


def quiet(traces: list[Trace]) -> dict[str, tuple[float, float]]:
    """Longest quiet stretch near 0 °C (``ice``) and elsewhere (``air``).

    Parameters
    ----------
    traces : list of Trace
        Temperatures, one a probe.

    Returns
    -------
    dict of str to pair of float
        POSIX; without what was not found. [s]

    References
    ----------
    .. [1] This kit's own definition.
    """
    t = np.arange(max(x.t[0] for x in traces), min(x.t[-1] for x in traces), GRID)
    if t.size * GRID <= LIMITS.quiet_over:
        return {}
    wide = round(LIMITS.quiet_over / GRID)
    y = np.array([np.interp(t, x.t, x.y) for x in traces])
    still = np.abs(y[:, wide:] - y[:, :-wide]).max(axis=0) < LIMITS.quiet_moved
    near = still & (np.ptp((y[:, wide:] + y[:, :-wide]) / 2, axis=0) < 2 * LIMITS.quiet_near)
    level = (y[:, wide:].mean(axis=0) + y[:, :-wide].mean(axis=0)) / 2
    found = {}
    for bath, chosen in (("ice", near & (np.abs(level) < LIMITS.quiet_near)),
                         ("air", near & (np.abs(level) >= LIMITS.quiet_near))):
        longest = max(_stretches(chosen), key=lambda ab: ab[1] - ab[0], default=None)
        if longest is not None:
            a, b = t[longest[0]], t[longest[1] + wide]
            if b - a >= LIMITS.quiet_shortest:
                found[bath] = (float(a), float(b))
    return found


def _stretches(chosen: np.ndarray) -> Iterable[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], chosen, [False]]).astype(int)))
    return zip(edges[::2].tolist(), (edges[1::2] - 1).tolist(), strict=True)


def _minutes(seconds: float, whole: np.ufunc) -> str:
    return f"{int(whole(seconds / 60))} min"
