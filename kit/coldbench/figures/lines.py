"""Samples to lines: hours since zero, breaks at gaps, thinning for the page. Nothing is filled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator, MultipleLocator

from coldbench.figures.look import GAP, GREY
from coldbench.logs.record import Record, Trace
from coldbench.quantities import us

COLUMNS = 1600  # pixel columns a line is thinned to; about 0.1 mm each
TWO_NUMBERS = 7.0  # further width of ticks with two numbers [mm]
LIMIT = 20_000  # points from which a line is thinned
FEW = 40  # up to so many samples each is shown


def line(
    trace: Trace, zero: float, scale: float = 3600.0, *,
    start: float = -np.inf, end: float = np.inf,
) -> pd.DataFrame:
    """Points of a trace as drawn, broken at its gaps.

    Parameters
    ----------
    trace : Trace
        Native samples.
    zero : float
        Time that is drawn as 0, POSIX. [s]
    scale : float
        Seconds in a unit of the axis: 3600 for hours, 60 for minutes. [s]
    start, end : float
        Limits of the axis; one sample beyond each is kept, so that lines reach its edge.
        [h, or as scale]

    Returns
    -------
    DataFrame
        ``x`` [h, or as scale] and ``y`` [unit of the trace]. A row with an empty ``y`` is a
        break: no line may be drawn across it.
    """
    first = max(0, np.searchsorted(trace.t, zero + start * scale) - 1)
    last = np.searchsorted(trace.t, zero + end * scale, side="right") + 1
    trace = trace.part(slice(first, last))
    breaks = gap_starts(trace)
    kept = thinned(trace.t, trace.y, breaks)
    t, y = trace.t[kept], trace.y[kept]
    # Thinning keeps the last sample before each gap, so every break has its place.
    after = np.searchsorted(t, trace.t[breaks]) + 1
    return pd.DataFrame({
        "x": (np.insert(t, after, trace.t[breaks]) - zero) / scale,
        "y": np.insert(y.astype(float), after, np.nan),
    })


def gap_starts(trace: Trace) -> np.ndarray:
    """Indices of the samples after which nothing is known until the next."""
    return np.flatnonzero(~trace.covered)


def gaps(trace: Trace, zero: float, scale: float = 3600.0) -> np.ndarray:
    """Starts and ends of the gaps of a trace, shape (n, 2). [h, or as scale]"""
    at = gap_starts(trace)
    return (np.column_stack([trace.t[at], trace.t[at + 1]]) - zero) / scale


def thinned(t: np.ndarray, y: np.ndarray, breaks: np.ndarray, limit: int = LIMIT) -> np.ndarray:
    """Indices of the samples worth drawing: all, or first, least, greatest, last a pixel column.

    Parameters
    ----------
    t, y : ndarray, shape (n,)
        Times [s] and values [any].
    breaks : ndarray of int
        Samples after which there is a gap; those on both sides of it are kept.
    limit : int
        Up to so many samples all are kept.
    """
    if len(t) <= limit:
        return np.arange(len(t))
    column = ((t - t[0]) * (COLUMNS / (t[-1] - t[0]))).astype(np.int64)
    new = np.union1d(np.flatnonzero(np.diff(column) > 0), breaks) + 1
    first = np.concatenate([[0], new])
    last = np.concatenate([new - 1, [len(t) - 1]])
    group = np.zeros(len(t), np.int64)
    group[new] = 1
    by_value = np.lexsort((y, np.cumsum(group)))  # groups stay in place, sorted inside
    return np.unique(np.concatenate([first, last, by_value[first], by_value[last]]))


def draw(axes: Axes, points: pd.DataFrame, *, steps: str | None = None, **look: object) -> None:
    """Line through points with breaks; a sample alone between two gaps is a dot.

    Where there are few samples, as with readings by eye, each is a dot.
    """
    style = f"steps-{steps}" if steps else "default"
    drawn, = axes.plot(points["x"], points["y"], drawstyle=style, **look)
    drawn.set_rasterized(len(points) > 50_000)
    blank = points["y"].isna().to_numpy()
    alone = ~blank & np.r_[True, blank[:-1]] & np.r_[blank[1:], True]
    dotted = ~blank if steps is None and (~blank).sum() <= FEW else alone
    if dotted.any():
        axes.plot(points["x"][dotted], points["y"][dotted], linestyle="none", marker=".",
                  color=drawn.get_color(), markersize=4, label="sample")


def step_side(trace: Trace) -> str:
    """Side on which a power sample's step lies: its value holds after it, or ended at it."""
    return "pre" if trace.power == "mean" and trace.label == "end" else "post"


def hatch_gaps(axes: Axes, spans: np.ndarray) -> None:
    """Light hatched bands over gaps, the height of the panel. ``spans`` is shaped (n, 2)."""
    spans = spans[_wide(axes, spans)]
    if len(spans):
        axes.broken_barh(
            [(start, end - start) for start, end in spans], (0, 1),
            transform=axes.get_xaxis_transform(), facecolor="none", edgecolor=GAP,
            hatch="///", linewidth=0, zorder=0.5, label="gap",
        )


