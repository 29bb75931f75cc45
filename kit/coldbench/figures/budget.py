"""Uncertainty budgets: shares of variance by input, largest first, a panel a finding."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
from matplotlib.axes import Axes

from coldbench.compare.budget import Share
from coldbench.figures import words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import FULL_WIDTH, INK, Style, house, new_figure, place, wrapped
from coldbench.findings import KINDS, Finding
from coldbench.quantities import number

MOST = 5  # inputs in a panel; further ones are told in the table
NAMES, BARS, LINE = 47.0, 22.0, 4.4  # widths of names and bars, height of a row [mm]
TOP, BOTTOM, COLUMNS = 9.0, 3.0, 2


def budget_bars(
    budgets: Sequence[tuple[Finding, Sequence[Share]]], *, style: Style, cooler: str = "",
    name: str = "budget",
) -> Drawn | None:
    """Budget of each of some findings of one cooler.

    Parameters
    ----------
    budgets : sequence of (Finding, sequence of Share)
        As :func:`coldbench.compare.budget.budgets` gives them.
    style : Style
        Of the cooler.
    cooler : str
        Its name.
    name : str
        Stem of the file names.

    Returns
    -------
    Drawn or None
        None without budgets.
    """
    if not budgets:
        return None
    shown = [(finding, _shortened(shares)) for finding, shares in budgets]
    rows = [shown[i:i + COLUMNS] for i in range(0, len(shown), COLUMNS)]
    talls = [TOP + BOTTOM + LINE * max(len(shares) for _, shares in row) for row in rows]
    with house():
        figure = new_figure(FULL_WIDTH, sum(talls))
        above = 0.0
        for row, tall in zip(rows, talls, strict=True):
            for column, (finding, shares) in enumerate(row):
                left = column * FULL_WIDTH / COLUMNS
                axes = place(figure, left + NAMES + 3, above + TOP, BARS, LINE * len(shares))
                _panel(axes, finding, shares, style)
            above += tall
    data = pd.DataFrame([
        {"cooler": f.cooler, "finding": f.finding, "at": f.at, "input": s.name,
         "share of variance": s.share} for f, shares in budgets for s in shares
    ])
    told = " ".join(
        f"{_title(f)}: " + ", ".join(
            f"{input_words(s.name, f.cooler)} {_percent(s)}" for s in shares[:3]) + "."
        for f, shares in budgets)
    alt = f"Horizontal bars, shares of the variance of {len(budgets)} findings by input. {told}"
    caption = (f"{cooler + ': s' if cooler else 'S'}hare of each input in the variance of a "
               "finding, largest first. Halving the largest is what narrows the interval.")
    return Drawn(figure, data, alt, caption, name)


def _shortened(shares: Sequence[Share]) -> list[Share]:
    """The largest few and the rest as one."""
    *inputs, rest = shares
    told, more = inputs[:MOST], inputs[MOST:]
    left = rest.share + sum(s.share for s in more)
    return [*told, Share("others", left)] if left >= 0.005 or not told else told


def input_words(name: str, cooler: str) -> str:
    """Name of an input in print, without the cooler it goes without saying.

    Examples
    --------
    >>> input_words("chest chest-4c load<=4 °C step", "chest")
    'chest-4c load ≤ 4 °C step'
    """
    return words.spoken(name.removeprefix(f"{cooler} "))


def _percent(share: Share) -> str:
    return f"{number(100 * share.share, 0)} %"


def _title(finding: Finding) -> str:
    at = f", {words.spoken(finding.at)}" if finding.at else ""
    return f"{KINDS[finding.finding].title}{at}"


def _panel(axes: Axes, finding: Finding, shares: Sequence[Share], style: Style) -> None:
    places = range(len(shares))
    colours = [style.colour if s.name != "others" else "#c9c9c9" for s in shares]
    axes.barh(places, [s.share for s in shares], height=0.62, color=colours)
    axes.set_xlim(0, 1)
    axes.set_ylim(len(shares) - 0.5, -0.5)
    axes.set_xticks([])
    axes.set_yticks(places, [
        wrapped(axes.figure, input_words(s.name, finding.cooler), NAMES, 7.5)[0] for s in shares
    ], fontsize=7.5)
    axes.tick_params(axis="y", length=0)
    axes.grid(False)
    for side in ("bottom", "top", "right"):
        axes.spines[side].set_visible(False)
    for at, share in zip(places, shares, strict=True):
        axes.text(share.share + 0.03, at, _percent(share), fontsize=7.5, va="center", color=INK)
    box = axes.get_position()
    across = NAMES + BARS + 12
    title = wrapped(axes.figure, f"{_title(finding)}: {words.said(finding)}", across, 8)
    start = (0.5 if box.x0 > 0.5 else 0.0) + 2 / FULL_WIDTH
    tall = axes.figure.get_size_inches()[1] * 25.4
    axes.figure.text(start, box.y1 + 1.2 / tall, "\n".join(title[:2]), fontsize=8, va="bottom",
                     ha="left", color=INK, fontweight=600, linespacing=1.05)
