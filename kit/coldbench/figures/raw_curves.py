"""What was read in a run, as it was read: for those who are to work it out themselves."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from coldbench.figures import labels, lines, words
from coldbench.figures.cooler import draw_power
from coldbench.figures.drawn import Drawn
from coldbench.figures.lines import gap_words, seen
from coldbench.figures.look import BAND, INK, Style, cooler_styles, house, panels
from coldbench.logs.record import Record, Trace

WARM = ("air", "air_warm", "air_cold", "load", "hot_side", "cold_side", "ambient")
SINCE = "Time since time zero of the run [h]"
ROOM = 4.0  # for one more name above the panels [mm]
Spans = Mapping[str, tuple[float, float]]


def raw_curves(
    record: Record, spans: Spans | None = None, *, style: Style | None = None, name: str = "",
    start: float = 0.0, until: float = np.inf,
) -> Drawn | None:
    """Temperatures and power of a run over hours, with the stretches to be worked on shaded.

    Parameters
    ----------
    record : Record
        The run.
    spans : mapping of str to (float, float)
        Stretches by what they are for, in hours since time zero. [h]
    style : Style, optional
        Style of the cooler.
    name : str
        Name of the cooler; its id if empty.
    start, until : float
        Ends of the axis, by default those of the run. [h]

    Returns
    -------
    Drawn or None
        None if neither a temperature nor power was read over time.
    """
    style, spans = style or cooler_styles([record.cooler])[record.cooler], spans or {}
    name = words.named({record.cooler: name}, record.cooler)
    warm = {r: t for r in WARM if (t := seen(record, r)) is not None and len(t.t) > 1}
    power = seen(record, "power")
    if not warm and power is None:
        return None
    traces = warm | ({"power": power} if power is not None else {})
    end = min(until, max((t.t[-1] - record.zero) / 3600 for t in traces.values()))
    shown = [(lines.line(t, record.zero, start=start, end=end),
              {"cooler": record.cooler, "role": role, "unit": t.unit})
             for role, t in traces.items()]
    with house():
        tall = (36.0, 22.0) if start else (62.0, 26.0)  # whole and close up share a page
        figure, axes = panels(
            ([tall[0]] if warm else []) + ([tall[1]] if power is not None else []),
            top=6.0 + ROOM * max(0, len(spans) - 1))
        labels.make_room(axes[0], [_word(role) for role in warm])
        lines.hour_axis(axes, start, end, SINCE, name_days=not spans)
        if warm:
            _temperatures(axes[0], [(p, what["role"]) for p, what in shown
                                    if what["role"] != "power"], style)
            lines.hatch_gaps(axes[0], lines.gaps(next(iter(warm.values())), record.zero))
        if power is not None:
            draw_power(axes[-1], shown[-1][0], power, record.zero, style)
        _shade(axes, spans)
        if not spans:
            labels.mark_lines(axes, record.marks, record.zero)
        figure.align_ylabels(axes)
    return Drawn(figure, lines.frame(shown, "hours since time zero"),
                 _alt(name, record, traces, spans, (start, end)), _caption(power, spans),
                 f"readings-{record.run}" + (f"-from-{start:.3g}-h" if start else ""))


def _word(role: str) -> str:
    return role.replace("_", " ")


def _temperatures(axes: Axes, shown: list[tuple[pd.DataFrame, str]], style: Style) -> None:
    looks, entries = labels.role_looks(style), []
    values = np.concatenate([points["y"].dropna() for points, _ in shown])
    pad = max(0.06 * np.ptp(values), 0.5)
    axes.set_ylim(values.min() - pad, values.max() + pad)
    lines.value_axis(axes, "Temperature [°C]")
    dashes = iter(((0, (1, 1)), (0, (8, 2)), (0, (3, 1, 1, 1)), (0, (2, 3))))
    for points, role in shown:
        look = looks.get(role) or {"color": INK, "linestyle": next(dashes), "linewidth": 0.9}
        lines.draw(axes, points, **look)
        entries.append(labels.Entry(_word(role), lines.last_value(points), look))
    labels.end_labels(axes, entries)


def _shade(axes: list[Axes], spans: Spans) -> None:
    """The first stretch as a band, the ends of each as lines; names one above the other."""
    for n, (what, (start, end)) in enumerate(spans.items()):
        for panel in axes:
            if n == 0:
                panel.axvspan(start, end, color=BAND, zorder=0.2, label=what)
            for edge in (start, end):
                panel.axvline(edge, color=INK, linewidth=0.5, linestyle=(0, (1, 2)), zorder=0.6)
        axes[0].annotate(
            what, ((start + end) / 2, 1), xycoords=axes[0].get_xaxis_transform(),
            xytext=(0, 3 + ROOM / 25.4 * 72 * n), textcoords="offset points", ha="center",
            va="bottom", fontsize=8, color=INK, annotation_clip=False)


def _alt(
    name: str, record: Record, traces: Mapping[str, Trace], spans: Spans,
    shown: tuple[float, float],
) -> str:
    start, end = (record.zero + 3600 * hour for hour in shown)
    parts = [f"Line charts of the readings of {name}, run {record.run}, from "
             f"{words.number(shown[0], 1)} to {words.number(shown[1], 1)} h: "
             f"{words.listed(_word(r) for r in traces)}."]
    for role, trace in traces.items():
        y = trace.y[trace.within(start, end)]
        if not len(y):
            continue
        parts.append(f"{_word(role).capitalize()} between {words.number(y.min(), 1)} and "
                     f"{words.number(y.max(), 1)} {trace.unit}{gap_words(trace)}.")
    parts += [f"Marked for {what}: {words.number(a, 2)} to {words.number(b, 2)} h."
              for what, (a, b) in spans.items()]
    return " ".join(parts)


def _caption(power: Trace | None, spans: Spans) -> str:
    at = f", metered at {power.metered_at}" if power is not None and power.metered_at else ""
    told = "".join(f" Marked for {what}: {words.number(a, 2)} to {words.number(b, 2)} h."
                   for what, (a, b) in spans.items())
    return (f"Readings as they stand{'; power as steps' + at if power is not None else ''}."
            f"{told} Hatched: gaps in the log; nothing is filled and nothing is worked out.")