def _wide(axes: Axes, spans: np.ndarray) -> np.ndarray:
    """Gaps wide enough to be seen as more than a break in the line."""
    low, high = axes.get_xlim()
    return (spans[:, 1] - spans[:, 0] > 0.003 * (high - low)) & (spans[:, 0] < high)


def hatch_gap_boxes(axes: Axes, trace: Trace, zero: float, colour: str) -> None:
    """Hatched boxes over the gaps of one of several lines, from the value before to that after."""
    low, high = axes.get_ylim()
    least = 0.035 * (high - low)
    starts, spans = gap_starts(trace), gaps(trace, zero)
    wide = _wide(axes, spans)
    for at, (start, end) in zip(starts[wide], spans[wide], strict=True):
        under, over = np.sort(trace.y[at:at + 2])
        grow = max(0.0, least - (over - under)) / 2
        axes.broken_barh(
            [(start, end - start)], (under - grow, over - under + 2 * grow), facecolor="none",
            edgecolor=colour, alpha=0.9, hatch="/////", linewidth=0, zorder=1.5, label="gap",
        )


def hour_axis(
    panels: Sequence[Axes], start: float, end: float, label: str = "Time since power on [h]",
    *, name_days: bool = True,
) -> None:
    """Limits, ticks and label of the axis in hours that panels share; days where it is long.

    Parameters
    ----------
    start, end : float
        Limits. [h]
    name_days : bool
        Number the days above the top panel, where they are marked.
    """
    axes = panels[-1]
    end = max(end, start + 0.05)  # a single reading has no length
    axes.set_xlim(start, end)
    axes.set_xlabel(label)
    span = end - start
    steps = (0.05, 0.1, 0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 72, 120, 240, 480)
    step = next((s for s in steps if span / s <= 9), steps[-1])
    axes.xaxis.set_major_locator(MultipleLocator(step))
    if 36 < span <= 24 * 14:
        days = np.arange(np.ceil(start / 24), np.floor(end / 24) + 1) * 24
        for panel in panels:
            for day in days[(days > start) & (days < end)]:
                panel.axvline(day, color="#bdbdbd", linewidth=0.7, zorder=0.6)
        if name_days:
            _day_names(panels[0], start, end)


def value_axis(axes: Axes, label: str, ticks: int = 6) -> None:
    """Label and few round ticks of a vertical axis."""
    label, tick = us.axis(label)
    axes.set_ylabel(label)
    if tick is not None:
        axes.yaxis.set_major_formatter(tick)
        _make_room_left(axes)
    axes.yaxis.set_major_locator(MaxNLocator(ticks, steps=[1, 2, 5, 10], min_n_ticks=2))


def _make_room_left(axes: Axes) -> None:
    """Ticks with two numbers are wider; all panels of a figure give way alike, once."""
    figure = axes.figure
    if figure.get_label() == "room at the left":
        return
    figure.set_label("room at the left")
    wider = TWO_NUMBERS / (figure.get_size_inches()[0] * 25.4)
    for panel in figure.axes:
        box = panel.get_position()
        panel.set_position((box.x0 + wider, box.y0, box.width - wider, box.height))


def across_axis(axes: Axes, label: str) -> None:
    """Label of a horizontal axis, in the units chosen."""
    label, tick = us.axis(label)
    axes.set_xlabel(label)
    if tick is not None:
        axes.xaxis.set_major_formatter(tick)


def _day_names(axes: Axes, start: float, end: float) -> None:
    for day in range(int(start // 24), int(np.ceil(end / 24))):
        middle = (max(start, day * 24) + min(end, day * 24 + 24)) / 2
        if min(end, day * 24 + 24) - max(start, day * 24) > 12:
            axes.annotate(f"day {day + 1}", (middle, 1), xycoords=axes.get_xaxis_transform(),
                          xytext=(0, 3), textcoords="offset points", ha="center", va="bottom",
                          fontsize=7.5, color=GREY)


def frame(parts: Iterable[tuple[pd.DataFrame, dict[str, object]]], x: str) -> pd.DataFrame:
    """The points of several lines in one long frame, each with what it is.

    Parameters
    ----------
    parts : iterable of (DataFrame, dict)
        Points ``x`` and ``y``, and the columns that say what they are.
    x : str
        Name of the column of the horizontal axis.
    """
    named = [
        points.rename(columns={"x": x, "y": "value"}).assign(**what) for points, what in parts
    ]
    data = pd.concat(named, ignore_index=True)
    return data[[c for c in data.columns if c not in (x, "value", "unit")] + [x, "value", "unit"]]


def seen(record: Record, role: str) -> Trace | None:
    """Trace of a role that has samples after time zero; for ``load`` the first load place."""
    trace = record.trace(role)
    if trace is None and role == "load":
        trace = next(iter(record.loads()), None)
    return trace if trace is not None and (trace.t >= record.zero).any() else None


def last_value(points: pd.DataFrame) -> float:
    """Value at the right end of a line. [unit]"""
    return float(points["y"].dropna().iloc[-1])


def gap_words(trace: Trace) -> str:
    """How many gaps a trace has, to go on a sentence; empty for none."""
    count = len(gap_starts(trace))
    return "" if count == 0 else f"; {count} gap{'s' if count > 1 else ''} in the log"
