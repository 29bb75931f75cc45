"""Words beside lines: labels at the right end that do not overlap, targets, marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from coldbench.figures.look import GREY, INK, MM, Style, text_width, wrapped
from coldbench.logs.record import Mark
from coldbench.quantities import us

ROOM = 42.0  # widest column of labels at the right [mm]
SAMPLE = 7.0  # length of the piece of line before a label [mm]
PITCH = 3.8  # height of a line of 8 point text [mm]


@dataclass(frozen=True)
class Entry:
    """A label for a line: its text, the height it belongs to and how the line looks."""

    text: str
    y: float
    look: dict[str, object]


def line_look(style: Style) -> dict[str, object]:
    """Keywords of matplotlib for a cooler's line."""
    # A dash pattern without dashes is written as an empty list, which hides the line in print.
    return {"color": style.colour, "linestyle": style.dash if style.dash[1] else "-"}


def key_look(style: Style) -> dict[str, object]:
    """The same with the marker, for a piece of line in a key."""
    return {**line_look(style), "marker": style.marker}


def role_looks(style: Style) -> dict[str, dict[str, object]]:
    """Lines of one cooler's own figure: its colour for the air; dashes tell the roles apart."""
    return {
        "air": {"color": style.colour},
        "load": {"color": INK, "linestyle": (0, (5, 1.6))},
        "ambient": AMBIENT,
    }


AMBIENT = {"color": GREY, "linestyle": "-", "linewidth": 0.7}
TARGET = {"color": GREY, "linestyle": (0, (4, 3)), "linewidth": 0.8}


def spread(
    wanted: Sequence[float], sizes: Sequence[float], low: float, high: float
) -> np.ndarray | None:
    """Places near the wanted ones at which labels do not overlap, or None if they do not fit.

    Parameters
    ----------
    wanted, sizes : sequence of float, shape (n,)
        Wanted middles and sizes of the labels. [any]
    low, high : float
        Limits of the room. [as wanted]

    Notes
    -----
    This kit's own definition: labels keep their order; those that touch move as one block whose
    offset is the mean of what its members want.

    Examples
    --------
    >>> spread([5.0, 5.0], [2.0, 2.0], 0.0, 10.0).tolist()
    [4.0, 6.0]
    >>> spread([5.0, 5.0], [2.0, 2.0], 0.0, 3.0) is None
    True
    """
    sizes = np.asarray(sizes, float)
    if sizes.sum() > high - low:
        return None
    order = np.argsort(wanted, kind="stable")
    # Start of each label if all were pushed together; blocks shift by a common amount.
    offsets = np.concatenate([[0.0], np.cumsum(sizes[order])[:-1]])
    shift = np.asarray(wanted, float)[order] - sizes[order] / 2 - offsets
    blocks: list[list[float]] = []  # sum and count of the shifts in each block
    for value in shift:
        blocks.append([value, 1])
        while len(blocks) > 1 and _mean(blocks[-2]) > _mean(blocks[-1]):
            total, count = blocks.pop()
            blocks[-1] = [blocks[-1][0] + total, blocks[-1][1] + count]
    together = np.repeat([_mean(b) for b in blocks], [int(b[1]) for b in blocks])
    starts = np.clip(together, low, high - sizes.sum()) + offsets
    places = np.empty(len(sizes))
    places[order] = starts + sizes[order] / 2
    return places


def _mean(block: list[float]) -> float:
    return block[0] / block[1]


def label_room(axes: Axes, texts: Sequence[str]) -> float:
    """Room that labels at the right need, sample of the line included. [mm]"""
    lines = [line for text in texts for line in wrapped(axes.figure, text, ROOM)]
    widest = max((text_width(axes.figure, line) for line in lines), default=0.0)
    return SAMPLE + 4 + widest


def make_room(axes: Axes, texts: Sequence[str]) -> None:
    """Narrow all panels of a figure by what the labels at the right need."""
    across = axes.figure.get_size_inches()[0] / MM
    room = label_room(axes, [us.instead(text) for text in texts]) if texts else 3.0
    for panel in axes.figure.axes:
        box = panel.get_position()
        panel.set_position((box.x0, box.y0, 1 - (1 + room) / across - box.x0, box.height))


def end_labels(axes: Axes, entries: Sequence[Entry]) -> bool:
    """Label lines at their right end, in the margin, each with a piece of its line.

    Returns
    -------
    bool
        False if they did not fit: those with a marker then stand in a key below instead.
    """
    figure = axes.figure
    box = axes.get_window_extent()
    low, high = axes.get_ylim()
    tall = box.height / figure.dpi / MM
    lines = [wrapped(figure, us.instead(entry.text), ROOM) for entry in entries]
    wanted = [(np.clip(e.y, low, high) - low) / (high - low) * tall for e in entries]
    places = spread(wanted, [PITCH * len(text) + 0.8 for text in lines], -1.5, tall + 1.5)
    if places is None:
        other = [entry for entry in entries if "marker" not in entry.look]
        _key_below(axes, [entry for entry in entries if "marker" in entry.look])
        make_room(axes, [entry.text for entry in other])
        end_labels(axes, other)
        return False
    across = box.width / figure.dpi / MM
    for entry, text, place in zip(entries, lines, places, strict=True):
        y = place / tall
        start = 1 + 2 / across
        middle, end = start + SAMPLE / 2 / across, start + SAMPLE / across
        axes.add_line(Line2D(
            [start, middle, end], [y, y, y], transform=axes.transAxes, clip_on=False,
            markevery=[1], **entry.look,
        ))
        axes.text(end + 1.5 / across, y, "\n".join(text), transform=axes.transAxes, fontsize=8,
                  va="center", ha="left", color=INK, linespacing=1.1)
    return True


