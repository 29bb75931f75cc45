"""The heat balance of a closed box over a stretch of a run, from which its heat leak follows.

What came in through the walls, ``UA ∫ (ambient − inside) dt``, is what load and structure gained
plus what was put in or taken out otherwise (a heater, melting ice).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.doubt import gain, mean_scatter, true_of
from coldbench.analysis.heat import load_heat, load_mass, load_mass_draws
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Trace

END = 600.0  # temperatures at both ends are means over this [s]
PLATEAU = 0.5  # a load this near 0 °C is half water, half ice: its heat is not known [K]


@dataclass(frozen=True)
class Balance:
    """One stretch of a closed box; values as read, and draws of what was there.

    Parameters
    ----------
    t0, t1 : float
        POSIX. [s]
    drive, drive_true : float, ndarray of shape (4000,) or None
        ``∫ (ambient − inside) dt``; draws None where an instrument states no error. [K·s]
    load, load_true : float, ndarray of shape (4000,) or None
        Heat gained by load and containers. [J]
    rise, rise_true : float, ndarray of shape (4000,) or None
        By which the inside air got warmer: what the structure follows. [K]
    inside, ambient : float
        Means over the stretch. [°C]
    coverage : float
        Share of the stretch covered by both traces. [%]
    """

    t0: float
    t1: float
    drive: float
    drive_true: np.ndarray | None
    load: float
    load_true: np.ndarray | None
    rise: float
    rise_true: np.ndarray | None
    inside: float
    ambient: float
    coverage: float

    @property
    def wall(self) -> float:
        """Mean wall temperature: half way between inside and ambient. [°C]"""
        return (self.inside + self.ambient) / 2

    @property
    def stated(self) -> bool:
        """Whether all instruments state an error."""
        trues = (self.drive_true, self.load_true, self.rise_true)
        return all(true is not None for true in trues)


def balance(
    context: Context, t0: float, t1: float, by_weight: bool = False
) -> Balance | None:
    """Balance of a run between two instants.

    Parameters
    ----------
    context : Context
        Run with air; ambient logged or typed; load places where there is a load.
    t0, t1 : float
        POSIX. [s]
    by_weight : bool
        Whether the heat is told by something weighed at both ends, as ice is, and the
        temperatures of the ends correct it only.

    Returns
    -------
    Balance or None
        None where air, ambient or the temperature of a stated load was not logged, and where the
        load lies on its freezing plateau at either end.

    References
    ----------
    .. [1] First law for a closed box; its use here is this kit's own.
    """
    air = context.record.trace("air")
    if air is None:
        return None
    name = f"{context.name} balance"
    heat = _load_gain(context, t0, t1)
    ends = [at_end(air, t0, +1), at_end(air, t1, -1)]
    # Means over an end stand for its middle: from one middle to the other the heat has to flow.
    if not by_weight:
        t0, t1 = t0 + end_span(air) / 2, t1 - end_span(air) / 2
    seconds = t1 - t0
    ambient, ambient_true = context.ambient(t0, t1)
    if heat is None or ambient is None or seconds <= 0:
        return None
    covered = cumulative(air).coverage(t0, t1)
    inside = float(cumulative(air).mean(t0, t1))
    inside_true = true_of(air, inside)
    if not np.isfinite(inside):
        return None
    rise = ends[1] - ends[0]
    rise_true = _difference(air, ends[0], ends[1], f"{name} air ends")
    drive_true = None
    if inside_true is not None and ambient_true is not None:
        drive_true = (ambient_true - inside_true) * seconds
    return Balance(t0, t1, (ambient - inside) * seconds, drive_true, *heat, rise, rise_true,
                   inside, ambient, covered)


def _load_gain(
    context: Context, t0: float, t1: float
) -> tuple[float, np.ndarray | None] | None:
    """Heat that load and containers gained, and its draws. [J]"""
    run, places = context.run, context.record.loads()
    if not run.load:
        return 0.0, np.zeros(draws.DRAWS)
    # Places read so seldom that both ends would be means over the same readings tell no gain.
    if not places or 2 * max(map(end_span, places)) > t1 - t0:
        return None
    start = float(np.mean([at_end(place, t0, +1) for place in places]))
    end = float(np.mean([at_end(place, t1, -1) for place in places]))
    frozen = min(start, end) < -PLATEAU
    on_plateau = min(start, end) < PLATEAU and not frozen or abs(end) < PLATEAU
    if not np.isfinite([start, end]).all() or on_plateau:
        return None
    # Heat regained on the way up is what was given up on the way down.
    value = 3600 * float(load_heat(run, load_mass(run), end, start))
    trues = [_both_ends(place, t0, t1, f"{context.name} {place.role}") for place in places]
    if any(true is None for true in trues):
        return value, None
    first, last = (np.mean([true[k] for true in trues], axis=0) for k in (0, 1))
    mass = load_mass_draws(context.record.run, run)
    return value, 3600 * load_heat(run, mass, last, first)


def at_end(trace: Trace, t: float, side: int) -> float:
    """Mean reading over the minutes at one end of a stretch.

    Parameters
    ----------
    trace : Trace
    t : float
        The end, POSIX. [s]
    side : int
        +1 for the minutes after it, −1 for those before.

    Returns
    -------
    float
        NaN where nothing was read. [unit of the trace]

    References
    ----------
    .. [1] This kit's own definition.
    """
    span = end_span(trace)
    begin, end = (t, t + span) if side > 0 else (t - span, t)
    used = trace.y[trace.within(begin, end)]
    return float(used.mean()) if len(used) else np.nan


def end_span(trace: Trace) -> float:
    """Time over which an end is averaged: ten minutes, or as long as it takes. [s]

    Parameters
    ----------
    trace : Trace

    Returns
    -------
    float
        [s]

    References
    ----------
    .. [1] This kit's own definition.
    """
    return max(END, 2.5 * trace.step)


def _difference(trace: Trace, first: float, last: float, name: str) -> np.ndarray | None:
    """Draws of a difference of two readings of one probe: its offset is in both."""
    if trace.error is None:
        return None
    scatter = [mean_scatter(f"{name} {end}", trace, 0.0, 2) for end in ("start", "end")]
    return (last - first) / (1 + gain(trace)) + scatter[1] - scatter[0]


def _both_ends(
    trace: Trace, t0: float, t1: float, name: str
) -> tuple[np.ndarray, np.ndarray] | None:
    if trace.error is None:
        return None
    return tuple(
        true_of(trace, at_end(trace, t, side)) + mean_scatter(f"{name} {word}", trace, 0.0, 2)
        for t, side, word in ((t0, +1, "start"), (t1, -1, "end"))
    )
