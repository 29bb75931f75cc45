"""What makes a freezing time doubtful: the probe's place, the water, loads of unlike size."""

from __future__ import annotations

import numpy as np

from coldbench.analysis.context import Context
from coldbench.analysis.freezing import Freezing
from coldbench.analysis.limits import LIMITS
from coldbench.findings import Notice
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Trace
from coldbench.quantities import number

HOUR = 3600.0


def no_plateau(context: Context, trace: Trace, zero: float) -> Notice | None:
    """The readings passed 0 °C and stayed nowhere near it.

    Parameters
    ----------
    context : Context
        Run in which no plateau was found.
    trace : Trace
        Load temperature.
    zero : float
        Load's time zero, POSIX. [s]

    Returns
    -------
    Notice or None
        None where the readings never came below the reach of a plateau: water that is simply not
        frozen yet.

    References
    ----------
    .. [1] This kit's own definition.
    """
    readings = trace.y[trace.within(zero, context.end)]
    limit = trace.error.absolute if trace.error else 1.0
    if not len(readings) or readings.min() > -1.0 - limit:
        return None
    return Notice(
        "FREEZE-NONE", "disqualifies", context.record.run,
        f"The load reads {number(float(readings.min()), 1)} °C at its coldest and never stayed "
        "near 0 °C: the probe touched the wall of the container, or the water is supercooled, or "
        "it was not plain water.", context.record.cooler,
    )


def doubts(context: Context, trace: Trace, found: Freezing) -> list[Notice]:
    """What a reader must know of a plateau that was found.

    Parameters
    ----------
    context : Context
        The run.
    trace : Trace
        Load temperature.
    found : Freezing
        Its plateau.

    Returns
    -------
    list of Notice
        A sloping plateau, one away from 0 °C, an end that was not that of the last water, a load
        of unlike containers.

    References
    ----------
    .. [1] This kit's own definitions.
    """
    said = []
    if abs(found.slope) > LIMITS.plateau_slope:
        said.append(("FREEZE-SLOPE", "doubt",
                     f"The plateau slopes by {number(found.slope, 2)} K/h: the water was not pure, "
                     "or the probe was not at the centre."))
    limit = trace.error.absolute if trace.error else None
    if limit is not None and abs(found.level) > limit + trace.resolution:
        said.append(("FREEZE-LEVEL", "doubt",
                     f"The plateau reads {number(found.level, 1)} °C, beyond the probe's limit of "
                     f"±{limit:g} K from 0 °C: the water was not pure, or the probe is off."))
    late = steeper_later(trace, found, context.end)
    if late is not None:
        said.append(("FREEZE-SURFACE", "doubt",
                     f"The load cools faster {number(late / HOUR, 1)} h after the plateau's end "
                     "than right after it: the probe was not in the last water to freeze, and the "
                     "whole froze later; or the air got much colder."))
    sorts = _unlike_sorts(context)
    if sorts:
        said.append(("FREEZE-UNLIKE", "doubt",
                     f"The load is of unlike containers ({', '.join(sorts)}): times hold for the "
                     "one with the probe."))
    run, cooler = context.record.run, context.record.cooler
    return [Notice(code, severity, run, text, cooler) for code, severity, text in said]


def steeper_later(trace: Trace, found: Freezing, end: float) -> float | None:
    """When after the plateau the load cools faster than right after it.

    Parameters
    ----------
    trace : Trace
        Load temperature.
    found : Freezing
        Its plateau.
    end : float
        End of running, POSIX. [s]

    Returns
    -------
    float or None
        Since the plateau's end; None where the fall only slackens, as that of a body frozen
        through does. [s]

    References
    ----------
    .. [1] This kit's own definition: a frozen body nears the air's temperature ever more slowly,
       while ice about a probe is held back by the water that still freezes beside it.
    """
    # Inside a gap nobody knows how fast it fell.
    if not np.isfinite(found.end) or found.end_between[1] - found.end_between[0] > trace.gap:
        return None
    span = max(LIMITS.surface_span, LIMITS.surface_share * (found.end - found.start),
               5 * trace.step)
    last = min(end, float(trace.t[-1]))
    edges = np.arange(found.end, last + 1e-6, span)
    if len(edges) < 3:
        return None
    falls = -np.diff(np.interp(edges, trace.t, trace.y)) / span * HOUR
    whole = cumulative(trace).covered(edges[:-1], edges[1:]) > 0.99 * span
    if not whole[0]:
        return None
    most = 1 + int(np.argmax(np.where(whole, falls, -np.inf)[1:]))
    faster = falls[most] > LIMITS.surface_faster * falls[0]
    clear = falls[most] - falls[0] > LIMITS.surface_least
    return float(edges[most] - found.end) if faster and clear else None


def _unlike_sorts(context: Context) -> list[str]:
    """Sorts of containers in a load, in words; empty where all are alike."""
    load = context.run.load
    kinds = {(item.water.value, item.container.material if item.container else "")
             for item in load}
    return [f"{item.count} × {item.water.text}" for item in load] if len(kinds) > 1 else []
