"""Cost over time: what each cooler has cost altogether, and where a dearer one has paid back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from coldbench.compare.outlay import Outlay, case_words
from coldbench.compare.payback import MONTHS, Payback
from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import INK, Style, cooler_styles, house, panels
from coldbench.quantities import number, show

POINTS = 161


def cost_over_time(
    outlays: Sequence[Outlay],
    paybacks: Sequence[Payback] = (),
    *,
    case: str,
    years: float,
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
) -> Drawn | None:
    """What is paid at first and then evenly, a line a cooler with its interval, crossings ringed.

    Parameters
    ----------
    outlays : sequence of Outlay
        Those of one case, in the order of the campaign.
    paybacks : sequence of Payback
        Of the same case; those within the axis are ringed, with their interval.
    case : str
        How the coolers are supplied.
    years : float
        End of the axis. [yr]
    styles, names : mapping
        Style and name of each cooler, by id.

    Returns
    -------
    Drawn or None
        None without outlays.
    """
    if not outlays or years <= 0:
        return None
    styles = styles or cooler_styles([one.cooler for one in outlays])
    currency = outlays[0].first.unit
    shown = {one.cooler: _points(one, years) for one in outlays}
    texts = {one.cooler: _label(one, years, names) for one in outlays}
    ringed = [p for p in paybacks if p.value is not None and 0 < p.value <= MONTHS * years]
    with house():
        figure, (axes,) = panels([80], left=20)
        labels.make_room(axes, list(texts.values()))
        axes.set_xlim(0, years)
        axes.xaxis.set_major_locator(MaxNLocator(9, steps=[1, 2, 5, 10], integer=years >= 2))
        axes.set_xlabel("Years of use")
        axes.set_ylim(0, 1.06 * max(p[["y", "high"]].max().max() for p in shown.values()) or 1.0)
        lines.value_axis(axes, f"Paid altogether [{currency}]")
        entries = []
        for n, (cooler, points) in enumerate(shown.items()):
            style = styles[cooler]
            band = points.dropna(subset=["low", "high"])
            axes.fill_between(band["x"], band["low"], band["high"], color=style.colour,
                              alpha=0.18, linewidth=0, label="interval")
            if points["y"].notna().all():
                axes.plot(points["x"], points["y"], **labels.line_look(style))
                labels.sprinkle(axes, points, style, n, len(shown))
            last = points.iloc[-1]
            end = last["y"] if np.isfinite(last["y"]) else (last["low"] + last["high"]) / 2
            entries.append(labels.Entry(texts[cooler], end, labels.key_look(style)))
        for one in ringed:
            _ring(axes, one)
        labels.end_labels(axes, entries)
    data = pd.concat([
        points.assign(case=case, cooler=cooler, unit=currency)
        for cooler, points in shown.items()], ignore_index=True,
    ).rename(columns={"x": "years", "y": "value"})
    data = data[["case", "cooler", "years", "value", "low", "high", "unit"]]
    return Drawn(figure, data, _alt(case, years, texts, ringed, names), _caption(case, ringed),
                 "cost-over-time-" + case.replace(" ", "-"))


def _points(one: Outlay, years: float) -> pd.DataFrame:
    at = np.linspace(0.0, years, POINTS)
    spent = [one.spent(float(year)) for year in at]
    table = {"x": at, "y": [f.value for f in spent], "low": [f.low for f in spent],
             "high": [f.high for f in spent]}
    return pd.DataFrame(table, dtype=float)


def _label(one: Outlay, years: float, names: Mapping[str, str] | None) -> str:
    spent = one.spent(years)
    said = show(spent.value, spent.low, spent.high, spent.unit, 0)
    return f"{words.named(names, one.cooler)}\n{said} by year {years:g}"


def _ring(axes: Axes, one: Payback) -> None:
    """A ring where two lines cross, and a bar across it for the interval of the time."""
    at = one.value / MONTHS
    height = one.dearer.spent(at).value
    ends = [axes.get_xlim()[1] if end is None else end / MONTHS for end in (one.low, one.high)]
    if one.low is not None:
        axes.plot(ends, [height, height], color=INK, linewidth=1.0, marker="|", markersize=6,
                  zorder=4, label="payback interval")
    axes.plot([at], [height], linestyle="none", marker="o", markersize=8, markerfacecolor="none",
              markeredgecolor=INK, zorder=4, label="payback")
    across = "right" if at > 0.92 * axes.get_xlim()[1] else "center"
    axes.annotate(f"{number(one.value, 0)} mo", (at, height), xytext=(0, 7), ha=across,
                  textcoords="offset points", fontsize=8, color=INK, zorder=5)


def _alt(
    case: str, years: float, texts: Mapping[str, str], ringed: Sequence[Payback],
    names: Mapping[str, str] | None,
) -> str:
    told = "; ".join(text.replace("\n", ": ") for text in texts.values())
    crossings = " ".join(
        f"{words.named(names, p.dearer.cooler)} crosses below "
        f"{words.named(names, p.cheaper.cooler)} after {number(p.value, 0)} months."
        for p in ringed)
    return (f"Line chart of all that was paid, {case_words(case)}, over {years:g} years of use. "
            f"{told}. {crossings}").strip()


def _caption(case: str, ringed: Sequence[Payback]) -> str:
    rings = (" Ring: a dearer, thriftier cooler has paid back; the bar across it is the "
             f"{words.INTERVAL} of that time in months (mo).") if ringed else ""
    return (f"Paid altogether, {case_words(case)}: price (and supply) at first, then even running "
            f"cost. Bands: {words.INTERVAL}, spread from run to run included. Later money counts "
            f"in full; nothing is replaced, repaired or sold.{rings}")
