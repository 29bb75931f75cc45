"""Freezing: supercooling, plateau and end at the centre of the load."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from matplotlib.axes import Axes

from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.lines import seen
from coldbench.figures.look import BAND, GREY, INK, Style, cooler_styles, house, panels
from coldbench.findings import Finding
from coldbench.logs.record import Record, Trace


def freeze_curve(
    record: Record, freeze: object | None, findings: Iterable[Finding] = (), *,
    style: Style | None = None, name: str = "",
) -> Drawn | None:
    """Temperature at the centre of the load while it freezes, with air and ambient.

    Parameters
    ----------
    record : Record
        The run.
    freeze : object or None
        What the analysis found, POSIX: ``zero`` (load in), ``start`` (end of supercooling),
        ``end`` (of the plateau); NaN or None where not seen. [s]
    findings : iterable of Finding
        ``freeze_start``, ``plateau_time`` and ``freeze_time`` of this run are printed.
    style : Style, optional
        Style of the cooler.
    name : str
        Name of the cooler; its id if empty.

    Returns
    -------
    Drawn or None
        None if no load place was logged.
    """
    style = style or cooler_styles([record.cooler])[record.cooler]
    name = words.named({record.cooler: name}, record.cooler)
    load = seen(record, "load")
    if load is None:
        return None
    zero, start, plateau_end = (_at(freeze, n) for n in ("zero", "start", "end"))
    zero = record.zero if zero is None else zero
    end = _end(record, zero, plateau_end)
    traces = {"load": load} | {r: t for r in ("air", "ambient")
                               if (t := seen(record, r)) is not None}
    shown = {r: lines.line(t, zero, start=0, end=end) for r, t in traces.items()}
    if not shown["load"]["y"].notna().any():
        return None
    looks = {"load": {"color": style.colour, "linewidth": 1.6},
             "air": {"color": INK, "linestyle": (0, (5, 1.6)), "linewidth": 0.9},
             "ambient": labels.AMBIENT}
    told = [f for n in ("freeze_start", "plateau_time", "freeze_time")
            if (f := words.one(findings, finding=n, cooler=record.cooler)) is not None]
    since = "load in" if zero != record.zero else "power on"
    with house():
        figure, (axes,) = panels([80])
        labels.make_room(axes, ["load centre", "ambient", "water freezes, 0 °C"])
        values = np.concatenate([p["y"].dropna() for p in shown.values()])
        pad = 0.06 * (values.max() - values.min()) + 0.5
        axes.set_ylim(min(values.min(), 0) - pad, max(values.max(), 0) + pad)
        lines.hour_axis([axes], 0, end, f"Time since {since} [h]")
        lines.value_axis(axes, "Temperature [°C]")
        axes.axhline(0, zorder=0.9, **labels.TARGET)
        entries = [labels.Entry("water freezes, 0 °C", 0.0, labels.TARGET)]
        for role, points in shown.items():
            lines.draw(axes, points, **looks[role])
            if points["y"].notna().any():
                text = "load centre" if role == "load" else role
                entries.append(labels.Entry(text, points["y"].dropna().iloc[-1], looks[role]))
        lines.hatch_gaps(axes, lines.gaps(load, zero))
        _stages(axes, load, zero, start, plateau_end, style)
        labels.end_labels(axes, entries)
    numbers = [f"{f.kind.title} {words.said(f)}." for f in told]
    low, high = shown["load"]["y"].min(), shown["load"]["y"].max()
    alt = " ".join([
        f"Line chart of {words.listed(shown)} temperature [°C] of {name} over "
        f"hours since {since}, 0 to {end:.3g} h. The load goes from {words.number(high, 1)} °C "
        f"to {words.number(low, 1)} °C.", _stage_words(zero, start, plateau_end), *numbers,
        f"Brackets give the {words.INTERVAL}." if numbers else ""]).strip()
    caption = (f"Freezing of the load. Shaded: the plateau, from the end of supercooling to where "
               f"the centre leaves it downwards. Hatched: gaps in the log. "
               f"{' '.join(numbers)}" + (f" Brackets give the {words.INTERVAL}." if numbers else "")
               ).strip()
    data = lines.frame([(p, {"cooler": record.cooler, "role": r, "unit": "°C"})
                        for r, p in shown.items()], f"hours since {since}")
    return Drawn(figure, data, alt, caption, f"freeze-{record.run}")


def _at(freeze: object | None, name: str) -> float | None:
    value = getattr(freeze, name, None)
    return None if value is None or np.isnan(value) else float(value)


def _end(record: Record, zero: float, plateau_end: float | None) -> float:
    last = (record.end - zero) / 3600
    return last if plateau_end is None else min(last, 1.2 * (plateau_end - zero) / 3600 + 0.5)


def _stages(
    axes: Axes, load: Trace, zero: float, start: float | None, plateau_end: float | None,
    style: Style,
) -> None:
    """Shade the plateau; mark its ends and the deepest supercooling before it."""
    if start is not None and plateau_end is not None:
        left, right = (start - zero) / 3600, (plateau_end - zero) / 3600
        axes.axvspan(left, right, color=BAND, zorder=0.2, label="plateau")
        axes.annotate("plateau", ((left + right) / 2, 1), xycoords=axes.get_xaxis_transform(),
                      xytext=(0, 3), textcoords="offset points", ha="center", va="bottom",
                      fontsize=8, color=INK)
    for at, text in ((start, "start"), (plateau_end, "end of the plateau")):
        if at is not None:
            y = load.y[np.searchsorted(load.t, at).clip(0, len(load.t) - 1)]
            axes.plot([(at - zero) / 3600], [y], marker=style.marker, markersize=7,
                      color=style.colour, markerfacecolor="white", markeredgewidth=1.3,
                      linestyle="none", zorder=4, label=text)
    before = (load.t >= zero) & (load.t <= (start if start is not None else zero))
    if before.any() and load.y[before].min() < -0.5:
        dip = np.flatnonzero(before)[load.y[before].argmin()]
        axes.annotate(
            f"supercooled to {words.number(load.y[dip], 1)} °C",
            ((load.t[dip] - zero) / 3600, load.y[dip]), xytext=(12, -14),
            textcoords="offset points", ha="left", va="center", fontsize=8, color=INK,
            arrowprops={"arrowstyle": "-", "linewidth": 0.6, "color": GREY},
            bbox={"facecolor": "white", "alpha": 0.8, "linewidth": 0, "pad": 1.5},
        )


def _stage_words(zero: float, start: float | None, plateau_end: float | None) -> str:
    if start is None:
        return "No start of freezing was found."
    begins = f"Freezing starts at {words.number((start - zero) / 3600, 1)} h"
    if plateau_end is None:
        return f"{begins}; the end of the plateau was not seen."
    return f"{begins}; the plateau ends at {words.number((plateau_end - zero) / 3600, 1)} h."
