"""Differences to ambient on a logarithmic axis, as read: a slope is left to the reader."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from coldbench.figures import labels, lines
from coldbench.figures.drawn import Drawn
from coldbench.figures.lines import seen
from coldbench.figures.look import Style, house, panels
from coldbench.logs.record import Record
from coldbench.quantities import number

LEAST = 0.3  # smaller differences drown in the probes' own [K]


def falling_difference(
    record: Record, t0: float, t1: float, *, style: Style, name: str = ""
) -> Drawn | None:
    """Ambient minus air and minus load of a warm-up over hours, on a logarithmic axis.

    Parameters
    ----------
    record : Record
        The run; ambient logged.
    t0, t1 : float
        Stretch that is drawn, POSIX. [s]
    style : Style
        Of the cooler.
    name : str
        Its name.

    Returns
    -------
    Drawn or None
        None without ambient, or where nothing stays below it.
    """
    ambient = seen(record, "ambient")
    traces = {r: t for r in ("air", "load") if (t := seen(record, r)) is not None}
    if ambient is None or not traces:
        return None
    courses = {}
    for role, trace in traces.items():
        part = trace.part(trace.within(t0, t1))
        apart = np.interp(part.t, ambient.t, ambient.y) - part.y
        kept = apart > LEAST
        if kept.any():
            courses[role] = pd.DataFrame({
                "x": (part.t[kept] - record.zero) / 3600, "y": apart[kept]})
    if not courses:
        return None
    looks = labels.role_looks(style)
    low = min(points["y"].min() for points in courses.values())
    high = max(points["y"].max() for points in courses.values())
    with house():
        figure, (axes,) = panels([72])
        labels.make_room(axes, list(courses))
        axes.set_yscale("log")
        axes.set_ylim(low / 1.1, high * 1.1)
        ticks = MaxNLocator(12, steps=[1, 2, 5, 10]).tick_values(low / 1.1, high * 1.1)
        ticks = [tick for tick in ticks if low / 1.1 < tick < high * 1.1]
        axes.minorticks_off()
        axes.set_yticks(ticks, [f"{tick:g}" for tick in ticks])
        axes.set_ylabel("Below ambient [K]")
        axes.grid(visible=True, which="major", linewidth=0.4)
        lines.hour_axis([axes], (t0 - record.zero) / 3600, (t1 - record.zero) / 3600,
                        "Time since time zero of the run [h]")
        for role, points in courses.items():
            lines.draw(axes, points, **looks[role])
        labels.end_labels(axes, [labels.Entry(role, _height(axes, points), looks[role])
                                 for role, points in courses.items()])
    data = lines.frame([(points, {"cooler": record.cooler, "role": role, "unit": "K"})
                        for role, points in courses.items()], "hours since time zero")
    told = " ".join(f"{role.capitalize()} from {number(p['y'].iloc[0], 1)} to "
                    f"{number(p['y'].iloc[-1], 1)} K below ambient." for role, p in courses.items())
    return Drawn(
        figure, data,
        f"Line chart of differences to ambient of {name or record.cooler} on a logarithmic axis "
        f"over {number((t1 - t0) / 3600, 1)} h. {told}",
        "Ambient less air and less load, as read, on a logarithmic axis: one lump of heat alone "
        "would fall along a straight line.",
        f"falling-{record.run}")


def _height(axes: Axes, points: pd.DataFrame) -> float:
    """Where a line ends, for labels that count heights along a straight scale."""
    low, high = axes.get_ylim()
    share = np.log(lines.last_value(points) / low) / np.log(high / low)
    return float(low + share * (high - low))
