"""What thicker walls cost in litres and save in energy, in a room of one size."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from coldbench.design.search import Curve
from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import INK, Style, cooler_styles, house, panels
from coldbench.quantities import number, show

WALLS = 0.02  # between walls that are named [m]
APART = 10.0  # least room between two names [mm]


def litres_and_energy(
    curves: Sequence[Curve], *, usable: float | None = None
) -> Drawn | None:
    """A line a board over the thickness of its walls, each with its knee.

    Parameters
    ----------
    curves : sequence of Curve
        Of one machine in one room, a board each.
    usable : float, optional
        Litres that are asked for. [L]

    Returns
    -------
    Drawn or None
        None where no wall holds what is wanted.
    """
    curves = [curve for curve in curves if np.isfinite(curve.energy).any()]
    if not curves:
        return None
    styles = cooler_styles(curve.board for curve in curves)
    held = [np.isfinite(curve.energy) for curve in curves]
    with house():
        figure, (axes,) = panels([78], left=18, bottom=13)
        axes.set_xlim(0, 1.13 * max(curve.litres[on].max() for curve, on in
                                    zip(curves, held, strict=True)))
        axes.set_ylim(0, 1.08 * max(np.nanmax(curve.energy) for curve in curves))
        lines.across_axis(axes, words.axis_title("usable_volume"))
        lines.value_axis(axes, words.axis_title("daily_energy"))
        axes.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10]))
        entries = [labels.Entry(curve.board, float(curve.energy[np.nanargmax(curve.litres * on)]),
                                labels.line_look(styles[curve.board]))
                   for curve, on in zip(curves, held, strict=True)]
        if usable is not None:
            axes.axvline(usable, label="must", **labels.TARGET)
            axes.annotate(f"at least {show(*[usable] * 3, 'L')}", (usable, 1),
                          xycoords=axes.get_xaxis_transform(), xytext=(0, 3), ha="center",
                          textcoords="offset points", va="bottom", fontsize=8, color=INK)
        labels.make_room(axes, [entry.text for entry in entries])
        labels.end_labels(axes, entries)
        lowest = min(curves, key=lambda curve: np.nanmin(curve.energy))
        for curve, on in zip(curves, held, strict=True):
            _line(axes, curve, on, styles[curve.board], below=curve is lowest)
    return Drawn(figure, _data(curves), _alt(curves), _caption(curves[0]),
                 "litres-and-energy")


def _line(axes: Axes, curve: Curve, on: np.ndarray, style: Style, below: bool) -> None:
    """The line, its named walls, its knee as a ring."""
    axes.plot(curve.litres[on], curve.energy[on], label=curve.board, **labels.line_look(style))
    steps = curve.wall / WALLS
    named = np.flatnonzero(on & (np.abs(steps - np.round(steps)) < 1e-6))
    axes.plot(curve.litres[named], curve.energy[named], linestyle="none", marker=style.marker,
              color=style.colour, markersize=3.5, label="walls")
    if curve.knee is not None:
        axes.plot([curve.litres[curve.knee]], [curve.energy[curve.knee]], marker="o",
                  markersize=9, markerfacecolor="none", color=style.colour, linestyle="none",
                  markeredgewidth=1.3, zorder=3, label="knee")
    places = axes.transData.transform(np.array([curve.litres, curve.energy]).T)
    last = None
    first = [] if curve.knee is None else [curve.knee]
    for i in [*first, *(i for i in named if i not in first)]:
        near = [last] if last is not None else []
        near += [places[k] for k in first if k != i]
        if any(np.hypot(*(places[i] - other)) < APART / 25.4 * axes.figure.dpi for other in near):
            continue
        last = None if i in first else places[i]
        knee = i in first
        axes.annotate(f"{1000 * curve.wall[i]:.0f} mm", (curve.litres[i], curve.energy[i]),
                      xytext=(5, -6) if below else (-5, 6), textcoords="offset points",
                      ha="left" if below else "right", va="top" if below else "bottom",
                      fontsize=8, color=style.colour, fontweight="bold" if knee else "normal")


def _data(curves: Sequence[Curve]) -> pd.DataFrame:
    return pd.concat([
        pd.DataFrame({
            "board": curve.board, "machine": curve.machine, "wall [mm]": 1000 * curve.wall,
            "usable [L]": curve.litres, "heat leak [W/K]": curve.leak,
            "energy [Wh/d]": curve.energy, "coldest [°C]": curve.coldest,
            "knee": np.arange(len(curve.wall)) == curve.knee,
        }) for curve in curves], ignore_index=True)


def _at(curve: Curve, i: int) -> str:
    return (f"{1000 * curve.wall[i]:.0f} mm, {number(float(curve.litres[i]), 1)} L, "
            f"{number(float(curve.energy[i]), 0)} Wh/d")


def _alt(curves: Sequence[Curve]) -> str:
    told = []
    for curve in curves:
        on = np.flatnonzero(np.isfinite(curve.energy))
        knee = "" if curve.knee is None else f", knee at {_at(curve, curve.knee)}"
        told.append(f"{curve.board}: from {_at(curve, on[0])} to {_at(curve, on[-1])}{knee}; least "
                    f"energy for each litre at {1000 * curve.wall[curve.thriftiest]:.0f} mm.")
    return ("Lines of daily energy, upwards, against usable litres, across, as walls get thicker. "
            + " ".join(told))


def _caption(curve: Curve) -> str:
    outside = " × ".join(f"{1000 * side:.0f}" for side in curve.outside)
    return (f"Walls of {1000 * curve.wall[0]:.0f} to {1000 * curve.wall[-1]:.0f} mm around a box "
            f"of {outside} mm outside, with {curve.machine}, holding "
            f"{labels.degrees(curve.inside)} at {labels.degrees(curve.ambient)}. Ring: the knee, "
            "where a line lies farthest below the straight line between its ends, each axis scaled "
            "to its own range. Central values, without their doubts.")
