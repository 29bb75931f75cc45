"""Steady cycling: a day in panels with the chosen window."""

from __future__ import annotations

from typing import Protocol

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from coldbench.figures import labels, lines, words
from coldbench.figures.cooler import draw_power
from coldbench.figures.drawn import Drawn
from coldbench.figures.lines import seen
from coldbench.figures.look import BAND, INK, Style, cooler_styles, house, panels
from coldbench.logs.record import Record, Trace


class Window(Protocol):
    """The steady window as the analysis gives it.

    POSIX ends; starts of its cycles with the end of the last one; which of them were kept; and
    None for ``cycling`` where the machine ran without a break.
    """

    t0: float
    t1: float
    passed: bool
    cycling: object | None
    starts: np.ndarray
    good: np.ndarray


def steady_stack(
    record: Record, steady: Window | None, *, style: Style | None = None, name: str = "",
    hours: float = 24.0,
) -> Drawn | None:
    """Temperatures, power as steps and ambient, one panel each, the chosen window shaded.

    Parameters
    ----------
    record : Record
        The run.
    steady : SteadyWindow or None
        The window; without one that passed the last ``hours`` are drawn and nothing is shaded.
    style : Style, optional
        Style of the cooler.
    name : str
        Name of the cooler; its id if empty.
    hours : float
        Least length drawn; of a window longer than twice that, the end is drawn. [h]

    Returns
    -------
    Drawn or None
        None if neither a temperature inside nor power was logged.
    """
    style = style or cooler_styles([record.cooler])[record.cooler]
    name = words.named({record.cooler: name}, record.cooler)
    inside = {r: t for r in ("air", "load") if (t := seen(record, r)) is not None}
    power, ambient = seen(record, "power"), seen(record, "ambient")
    if not inside and power is None:
        return None
    steady = steady if steady is not None and steady.passed else None
    start, end = _span(record, steady, hours)
    groups = [group for group in (
        inside, {"power": power} if power is not None else {},
        {"ambient": ambient} if ambient is not None else {},
    ) if group]
    heights = {"air": 38.0, "load": 38.0, "power": 22.0, "ambient": 15.0}  # two fit a page
    with house():
        figure, axes = panels([heights[next(iter(g))] for g in groups])
        labels.make_room(axes[0], list(inside) if len(inside) > 1 else [])
        lines.hour_axis(axes, start, end, name_days=False)
        shown = []
        for panel, group in zip(axes, groups, strict=True):
            points = {r: lines.line(t, record.zero, start=start, end=end)
                      for r, t in group.items()}
            shown += [(p, {"cooler": record.cooler, "role": r, "unit": group[r].unit})
                      for r, p in points.items()]
            if steady is not None:
                panel.axvspan(*_hours(steady, record), color=BAND, zorder=0.2,
                              label="steady window")
            if "power" in group:
                draw_power(panel, points["power"], power, record.zero, style)
            else:
                _temperatures(panel, points, style)
                lines.hatch_gaps(panel, lines.gaps(next(iter(group.values())), record.zero))
        if steady is not None:
            _window_name(axes[0], *_hours(steady, record))
        else:
            labels.mark_lines(axes, record.marks, record.zero)
        figure.align_ylabels(axes)
    return Drawn(figure, lines.frame(shown, "hours since power on"),
                 _stack_alt(record, groups, steady, name, start, end),
                 _stack_caption(power, steady), f"steady-{record.run}")


def _hours(steady: Window, record: Record) -> tuple[float, float]:
    return (steady.t0 - record.zero) / 3600, (steady.t1 - record.zero) / 3600


def _span(record: Record, steady: Window | None, hours: float) -> tuple[float, float]:
    """Part of the run that is drawn: the window, or the end of one longer than that. [h]"""
    last = (record.end - record.zero) / 3600
    t0, t1 = _hours(steady, record) if steady is not None else (last, last)
    around = min(max(hours, 1.08 * (t1 - t0)), 2 * hours)
    end = min(last, t1 + max(0.04 * around, (around - (t1 - t0)) / 2))
    return max(0.0, end - around), end


def _temperatures(axes: Axes, points: dict[str, pd.DataFrame], style: Style) -> None:
    looks = labels.role_looks(style)
    values = np.concatenate([p["y"].dropna() for p in points.values()])
    if not len(values):
        return
    middle, half = (values.max() + values.min()) / 2, (values.max() - values.min()) / 2
    half = max(1.12 * half, 1.0)  # so that a reading's last digit does not fill a panel
    axes.set_ylim(middle - half, middle + half)
    title = "Ambient" if "ambient" in points else next(iter(points)).capitalize()
    lines.value_axis(axes, f"{'Inside' if len(points) > 1 else title} [°C]",
                     3 if "ambient" in points else 5)
    entries = []
    for role, line in points.items():
        lines.draw(axes, line, **looks[role])
        if line["y"].notna().any():
            entries.append(labels.Entry(role, line["y"].dropna().iloc[-1], looks[role]))
    if len(entries) > 1:
        labels.end_labels(axes, entries)


def _window_name(axes: Axes, t0: float, t1: float) -> None:
    start, end = axes.get_xlim()
    middle = (max(t0, start) + min(t1, end)) / 2
    part = ", its end" if t0 < start else ""
    axes.annotate(f"steady window, {words.number(t1 - t0, 1)} h{part}", (middle, 1),
                  xycoords=axes.get_xaxis_transform(), xytext=(0, 3),
                  textcoords="offset points", ha="center", va="bottom", fontsize=8, color=INK)


def _stack_alt(
    record: Record, groups: list[dict[str, Trace]], steady: Window | None, name: str,
    start: float, end: float,
) -> str:
    parts = [f"Stacked line charts of {name} over hours since power on, {start:.1f} to "
             f"{end:.1f} h: {words.listed(r for group in groups for r in group)}."]
    for role, trace in ((r, t) for group in groups for r, t in group.items()):
        at = (trace.t >= record.zero + start * 3600) & (trace.t <= record.zero + end * 3600)
        if at.any():
            low, high = trace.y[at].min(), trace.y[at].max()
            parts.append(f"{role.capitalize()} between {words.number(low, 1)} and "
                         f"{words.number(high, 1)} {trace.unit}.")
    if steady is None:
        return " ".join(parts) + " No steady window was found."
    t0, t1 = _hours(steady, record)
    return (" ".join(parts) + f" The steady window, {t0:.1f} to {t1:.1f} h with "
            f"{_cycles(steady)}, is shaded.")


def _cycles(steady: Window) -> str:
    if steady.cycling is None:
        return "the machine running without a break"
    return f"{len(steady.good)} whole cycles"


def _stack_caption(power: Trace | None, steady: Window | None) -> str:
    at = f", metered at {power.metered_at}" if power is not None and power.metered_at else ""
    shaded = ("Shaded: the steady window." if steady is not None
              else "No window was steady; nothing is shaded.")
    what = "Cycling" if steady is not None and steady.cycling is not None else "Running"
    return (f"{what}{'; power as steps' + at if power is not None else ''}. {shaded} "
            "Hatched: gaps in the log; nothing is filled. The readings carry the instruments' "
            "errors; no interval is drawn.")