def _key_below(axes: Axes, entries: Sequence[Entry]) -> None:
    """A key under the figure in two columns; the figure grows for it."""
    figure = axes.figure
    across, tall = figure.get_size_inches() / MM
    texts = [wrapped(figure, entry.text, across / 2 - 22) for entry in entries]
    handles = [
        Line2D([], [], label="\n".join(text), **entry.look)
        for entry, text in zip(entries, texts, strict=True)
    ]
    half = (len(texts) + 1) // 2
    grown = 4 + max(
        sum(PITCH * len(text) + 1.6 for text in part) for part in (texts[:half], texts[half:])
    )
    boxes = [(panel, panel.get_position()) for panel in figure.axes]
    figure.set_size_inches(across * MM, (tall + grown) * MM)
    for panel, old in boxes:
        panel.set_position((
            old.x0, (old.y0 * tall + grown) / (tall + grown),
            old.width, old.height * tall / (tall + grown),
        ))
    figure.legend(handles=handles, loc="upper left", ncols=2, labelspacing=0.6,
                  bbox_to_anchor=(8 / across, grown / (tall + grown)), borderaxespad=0)


def target_lines(axes: Axes, targets: Sequence[float]) -> list[Entry]:
    """Thin dashed lines at target temperatures, and their labels. [°C]"""
    low, high = axes.get_ylim()
    inside = [target for target in targets if low <= target <= high]
    for target in inside:
        axes.axhline(target, zorder=0.9, **TARGET)
    return [Entry(f"target {degrees(target)}", target, TARGET) for target in inside]


def degrees(value: float) -> str:
    """A temperature that was set, as short as it was written.

    Examples
    --------
    >>> degrees(-18.0)
    '−18 °C'
    """
    return f"{value:g} °C".replace("-", "\u2212")


def sprinkle(axes: Axes, points: pd.DataFrame, style: Style, n: int, count: int) -> None:
    """A cooler's marker now and then along its line, the nth of some staggered."""
    solid = points[points["y"].notna()]
    if solid.empty:
        return
    x = solid["x"].to_numpy()
    end = axes.get_xlim()[1]
    first, every = end * (0.05 + 0.1 * n / count), end / 8
    wanted = np.arange(first, x[-1] - every / 10, every)
    at = np.unique(np.clip(np.searchsorted(x, wanted), 0, len(x) - 1))
    at = at[np.abs(x[at][:, None] - wanted).min(axis=1) < every / 20] if len(wanted) else at[:1]
    axes.plot(x[at], solid["y"].to_numpy()[at], linestyle="none", marker=style.marker,
              color=style.colour, markeredgecolor="white", markeredgewidth=0.5, zorder=3)


def mark_lines(axes_list: Sequence[Axes], marks: Sequence[Mark], zero: float) -> None:
    """Thin lines at the marks of a run through all panels, named above the top one.

    Marks of one name in a row, and those that find no room, are lines without a name.
    """
    top = axes_list[0]
    start, end = top.get_xlim()
    seen = [(m, (m.t - zero) / 3600) for m in marks]
    seen = [(m, at) for m, at in seen if start <= at <= end and (m.what != "power on" or at > 0.02)]
    if not seen:
        return
    for axes in axes_list:
        for _, at in seen:
            axes.axvline(at, color=INK, linewidth=0.6, linestyle=(0, (1, 2)), zorder=0.8)
    named = [pair for n, pair in enumerate(seen) if n == 0 or pair[0].what != seen[n - 1][0].what]
    across = top.get_window_extent().width / top.figure.dpi / MM
    wanted = [(at - start) / (end - start) * across for _, at in named]
    sizes = [text_width(top.figure, m.what, 7.5) + 3 for m, _ in named]
    places = spread(wanted, sizes, 0.0, across)
    if places is None:
        return
    for (mark, at), place in zip(named, places, strict=True):
        top.annotate(
            mark.what, (at, 1), xycoords=top.get_xaxis_transform(),
            xytext=(place / across, 1 + 2.6 * MM * top.figure.dpi / top.get_window_extent().height),
            textcoords=top.transAxes, ha="center", va="bottom", fontsize=7.5, color=INK,
            arrowprops={"arrowstyle": "-", "linewidth": 0.5, "color": GREY, "shrinkA": 0,
                        "shrinkB": 0},
        )
