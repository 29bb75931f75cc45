"""A class on one axis: curves of all groups, and what all groups answered; one may be bold.

Nobody but the bold group is named, in the drawing, its data or its words: the others are ordered
by their values.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from coldbench.figures import lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import (
    BAND,
    COLOURS,
    FULL_WIDTH,
    GREY,
    INK,
    house,
    new_figure,
    panels,
    place,
    wrapped,
)
from coldbench.quantities import show

BOLD = COLOURS[0]
FAINT = dict(color="#8a8a8a", linewidth=0.7, alpha=0.75)
WHITE = dict(facecolor="white", edgecolor="none", pad=0.6, alpha=0.8)
ROW, LINE, TITLE = 10.5, 3.4, 68.0  # height of a row, of a line of its title, its width [mm]
DOT, STACK = 1.7, 5  # height of a dot [mm], most of them one above the other
COLUMNS = 60  # places across in which dots are stacked


@dataclass(frozen=True)
class Answered:
    """What the groups of a class answered to one question.

    Parameters
    ----------
    title, unit : str
        Of what was asked.
    values : mapping of str to float
        By group. [unit]
    least, most : float
        Magnitude that is plausible for any group. [unit]
    """

    title: str
    unit: str
    values: Mapping[str, float]
    least: float
    most: float


def group_curves(
    curves: Mapping[str, tuple[Sequence[float], Sequence[float | None]]], what: str, name: str,
    bold: str = "",
) -> Drawn | None:
    """Temperature curves of all groups over the hours of a run.

    Parameters
    ----------
    curves : mapping of str to (hours, values)
        By group; None is a break. [h], [°C]
    what : str
        What is drawn, for the axis: ``"Load temperature"``.
    name : str
        Stem of the file names.
    bold : str
        Group that is drawn in bold, or ``""``.

    Returns
    -------
    Drawn or None
        None if no group has a curve.
    """
    points = {group: pd.DataFrame({"x": hours, "y": np.array(values, float)})
              for group, (hours, values) in curves.items() if len(hours)}
    if not points:
        return None
    ordered = sorted(points, key=lambda group: lines.last_value(points[group]))
    end = max(float(one["x"].max()) for one in points.values())
    start = min(0.0, min(float(one["x"].min()) for one in points.values()))
    with house():
        figure, (axes,) = panels([80])
        lines.hour_axis([axes], start, end, "Time since the run's zero [h]", name_days=False)
        lines.value_axis(axes, f"{what} [°C]")
        for group in ordered:
            if group != bold:
                lines.draw(axes, points[group], zorder=2, **FAINT)
        if bold in points:
            lines.draw(axes, points[bold], zorder=3, color=BOLD, linewidth=2.2)
            _name_end(axes, points[bold], bold)
        axes.margins(y=0.06)
    shown = [(points[group], {"line": n + 1, "bold": group == bold, "unit": "°C"})
             for n, group in enumerate(ordered)]
    return Drawn(figure, lines.frame(shown, "hours"), _curves_alt(points, what, bold),
                 _curves_caption(len(points), what, bold in points and bold), name)


def _name_end(axes: Axes, points: pd.DataFrame, bold: str) -> None:
    known = points.dropna()
    axes.annotate(bold, (known["x"].iloc[-1], known["y"].iloc[-1]), xytext=(-2, 5),
                  textcoords="offset points", ha="right", va="bottom", color=BOLD,
                  fontweight="bold", fontsize=8.5, bbox=WHITE)


def _curves_alt(points: Mapping[str, pd.DataFrame], what: str, bold: str) -> str:
    lasts = [lines.last_value(one) for one in points.values()]
    told = (f"Line chart of {what.lower()} [°C] over hours, {_groups(len(points))}. At their ends "
            f"the curves lie between {words.number(min(lasts), 1)} and "
            f"{words.number(max(lasts), 1)} °C.")
    if bold in points:
        told += f" Group {bold} ends at {words.number(lines.last_value(points[bold]), 1)} °C."
    return told


def _curves_caption(count: int, what: str, bold: str | bool) -> str:
    named = f"Group {bold} is bold; the others are grey" if bold else "All are grey"
    return (f"{what} of {_groups(count)}, as logged. {named} and not named. Lines break at gaps "
            "in the log.")


def group_answers(rows: Sequence[Answered], name: str, bold: str = "") -> Drawn | None:
    """A row for each number asked, with its own axis: a dot a group, middle half shaded.

    Parameters
    ----------
    rows : sequence of Answered
        Those without a value are left out.
    name : str
        Stem of the file names.
    bold : str
        Group that is drawn in bold, or ``""``.

    Returns
    -------
    Drawn or None
        None if nothing was answered.
    """
    rows = [row for row in rows if row.values]
    if not rows:
        return None
    with house():
        figure, axes = _row_axes(rows)
        for one, row in zip(axes, rows, strict=True):
            _row(one, row, bold)
    return Drawn(figure, _answers_data(rows, bold), _answers_alt(rows, bold),
                 _answers_caption(rows, bold), name)


def _row_axes(rows: Sequence[Answered]) -> tuple[Figure, list[Axes]]:
    probe = new_figure(FULL_WIDTH, 10)
    titles = [[*wrapped(probe, _titled(row), TITLE - 6, 8.5), *_far(row)] for row in rows]
    heights = [max(ROW, LINE * len(title)) for title in titles]
    pitch = [height + 7.0 for height in heights]
    figure = new_figure(FULL_WIDTH, sum(pitch) + 3)
    axes, above = [], 2.0
    for title, height, step in zip(titles, heights, pitch, strict=True):
        one = place(figure, TITLE, above, FULL_WIDTH - TITLE - 6, height)
        one.text(-TITLE / (FULL_WIDTH - TITLE - 6), 0.5, "\n".join(title), fontsize=8.5,
                 transform=one.transAxes, ha="left", va="center", color=INK, linespacing=1.25)
        axes.append(one)
        above += step
    return figure, axes


def _far(row: Answered) -> list[str]:
    count = len(_split(row)[1])
    return [f"({count} off any plausible scale)"] if count else []


def _titled(row: Answered) -> str:
    return row.title if row.unit in ("", "-") else f"{row.title} [{row.unit}]"


def _row(axes: Axes, row: Answered, bold: str) -> None:
    known, _ = _split(row)
    low, high = _limits(row, list(known.values()))
    axes.set_xlim(low, high)
    axes.set_ylim(0, ROW)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.xaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 2.5, 5, 10], min_n_ticks=2))
    if len(known) > 3:
        first, middle, third = np.percentile(list(known.values()), [25, 50, 75])
        axes.axvspan(first, third, color=BAND, zorder=0.5)
        axes.axvline(middle, color=GREY, linewidth=1.0, zorder=0.8)
    seen: dict[int, int] = {}
    for group in sorted(known, key=lambda one: (one == bold, known[one])):
        column = int((known[group] - low) / (high - low) * COLUMNS)
        level = seen[column] = seen.get(column, 0) + 1
        y = DOT * (min(level, STACK) + 0.1)
        if group == bold:
            axes.plot([known[group]], [y], "D", color=BOLD, markersize=7, zorder=4)
            axes.annotate(group, (known[group], y), xytext=(6, 2), textcoords="offset points",
                          color=BOLD, fontweight="bold", fontsize=8.5, zorder=4,
                          bbox=WHITE)
        else:
            axes.plot([known[group]], [y], "o", color="#777777", markersize=4.2, alpha=0.8,
                      markeredgewidth=0, zorder=2)


def _split(row: Answered) -> tuple[dict[str, float], dict[str, float]]:
    """Answers of a plausible magnitude, and the others, which would hide all else."""
    inside = {g: v for g, v in row.values.items() if row.least <= v <= row.most}
    return inside, {g: v for g, v in row.values.items() if g not in inside}


def _limits(row: Answered, values: Sequence[float]) -> tuple[float, float]:
    if not values:
        return row.least, row.most
    low, high = min(values), max(values)
    pad = 0.08 * (high - low) or 0.1 * abs(low) or 1.0
    return low - pad, high + pad


def _answers_data(rows: Sequence[Answered], bold: str) -> pd.DataFrame:
    return pd.DataFrame([
        {"asked": row.title, "unit": row.unit, "rank": n + 1, "value": row.values[group],
         "bold": group == bold}
        for row in rows
        for n, group in enumerate(sorted(row.values, key=lambda one: row.values[one]))
    ])


def _answers_alt(rows: Sequence[Answered], bold: str) -> str:
    parts = ["Dot chart, a row for each number asked, a dot a group."]
    for row in rows:
        known, far = _split(row)
        told = f"{_titled(row)}: {_groups(len(row.values))}"
        if known:
            ends = np.percentile(list(known.values()), [0, 50, 100])
            low, middle, high = (show(float(end), None, None) for end in ends)
            told += f", from {low} to {high}, middle {middle}"
        if far:
            told += f", {len(far)} off any plausible scale"
        if bold in row.values:
            told += f"; group {bold} {show(row.values[bold], None, None)}"
        parts.append(f"{told}.")
    return " ".join(parts)


def _answers_caption(rows: Sequence[Answered], bold: str) -> str:
    named = "" if not any(bold in row.values for row in rows) else f" Group {bold} is the diamond."
    return ("What the groups answered, each for its own data and numbers; a dot a group, not named."
            f"{named} Line: middle answer. Shaded: middle half. No answer is marked here.")


def _groups(count: int) -> str:
    return "one group" if count == 1 else f"{count} groups"
