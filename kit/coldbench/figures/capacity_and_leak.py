"""A unit on a new box: running capacity against what comes in, and the duty that follows."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from coldbench.design.capacity_sweep import Sweep
from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import COLOURS, GREY, INK, house, panels

SHARE = 0.18  # how dark a band is
UNIT = {"color": COLOURS[0]}
BOX = {"color": COLOURS[1], "linestyle": (0, (6, 2))}
SEEN = {"color": COLOURS[0], "linestyle": "none", "marker": "o", "markerfacecolor": "white",
        "markersize": 4.5}
MEET = {"color": INK, "linestyle": "none", "marker": "D", "markersize": 4.5}
TEXTS = ("unit, without a break", "heat that comes in", "donor's runs")


def capacity_and_leak(found: Sweep, name: str = "") -> Drawn:
    """Running capacity and heat that comes in over the inside; below, the duty.

    Parameters
    ----------
    found : Sweep
        Unit and box at one ambient.
    name : str
        What the build is called, for the words beside the figure.

    Returns
    -------
    Drawn
    """
    with house():
        figure, (heat, duty) = panels([70, 40], left=20)
        labels.make_room(heat, [*TEXTS, "duty"])
        duty.set_xlim(found.inside[0], found.inside[-1])
        shown = found.points[(found.points[:, 0] >= found.inside[0])
                             & (found.points[:, 0] <= found.inside[-1])]
        _band(heat, found.inside, found.capacity, UNIT)
        _band(heat, found.inside, found.leak, BOX)
        heat.plot(*shown.T, label=TEXTS[2], **SEEN)
        top = max(found.capacity[2].max(), found.leak[2].max(), *shown[:, 1], 1.0)
        heat.set_ylim(0, 1.05 * top)
        _meet(heat, found)
        _band(duty, found.inside, found.duty, UNIT)
        duty.set_ylim(0, 1.05)
        _target(found, heat, duty)
        lines.value_axis(heat, "Heat flow [W]")
        lines.value_axis(duty, "Duty", 4)
        lines.across_axis(duty, "Inside air [°C]")
        duty.xaxis.set_major_locator(MaxNLocator(9, steps=[1, 2, 5, 10]))
        looks = (UNIT, BOX, SEEN)
        ends = (found.capacity[0, -1], found.leak[0, -1], 0.5 * top)
        entries = [labels.Entry(text, float(y), look)
                   for text, y, look in zip(TEXTS, ends, looks, strict=True)]
        labels.end_labels(heat, entries if len(shown) else entries[:2])
        labels.end_labels(duty, [labels.Entry("duty", float(found.duty[0, -1]), UNIT)])
    return Drawn(figure, _data(found), _alt(found, name), _caption(found), "capacity-and-leak")


def _band(axes: Axes, x: np.ndarray, band: np.ndarray, look: dict[str, object]) -> None:
    axes.plot(x, band[0], **look)
    axes.fill_between(x, band[1], band[2], color=look["color"], alpha=SHARE, linewidth=0,
                      label="95 % band")


def _meet(axes: Axes, found: Sweep) -> None:
    """The coldest inside: the unit takes just what comes in."""
    middle, low, high = found.coldest
    if not found.inside[0] <= middle <= found.inside[-1]:
        return
    at = float(np.interp(middle, found.inside, found.leak[0]))
    axes.plot([max(low, found.inside[0]), min(high, found.inside[-1])], [at, at], color=INK,
              linewidth=1.2, label="coldest, interval")
    axes.plot([middle], [at], label="coldest", **MEET)
    axes.annotate(f"coldest {labels.degrees(round(middle, 1))}", (middle, at), xytext=(0, -17),
                  textcoords="offset points", fontsize=8, color=INK, va="top", ha="center")


def _target(found: Sweep, heat: Axes, duty: Axes) -> None:
    inside, middle, _, _ = found.held
    for axes in (heat, duty):
        axes.axvline(inside, zorder=0.9, **labels.TARGET)
    heat.annotate(f"to be held: {labels.degrees(inside)}", (inside, 1),
                  xycoords=heat.get_xaxis_transform(), xytext=(0, 3), textcoords="offset points",
                  ha="center", va="bottom", fontsize=7.5, color=GREY)
    duty.plot([inside], [middle], label="duty there", **MEET)
    duty.annotate(f"{100 * middle:.0f} %", (inside, middle), xytext=(6, 4),
                  textcoords="offset points", fontsize=8, color=INK)


def _data(found: Sweep) -> pd.DataFrame:
    parts = []
    for role, unit, band in (("running capacity", "W", found.capacity),
                             ("comes in", "W", found.leak), ("duty", "-", found.duty)):
        for which, y in zip(("", ", low", ", high"), band, strict=True):
            parts.append((pd.DataFrame({"x": found.inside, "y": y}),
                          {"role": f"{role}{which}", "unit": unit}))
    points = pd.DataFrame(found.points, columns=["x", "y"])
    parts.append((points, {"role": "running capacity, donor's runs", "unit": "W"}))
    return lines.frame(parts, "inside air [°C]")


def _alt(found: Sweep, name: str) -> str:
    inside, middle, low, high = found.held
    box = f" of {name}" if name else ""
    meet = (f"They meet at {words.number(found.coldest[0], 1)} °C "
            f"({words.number(found.coldest[1], 1)} to {words.number(found.coldest[2], 1)} °C).")
    takes, comes = (float(np.interp(inside, found.inside, band[0]))
                    for band in (found.capacity, found.leak))
    duty = (f"duty {100 * middle:.0f} % ({100 * low:.0f} to {100 * high:.0f} %)"
            if middle < 1 else "it runs without a break and does not hold it")
    return words.printed(
        f"Line chart of heat flows [W] over inside air temperature [°C]{box} at "
        f"{found.ambient:g} °C ambient: the unit takes more the warmer the inside, less comes in. "
        f"{meet} At {inside:g} °C it takes {takes:.0f} W, {comes:.0f} W come in; {duty}.")


def _caption(found: Sweep) -> str:
    dots = (" Circles: what its runs showed, moved to this ambient and to running without a break."
            if len(found.points) else "")
    return (f"The unit in the new box at {found.ambient:g} °C ambient. Above: heat that it takes "
            "while running without a break, and heat that comes in; where they meet nothing gets "
            f"colder.{dots} Below: share of the time in which it runs to hold an inside. Bands: "
            f"{words.INTERVAL}.")
