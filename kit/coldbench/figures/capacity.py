"""Cooling capacity and COP against inside temperature, through each cooler's pull-down."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from coldbench.compare.capacity_curve import CapacityCurve
from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import Style, cooler_styles, house, panels

SHARE = 0.18  # how dark a band is


def capacity_against_inside(
    curves: Mapping[str, CapacityCurve],
    *,
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
) -> Drawn | None:
    """Cooling capacity against inside temperature, with COP below where power was logged.

    Parameters
    ----------
    curves : mapping of str to CapacityCurve
        One a cooler, by cooler id, in the order of the campaign.
    styles, names : mapping
        Style and name of each cooler, by id.

    Returns
    -------
    Drawn or None
        None if no curve has a block that is known.
    """
    styles = styles or cooler_styles(curves)
    curves = {c: v for c, v in curves.items() if np.isfinite(v.capacity).any()}
    if not curves:
        return None
    with_cop = any(np.isfinite(curve.cop).any() for curve in curves.values())
    with house():
        figure, axes = panels([70, 46] if with_cop else [78], left=20)
        labels.make_room(axes[0], [words.named(names, cooler) for cooler in curves])
        _limits(axes, curves)
        entries = []
        for cooler, curve in curves.items():
            style = styles[cooler]
            _draw(axes[0], curve, curve.capacity, style)
            axes[0].fill_between(curve.inside, curve.low, curve.high, color=style.colour,
                                 alpha=SHARE, linewidth=0, label="95 % band")
            if with_cop:
                _draw(axes[1], curve, curve.cop, style)
            first = curve.capacity[np.isfinite(curve.capacity)][0]
            entries.append(labels.Entry(words.named(names, cooler), float(first),
                                        labels.key_look(style)))
        lines.value_axis(axes[0], "Cooling capacity [W]")
        if with_cop:
            lines.value_axis(axes[1], "COP, net", 4)
        lines.across_axis(axes[-1], "Inside air [°C]")
        axes[-1].xaxis.set_major_locator(MaxNLocator(9, steps=[1, 2, 5, 10]))
        labels.end_labels(axes[0], entries)
    return Drawn(figure, _data(curves), _alt(curves, names), _caption(curves, with_cop),
                 "cooling-capacity")


def _draw(axes: Axes, curve: CapacityCurve, y: np.ndarray, style: Style) -> None:
    every = max(1, int(np.isfinite(y).sum()) // 6)
    axes.plot(curve.inside, y, marker=style.marker, markersize=4.5, markevery=every,
              markeredgecolor="white", markeredgewidth=0.5, label="blocks",
              **labels.line_look(style))


def _limits(axes: list[Axes], curves: Mapping[str, CapacityCurve]) -> None:
    """Both from what is known only: a block that was left out takes no room."""
    inside = np.concatenate([v.inside[np.isfinite(v.capacity)] for v in curves.values()])
    pad = 0.03 * np.ptp(inside) + 0.5
    axes[0].set_xlim(inside.min() - pad, inside.max() + pad)
    tops = [[np.append(v.high, v.capacity) for v in curves.values()],
            [v.cop for v in curves.values()]]
    for panel, values in zip(axes, tops, strict=False):
        panel.set_ylim(0, 1.08 * float(np.nanmax(np.concatenate(values))))


def _data(curves: Mapping[str, CapacityCurve]) -> pd.DataFrame:
    parts = []
    for cooler, curve in curves.items():
        for role, unit, y in (("cooling capacity", "W", curve.capacity), ("low", "W", curve.low),
                              ("high", "W", curve.high), ("power", "W", curve.power),
                              ("cop", "-", curve.cop)):
            if np.isfinite(y).any():
                parts.append((pd.DataFrame({"x": curve.inside, "y": y}),
                              {"cooler": cooler, "role": role, "unit": unit}))
    return lines.frame(parts, "inside air [°C]")


def _alt(curves: Mapping[str, CapacityCurve], names: Mapping[str, str] | None) -> str:
    parts = ["Line chart of cooling capacity [W] over inside air temperature [°C]."]
    for cooler, curve in curves.items():
        known = np.flatnonzero(np.isfinite(curve.capacity))
        ends = [f"{words.number(curve.capacity[i], 0)} W at {words.number(curve.inside[i], 1)} °C"
                for i in known[[0, -1]]]
        cop = curve.cop[known]
        told = "" if np.isnan(cop).all() else (
            f"; COP {words.number(np.nanmax(cop), 2)} to {words.number(np.nanmin(cop), 2)}")
        parts.append(f"{words.named(names, cooler)}: {' to '.join(ends)}{told}.")
    return " ".join(parts)


def _caption(curves: Mapping[str, CapacityCurve], with_cop: bool) -> str:
    minutes = sorted({int(round(curve.block / 60)) for curve in curves.values()})
    points = sorted({curve.metered_at for curve in curves.values() if curve.metered_at})
    blocks = words.listed(f"{m}" for m in minutes)
    caption = (f"Net heat taken from the inside through the pull-down, in blocks of {blocks} min: "
               "what load and structure gave up, and what came in through the walls. Bands: "
               f"{words.INTERVAL}.")
    if any("freezing" in curve.note for curve in curves.values()):
        caption += (" Lines break where the load was near 0 °C: what freezing takes is not known "
                    "from its temperature.")
    if with_cop:
        metered = f" metered at {words.listed(points)}" if points else ""
        caption += f" Below: the same over the electrical power{metered}."
    return caption
