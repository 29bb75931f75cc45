"""Supply from the sun: battery against panel for each cooler, and its months without power."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.ticker import MaxNLocator

from coldbench.compare.supply_sizes import LEVELS
from coldbench.compare.supply_year import STATED, Case, SupplyYear
from coldbench.figures import lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import (
    FULL_WIDTH,
    GREY,
    INK,
    Style,
    cooler_styles,
    house,
    new_figure,
    panels,
    place,
    wrapped,
)
from coldbench.quantities import number

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LOOKS = dict(zip(LEVELS, ((0, (1.2, 1.4)), (0, (5, 1.8)), "-"), strict=True))
SIDE, TALL, GUTTER = 64.0, 56.0, 20.0  # a map's width and height, room left of it [mm]
HEAD, FOOT = 9.0, 12.0  # room above and below a map [mm]
KEY = 13.0  # [mm]


def supply_map(
    years: Sequence[SupplyYear],
    *,
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
) -> Drawn | None:
    """Battery against panel, a map a cooler, with lines of equal share of hours with power.

    Parameters
    ----------
    years : sequence of SupplyYear
        One a cooler.
    styles, names : mapping
        Style and name of each cooler, by id.

    Returns
    -------
    Drawn or None
        None without years.
    """
    if not years:
        return None
    styles = styles or cooler_styles([year.cooler for year in years])
    rows = (len(years) + 1) // 2
    with house():
        figure = new_figure(FULL_WIDTH, rows * (HEAD + TALL + FOOT) + KEY)
        for n, year in enumerate(years):
            axes = place(figure, GUTTER + (n % 2) * (SIDE + GUTTER),
                         HEAD + n // 2 * (HEAD + TALL + FOOT), SIDE, TALL)
            _map(axes, year, styles[year.cooler], words.named(names, year.cooler))
        _key(figure, any(year.case(STATED) for year in years))
    alt = " ".join(
        ["Maps of battery [Wh], upwards, against panel [W], across; lines of equal share of the "
         "hours of a year with power.", *(_told(year, names) for year in years)])
    caption = ("Share of the hours of a year in which a battery with a panel gives power, a map a "
               f"cooler: {'; '.join(years[0].said)}. Above and to the right of a line is more. "
               "An estimate: it chooses neither wiring nor protection.")
    return Drawn(figure, _map_data(years), alt, caption, "supply-map")


def _map(axes: Axes, year: SupplyYear, style: Style, name: str) -> None:
    most = [1.8 * max((getattr(case, size) for case in year.cases), default=0.0) or grid[-1]
            for size, grid in (("panel", year.panel), ("battery", year.battery))]
    axes.set_xlim(0, min(most[0], year.panel[-1]))
    axes.set_ylim(0, min(most[1], year.battery[-1]))
    reached = [level for level in LEVELS if year.share.min() < level <= year.share.max()]
    if reached:
        axes.contour(year.panel, year.battery, -np.sqrt(1 - year.share), colors=style.colour,
                     levels=[-np.sqrt(1 - level) for level in reached],
                     linestyles=[LOOKS[level] for level in reached], linewidths=1.4)
    for case in year.cases:
        stated = case.what == STATED
        axes.plot([case.panel], [case.battery], linestyle="none", zorder=4, clip_on=False,
                  marker=style.marker if stated else "o", markersize=7 if stated else 4.5,
                  color=style.colour, markerfacecolor=style.colour if stated else "white",
                  label=case.what)
    axes.set_title("\n".join(wrapped(axes.figure, name, SIDE)), fontsize=9)
    axes.set_xlabel("Panel [W]")
    lines.value_axis(axes, "Battery [Wh]")
    axes.xaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 5, 10]))


def _key(figure: Figure, stated: bool) -> None:
    looks = [Line2D([], [], color=INK, linestyle=LOOKS[level], linewidth=1.4,
                    label=f"{100 * level:g} % of the hours") for level in LEVELS]
    looks.append(Line2D([], [], color=INK, marker="o", markersize=4.5, markerfacecolor="white",
                        linestyle="none", label="smallest pair"))
    if stated:
        looks.append(Line2D([], [], color=INK, marker="s", markersize=6, linestyle="none",
                            label=f"filled: {STATED}"))
    figure.legend(handles=looks, loc="lower center", ncols=3, fontsize=8,
                  bbox_to_anchor=(0.5, 0.0), columnspacing=1.4)


def pair_words(case: Case) -> str:
    """Battery and panel of a case: ``140 Wh with 143 W``."""
    return f"{number(case.battery, 0)} Wh with {number(case.panel, 0)} W"


def _told(year: SupplyYear, names: Mapping[str, str] | None) -> str:
    parts = [f"{pair_words(case)} "
             + (f"({STATED}) gives {number(100 * case.share, 1)} %" if case.what == STATED
                else f"is the smallest pair for {case.what}") for case in year.cases]
    return f"{words.named(names, year.cooler)}: {'; '.join(parts) or 'no pair tried is enough'}."


def _map_data(years: Sequence[SupplyYear]) -> pd.DataFrame:
    return pd.concat([
        pd.DataFrame({
            "cooler": year.cooler, "battery [Wh]": np.repeat(year.battery, len(year.panel)),
            "panel [W]": np.tile(year.panel, len(year.battery)),
            "share of hours": year.share.ravel(),
        }) for year in years], ignore_index=True)


def supply_months(
    years: Sequence[SupplyYear],
    *,
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
) -> Drawn | None:
    """Hours without power by month, a panel a cooler, over the sun of each month.

    Parameters
    ----------
    years : sequence of SupplyYear
        One a cooler; those without a case are left out.
    styles, names : mapping
        Style and name of each cooler, by id.

    Returns
    -------
    Drawn or None
        None where no cooler has a case.
    """
    years = [year for year in years if year.shown is not None]
    if not years:
        return None
    styles = styles or cooler_styles([year.cooler for year in years])
    most = max(1.0, *(float(year.shown.without.max()) for year in years))
    with house():
        figure, axes = panels([20, *[26] * len(years)], left=20, between=9, bottom=8)
        x = np.arange(12)
        axes[0].bar(x, years[0].sun, color=GREY, width=0.72)
        axes[0].set_title("Sun on level ground", fontsize=9)
        lines.value_axis(axes[0], "Full sun [h/d]", 3)
        for panel, year in zip(axes[1:], years, strict=True):
            _bars(panel, year.shown, styles[year.cooler], most)
            panel.set_title(f"{words.named(names, year.cooler)}, {pair_words(year.shown)}",
                            fontsize=9)
        for panel in axes:
            panel.grid(axis="x", visible=False)
            panel.tick_params(axis="x", length=0)
        axes[-1].set_xlim(-0.6, 11.6)
        axes[-1].set_xticks(x, MONTHS)
    data = pd.DataFrame([
        {"cooler": year.cooler, "month": MONTHS[m], "full sun [h/d]": year.sun[m],
         "ambient [°C]": year.air[m], "demand [Wh/d]": year.demand[m],
         "without power [h]": hours.mean(), "least": hours.min(), "most": hours.max()}
        for year in years for m, hours in enumerate(year.shown.without.T)])
    alt = " ".join(
        [f"Bars of hours of full sun a day, {_ends(years[0].sun)}, and of hours without power a "
         "month.",
         *(f"{words.named(names, year.cooler)}, {pair_words(year.shown)}: "
           f"{_worst(year.shown)}." for year in years)])
    what = years[0].shown.what
    case = f"battery and panel {what}" if what == STATED else f"the smallest pair for {what}"
    caption = (f"Hours of each month without power, with {case}: mean of the years drawn, thin "
               "lines from the best to the worst of them. Above: the sun of each month.")
    return Drawn(figure, data, alt, caption, "supply-months")


def _bars(axes: Axes, case: Case, style: Style, most: float) -> None:
    x, mean = np.arange(12), case.without.mean(axis=0)
    axes.bar(x, mean, color=style.colour, width=0.72, label="mean")
    axes.vlines(x, case.without.min(axis=0), case.without.max(axis=0), color=INK, linewidth=0.8,
                label="years")
    axes.set_ylim(0, 1.06 * most)
    lines.value_axis(axes, "Without [h]", 3)
    if not case.without.any():
        axes.text(5.5, most / 2, "none", fontsize=8, color=INK, ha="center", va="center")


def _worst(case: Case) -> str:
    if case.worst is None:
        return "none"
    hours = case.without.mean(axis=0)[case.worst]
    return f"most in {MONTHS[case.worst]}, {number(float(hours), 0)} h"


def _ends(sun: np.ndarray) -> str:
    low, high = int(sun.argmin()), int(sun.argmax())
    return (f"from {number(float(sun[low]), 1)} in {MONTHS[low]} to "
            f"{number(float(sun[high]), 1)} in {MONTHS[high]}")
