"""Where the heat comes from and where the electricity goes: two bars a cooler, in watts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import Patch
from matplotlib.ticker import MaxNLocator

from coldbench import draws
from coldbench.compare.flows import (
    BEYOND,
    BOTH,
    FANS,
    IDLE,
    LEAST,
    LOST,
    MACHINE,
    STORED,
    WALLS,
    Flows,
    Part,
)
from coldbench.figures import words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import (
    FULL_WIDTH,
    INK,
    house,
    new_figure,
    place,
    text_width,
    wrapped,
)
from coldbench.quantities import number, show

# Fill and hatch; the hatch tells the parts apart in grey print.
LOOKS: dict[str, tuple[str, str]] = {
    WALLS: ("#4f7f9f", ""), BOTH: ("#7ea6bf", ""), BEYOND: ("#a8c6d8", "////"),
    STORED: ("#e2edf3", "...."),
    LEAST: ("#8a5a12", ""), LOST: ("#e7bd66", ""), MACHINE: ("#e7bd66", ""),
    FANS: ("#f2e2bd", "\\\\\\\\"), IDLE: ("#f2e2bd", "...."),
}
BAR, PITCH, BETWEEN = 6.0, 7.2, 5.0  # height of a bar, from bar to bar, between coolers [mm]
LEFT, RIGHT = 24.0, 36.0  # names, totals [mm]


def heat_and_electricity(
    flows: Sequence[Flows], *, names: Mapping[str, str] | None = None,
    name: str = "heat-and-electricity",
) -> Drawn | None:
    """Two bars a cooler on one axis: heat that comes in, electricity that takes it out.

    Parameters
    ----------
    flows : sequence of Flows
        One a cooler, in the order of the campaign.
    names : mapping of str to str, optional
        Name of each cooler, by id.
    name : str
        Stem of the file names.

    Returns
    -------
    Drawn or None
        None without flows.
    """
    if not flows:
        return None
    bars = [(one, kind, parts) for one in flows
            for kind, parts in (("heat in", one.heat), ("electricity", one.electricity)) if parts]
    with house():
        figure, axes, middles = _room(flows, bars)
        longest = max(sum(max(p.watts, 0.0) for p in parts) for _, _, parts in bars)
        axes.set_xlim(0, 1.04 * longest)
        for middle, (_, kind, parts) in zip(middles, bars, strict=True):
            _bar(axes, middle, parts)
            axes.text(-1.5 / _across(axes), middle, kind, ha="right", va="center", fontsize=8,
                      transform=axes.get_yaxis_transform(), color=INK)
            axes.text(1 + 2 / _across(axes), middle, _total(parts), ha="left", va="center",
                      fontsize=8, transform=axes.get_yaxis_transform(), color=INK)
        _headings(axes, flows, bars, middles, names)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.grid(axis="x")
        axes.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10]))
        axes.set_xlabel("Mean power [W]")
        _key(axes, bars)
    data = pd.DataFrame([
        {"cooler": one.cooler, "run": one.run, "flow": kind, "part": part.what,
         "W": part.watts, "low": _ends(part)[0], "high": _ends(part)[1], "basis": part.basis}
        for one, kind, parts in bars for part in parts
    ])
    return Drawn(figure, data, _alt(bars, names), CAPTION, name)


CAPTION = (
    "Heat that comes in at a steady state, and the electricity that takes it out, means of whole "
    "cycles. Walls by their sizes and least work are modelled, the rest is the difference to what "
    "was measured. Least work: what an ideal machine between this inside and this ambient needs. "
    f"At the right the whole with its {words.INTERVAL}."
)


def _room(
    flows: Sequence[Flows], bars: Sequence[tuple[Flows, str, Sequence[Part]]]
):
    """Figure, its panel measured in millimetres from the top, and the middle of each bar."""
    middles, below = [], 0.0
    for one in flows:
        below += 5.0  # the cooler's name
        for owner, _, _ in bars:
            if owner is one:
                middles.append(below + BAR / 2)
                below += PITCH
        below += BETWEEN - (PITCH - BAR)
    shown = list(dict.fromkeys(p.what for _, _, parts in bars for p in parts))
    key = 4.6 * -(-len(shown) // 3) + 4
    figure = new_figure(FULL_WIDTH, below + 14 + key)
    axes = place(figure, LEFT, 1, FULL_WIDTH - LEFT - RIGHT, below)
    axes.set_ylim(below, 0)
    return figure, axes, middles


def _across(axes: Axes) -> float:
    """Width of the panel. [mm]"""
    return axes.get_position().width * FULL_WIDTH


def _bar(axes: Axes, middle: float, parts: Sequence[Part]) -> None:
    """Parts end to end; a number inside each that has room for it."""
    start = 0.0
    per_watt = _across(axes) / axes.get_xlim()[1]
    for part in parts:
        watts = max(part.watts, 0.0)
        fill, hatch = LOOKS[part.what]
        axes.barh(middle, watts, left=start, height=BAR, color=fill, hatch=hatch,
                  edgecolor="white", linewidth=0.8)
        text = number(part.watts, 1)
        if watts * per_watt > text_width(axes.figure, text) + 2:
            dark = fill in ("#4f7f9f", "#8a5a12")
            axes.text(start + watts / 2, middle, text, ha="center", va="center", fontsize=8,
                      color="white" if dark else INK,
                      bbox=None if not hatch else {"facecolor": fill, "edgecolor": "none",
                                                   "pad": 0.8})
        start += watts


def _headings(
    axes: Axes, flows: Sequence[Flows], bars: Sequence[tuple[Flows, str, Sequence[Part]]],
    middles: Sequence[float], names: Mapping[str, str] | None,
) -> None:
    for one in flows:
        first = next(m for m, (owner, _, _) in zip(middles, bars, strict=True) if owner is one)
        text = (f"{words.named(names, one.cooler)}  ({number(one.inside, 1)} °C inside, "
                f"{number(one.ambient, 1)} °C ambient)")
        (line, *_) = wrapped(axes.figure, text, FULL_WIDTH - 4, 9)
        axes.text(-(LEFT - 2) / _across(axes), first - BAR / 2 - 1.2, line, fontsize=8.5,
                  fontweight=600, ha="left", va="bottom", color=INK,
                  transform=axes.get_yaxis_transform())


def _total(parts: Sequence[Part]) -> str:
    """The whole with its interval."""
    low, high = _whole_ends(parts)
    return show(sum(part.watts for part in parts), low, high, "W")


def _whole_ends(parts: Sequence[Part]) -> tuple[float | None, float | None]:
    told = [part.draws for part in parts]
    if any(one is None for one in told):
        return None, None
    return draws.interval(np.sum(told, axis=0))


def _ends(part: Part) -> tuple[float | None, float | None]:
    return draws.interval(part.draws) if part.draws is not None else (None, None)


def _key(axes: Axes, bars: Sequence[tuple[Flows, str, Sequence[Part]]]) -> None:
    shown = [what for what in LOOKS if any(p.what == what for _, _, parts in bars for p in parts)]
    handles = [Patch(facecolor=LOOKS[w][0], hatch=LOOKS[w][1], edgecolor="white", label=w)
               for w in shown]
    axes.figure.legend(handles=handles, loc="lower left", ncols=3, fontsize=8, frameon=False,
                       bbox_to_anchor=(0.01, 0.0), borderaxespad=0.3, columnspacing=1.5,
                       handlelength=2.2, handleheight=1.1)


def _alt(
    bars: Sequence[tuple[Flows, str, Sequence[Part]]], names: Mapping[str, str] | None
) -> str:
    told = [f"{words.named(names, one.cooler)}, {kind} {_total(parts)}: "
            + "; ".join(f"{p.what} {number(p.watts, 1)} W" for p in parts) + "."
            for one, kind, parts in bars]
    return "Horizontal stacked bars of mean power in watts, two a cooler. " + " ".join(told)
