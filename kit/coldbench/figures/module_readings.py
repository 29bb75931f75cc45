"""What was read of a thermoelectric module, against its current: volts, and both faces."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from coldbench.figures import lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import INK, Style, cooler_styles, house, panels

# What is drawn in the lower panel, and how: filled is the warm one.
FACES = {"hot_side": ("hot face", True), "cold_side": ("cold face", False)}


def module_readings(
    readings: Mapping[str, np.ndarray], *, style: Style | None = None, name: str = "",
    key: str = "module",
) -> Drawn | None:
    """Voltage and temperatures of the faces against the current, a point a reading.

    Parameters
    ----------
    readings : mapping of str to ndarray, shape (n,)
        By role, a value an instant, not a number where nothing was read: ``current`` [A],
        ``voltage`` [V], ``cold_side`` and ``hot_side`` [°C], ``heater`` [W].
    style : Style, optional
        Of the module.
    name : str
        Its name, for the words.
    key : str
        For the file name.

    Returns
    -------
    Drawn or None
        None where no current was read.
    """
    current = readings.get("current", np.array([]))
    if not np.isfinite(current).any():
        return None
    style = style or cooler_styles(["module"])["module"]
    heated = np.nan_to_num(readings.get("heater", np.zeros(len(current)))) > 0
    with house():
        figure, (upper, lower) = panels([44, 44], left=18, right=30)
        _points(upper, current, readings.get("voltage"), heated, style, "voltage", True)
        lines.value_axis(upper, "Voltage [V]", 5)
        for role, (word, filled) in FACES.items():
            _points(lower, current, readings.get(role), heated, style, word, filled)
        lines.value_axis(lower, "Face [°C]", 5)
        lower.set_xlabel("Current [A]")
        for axes in (upper, lower):
            axes.margins(0.06, 0.12)
        figure.align_ylabels([upper, lower])
    data = pd.DataFrame(dict(readings))
    told = f" of {name}" if name else ""
    rows = int(np.isfinite(current).sum())
    alt = (f"Two panels of {rows} readings{told} against the current, from "
           f"{words.number(np.nanmin(current), 2)} to {words.number(np.nanmax(current), 2)} A: "
           "voltage above, temperatures of both faces below. The table of readings has the values.")
    caption = (f"Readings{told} against the current, as they stand; no line is drawn through them. "
               "In a larger outline: the heater was on.")
    return Drawn(figure, data, alt, caption, f"module-{key}")


def _points(
    axes: Axes, current: np.ndarray, values: np.ndarray | None, heated: np.ndarray, style: Style,
    label: str, filled: bool,
) -> None:
    """Points of a role, named at the last of them; an outline where the heater was on."""
    if values is None or not np.isfinite(values).any():
        return
    look = {"marker": style.marker, "color": style.colour, "linestyle": "none"}
    face = style.colour if filled else "white"
    axes.plot(current, values, markersize=6, markerfacecolor=face, markeredgewidth=1.2,
              label=label, zorder=3, **look)
    outlined = heated & np.isfinite(values)
    axes.plot(current[outlined], values[outlined], markersize=12, markerfacecolor="none",
              markeredgewidth=0.8, label=f"{label}, heater on", zorder=2, **look)
    last = int(np.nanargmax(np.where(np.isfinite(values) & ~heated, current, np.nan)))
    axes.annotate(label, (1, values[last]), xycoords=axes.get_yaxis_transform(), xytext=(6, 0),
                  textcoords="offset points", va="center", fontsize=8, color=INK)
