"""Coldest inside over the hot side's resistance, with today's modules and with more of them."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from coldbench.design.hot_side_gain import Gain, HotSideGain
from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import BAND, COLOURS, GREY, INK, house, new_figure, place, text_width
from coldbench.quantities import show

LOOKS = ({"color": COLOURS[0]}, {"color": COLOURS[1], "linestyle": (0, (6, 2))},
         {"color": COLOURS[2], "linestyle": (0, (2, 1.2))})
DOT = {"color": INK, "linestyle": "none", "marker": "D", "markersize": 4.5}
BAR = {"color": COLOURS[0], "linewidth": 1.6, "solid_capstyle": "butt"}
LEFT, ABOVE, ACROSS, TALL = 20.0, 7.0, 146.0, 62.0  # of the chart of lines [mm]
ROW = 7.5  # height of a row of gains [mm]


def hot_side_gain(found: HotSideGain, name: str = "") -> Drawn:
    """Coldest inside over the hot side, and below what each change gains.

    Parameters
    ----------
    found : HotSideGain
        A fitted machine in its box.
    name : str
        What the build is called, for the words beside the figure.

    Returns
    -------
    Drawn
    """
    rows = len(found.gains) * ROW
    with house():
        figure = new_figure(170.0, ABOVE + TALL + 22 + rows + 12)
        chart = place(figure, LEFT, ABOVE, ACROSS, TALL)
        labels.make_room(chart, list(found.coldest))
        chart.set_xlim(0, found.r_hot[-1])
        chart.axvspan(*found.today[1:], color=BAND, zorder=0.2, label="hot side as fitted")
        for (text, y), look in zip(found.coldest.items(), LOOKS, strict=True):
            chart.plot(found.r_hot, y, label=text, **look)
        _today(chart, found)
        lines.value_axis(chart, "Coldest inside [°C]")
        lines.across_axis(chart, "Resistance of the hot side [K/W]")
        chart.xaxis.set_major_locator(MaxNLocator(9, steps=[1, 2, 5, 10]))
        labels.end_labels(chart, [
            labels.Entry(text, float(y[-1]), look)
            for (text, y), look in zip(found.coldest.items(), LOOKS, strict=True)])
        words_wide = max(text_width(figure, _row(one)) for one in found.gains) + 6
        below = place(figure, words_wide, ABOVE + TALL + 20, 166 - words_wide, rows)
        _gains(below, found.gains)
    return Drawn(figure, _data(found), _alt(found, name), _caption(found), "hot-side-gain")


def _today(axes: Axes, found: HotSideGain) -> None:
    axes.plot([found.today[0]] * 2, found.now[1:], color=INK, linewidth=1.2,
              label="coldest as fitted, interval")
    axes.plot([found.today[0]], [found.now[0]], label="as fitted", **DOT)
    axes.annotate("today", (found.today[0], 1), xycoords=axes.get_xaxis_transform(),
                  xytext=(0, 3), textcoords="offset points", ha="center", va="bottom",
                  fontsize=7.5, color=GREY)


def _row(one: Gain) -> str:
    return one.what[0].upper() + one.what[1:]


def _gains(axes: Axes, gains: tuple[Gain, ...]) -> None:
    """One row a change: how much colder, with its interval; in words what it draws."""
    places = np.arange(len(gains))[::-1]
    axes.axvline(0, color=INK, linewidth=0.8, zorder=0.9)
    for one, y in zip(gains, places, strict=True):
        axes.plot(one.colder[1:], [y, y], label=f"{one.what}, interval", **BAR)
        axes.plot([one.colder[0]], [y], label=one.what, **DOT)
    axes.set_yticks(places, [_row(one) for one in gains])
    axes.tick_params(axis="y", length=0)
    axes.set_ylim(-0.6, len(gains) - 0.4)
    ends = np.array([one.colder for one in gains])
    low, high = min(0.0, ends.min()), max(0.0, ends.max())
    axes.set_xlim(low - 0.06 * (high - low), high + 0.06 * (high - low))
    lines.across_axis(axes, "Colder by [K]; left of the line: warmer")
    axes.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10]))
    axes.grid(visible=False, axis="y")


def _data(found: HotSideGain) -> pd.DataFrame:
    parts = [(pd.DataFrame({"x": found.r_hot, "y": y}),
              {"role": f"coldest inside, {text}", "unit": "°C"})
             for text, y in found.coldest.items()]
    parts.append((pd.DataFrame({"x": [found.today[0]] * 3, "y": found.now}),
                  {"role": "as fitted: value, low, high", "unit": "°C"}))
    for one in found.gains:
        parts += [(pd.DataFrame({"x": [found.today[0]] * 3, "y": values}),
                   {"role": f"{one.what}, {what}: value, low, high", "unit": unit})
                  for what, unit, values in (("colder by", "K", one.colder),
                                             ("draws more", "W", one.power),
                                             ("saves", "Wh/d", one.saved))]
    return lines.frame(parts, "hot side [K/W]")


def _told(one: Gain) -> str:
    saved = f", saves {show(*one.saved, 'Wh/d')}" if np.isfinite(one.saved).all() else ""
    return (f"{_row(one)}: colder by {show(*one.colder, 'K')}, draws {show(*one.power, 'W')} "
            f"more{saved}.")


def _alt(found: HotSideGain, name: str) -> str:
    box = f" of {name}" if name else ""
    ends = " ".join(
        f"{text.capitalize()}: {words.number(float(y[0]), 1)} to "
        f"{words.number(float(y[-1]), 1)} °C." for text, y in found.coldest.items())
    return words.printed(
        f"Line chart of the coldest inside{box} [°C] over the resistance of its hot side, "
        f"{found.r_hot[0]:.2f} to {found.r_hot[-1]:.2f} K/W. {ends} Below, in intervals: "
        f"{' '.join(_told(one) for one in found.gains)}")


def _caption(found: HotSideGain) -> str:
    crosses = "" if np.isnan(found.crossing) else (
        f" Above about {words.number(found.crossing, 2)} K/W more modules at the same volts warm "
        "the box.")
    return (f"Coldest inside at {labels.degrees(found.ambient)} ambient and today's volts, over "
            "the resistance from hot faces to ambient that all modules share; grey: as fitted. "
            f"Diamond: today.{crosses} Below: what each change alone gains in cold. Bars: "
            f"{words.INTERVAL}.")
