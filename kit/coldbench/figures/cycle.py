"""One cycle of the steady window close up."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from coldbench.figures import labels, lines, words
from coldbench.figures.cooler import draw_power
from coldbench.figures.drawn import Drawn
from coldbench.figures.lines import seen
from coldbench.figures.look import FULL_WIDTH, HALF_WIDTH, INK, Style, cooler_styles, house, panels
from coldbench.figures.steady import Window
from coldbench.findings import Finding
from coldbench.logs.record import Record


def one_cycle(
    record: Record, steady: Window | None, findings: Iterable[Finding] = (), *,
    style: Style | None = None, name: str = "", half: bool = False,
) -> Drawn | None:
    """One cycle from the middle of the window: air and power over minutes, swing and duty marked.

    Parameters
    ----------
    record : Record
        The run.
    steady : SteadyWindow or None
        The window and the starts of its cycles.
    findings : iterable of Finding
        Those of this cooler's run: ``air_swing``, ``duty`` and ``cycle_time`` are printed.
    style : Style, optional
        Style of the cooler.
    name : str
        Name of the cooler; its id if empty.
    half : bool
        Draw at half the page width.

    Returns
    -------
    Drawn or None
        None without a whole cycle, or without air or power in it.
    """
    style = style or cooler_styles([record.cooler])[record.cooler]
    name = words.named({record.cooler: name}, record.cooler)
    steady = steady if steady is not None and steady.passed else None
    if steady is None or steady.cycling is None or not steady.good.any():
        return None
    kept = np.flatnonzero(steady.good)
    start, end = steady.starts[kept[len(kept) // 2]:][:2]
    length = (end - start) / 60
    traces = {r: t for r in ("air", "power") if (t := seen(record, r)) is not None}
    shown = {r: lines.line(t, start, 60.0, start=0, end=1.06 * length) for r, t in traces.items()}
    within = {r: p["x"].between(0, length) & p["y"].notna() for r, p in shown.items()}
    shown = {r: p for r, p in shown.items() if within[r].any()}
    if not shown:
        return None
    findings = list(findings)
    told = {f: words.one(findings, finding=f, cooler=record.cooler)
            for f in ("air_swing", "duty", "cycle_time")}
    with house():
        figure, axes = panels(
            [42 if role == "air" else 30 for role in shown],
            width=HALF_WIDTH if half else FULL_WIDTH, top=8,
        )
        for panel, (role, points) in zip(axes, shown.items(), strict=True):
            if role == "air":
                _air_cycle(panel, points, points["y"][within[role]], told["air_swing"], style)
            else:
                draw_power(panel, points, traces[role], start, style)
                _duty_bar(panel, told["duty"], length)
            panel.axvline(length, color=INK, linewidth=0.6, linestyle=(0, (1, 2)))
        axes[-1].set_xlim(0, 1.06 * length)
        axes[-1].set_xlabel("Time since the start of the cycle [min]")
        figure.align_ylabels(axes)
    data = lines.frame(
        [(p, {"cooler": record.cooler, "role": r, "unit": traces[r].unit})
         for r, p in shown.items()], "minutes since start of cycle",
    )
    numbers = [f"{f.kind.title} {words.said(f)}." for f in told.values() if f is not None]
    alt = " ".join([
        f"Line charts of one cycle of {name} over {words.number(length, 1)} min: "
        f"{words.listed(shown)}.", *(
            f"{r.capitalize()} between {words.number(p['y'][within[r]].min(), 1)} and "
            f"{words.number(p['y'][within[r]].max(), 1)} {traces[r].unit}."
            for r, p in shown.items()), *numbers])
    caption = ("One cycle of the steady window and, behind the dotted line, the start of the "
               "next. Printed numbers are means over the window's cycles; brackets give the "
               f"{words.INTERVAL}.")
    return Drawn(figure, data, alt, caption, f"cycle-{record.run}")


def _air_cycle(
    axes: Axes, points: pd.DataFrame, inside: pd.Series, swing: Finding | None, style: Style
) -> None:
    lines.draw(axes, points, **labels.role_looks(style)["air"])
    low, high = inside.min(), inside.max()
    pad = max(0.18 * (high - low), 0.3)
    axes.set_ylim(low - pad, high + pad)
    lines.value_axis(axes, "Air [°C]", 5)
    for level in (low, high):
        axes.axhline(level, zorder=0.9, **labels.TARGET)
    if swing is not None:
        _above(axes, f"mean swing {words.said(swing)}")


def _duty_bar(axes: Axes, duty: Finding | None, length: float) -> None:
    """The share of the cycle that the machine runs, as a bar along the top of the panel."""
    if duty is None or duty.value is None:
        return
    low, high = axes.get_ylim()
    axes.set_ylim(low, high * 1.38)
    axes.plot([0, duty.value * length], [high * 1.06] * 2, color=INK, linewidth=2.2,
              solid_capstyle="butt", clip_on=False)
    axes.text(0.01 * length, high * 1.12, f"running: duty {words.said(duty)}", fontsize=8,
              va="bottom", ha="left", color=INK)


def _above(axes: Axes, text: str) -> None:
    axes.annotate(text, (0, 1), xycoords="axes fraction", xytext=(0, 3),
                  textcoords="offset points", ha="left", va="bottom", fontsize=8, color=INK)
