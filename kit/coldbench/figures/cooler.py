"""One cooler's own pull-down: air, load, ambient, and power as steps below."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from coldbench.figures import labels, lines, words
from coldbench.figures.crossings import (
    default_end,
    mark_crossings,
    reached,
    target_of,
    temperature_limits,
)
from coldbench.figures.drawn import Drawn
from coldbench.figures.lines import gap_words, last_value, seen
from coldbench.figures.look import Style, cooler_styles, house, panels
from coldbench.findings import Finding, find
from coldbench.logs.record import Record, Trace


def pull_down_sheet(
    record: Record,
    findings: Iterable[Finding],
    targets: Sequence[float],
    *,
    style: Style | None = None,
    name: str = "",
    until: float | None = None,
) -> Drawn | None:
    """Pull-down of one cooler: air, load and ambient, and power as steps below.

    Parameters
    ----------
    record : Record
        The run.
    findings : iterable of Finding
        Those named ``pull_down_time`` of this cooler give the crossings.
    targets : sequence of float
        Target temperatures. [°C]
    style : Style, optional
        Style of the cooler.
    name : str
        Name of the cooler; its id if empty.
    until : float, optional
        Right end of the axis; default 1.3 times the latest crossing, at least 6 h. [h]

    Returns
    -------
    Drawn or None
        None if neither air nor load was logged.
    """
    style = style or cooler_styles([record.cooler])[record.cooler]
    name = words.named({record.cooler: name}, record.cooler)
    traces = {role: t for role in ("air", "load") if (t := seen(record, role)) is not None}
    if not traces:
        return None
    crossings = [f for f in find(findings, finding="pull_down_time", cooler=record.cooler)
                 if any(target_of(f, role) in targets for role in traces)]
    end = until or default_end([record], crossings)
    power, ambient = seen(record, "power"), seen(record, "ambient")
    extra = {r: t for r, t in (("ambient", ambient), ("power", power)) if t is not None}
    shown = [(lines.line(t, record.zero, start=0, end=end),
              {"cooler": record.cooler, "role": role, "unit": t.unit})
             for role, t in (traces | extra).items()]
    looks = labels.role_looks(style)
    with house():
        figure, axes = panels([66, 26] if power is not None else [66])
        labels.make_room(axes[0], ["ambient", "target −88 °C", *traces])
        warm = {what["role"]: points for points, what in shown if what["role"] != "power"}
        temperature_limits(axes[0], warm.values(), targets)
        lines.hour_axis(axes, 0, end)
        lines.value_axis(axes[0], "Temperature [°C]")
        entries = labels.target_lines(axes[0], targets)
        for role, points in warm.items():
            lines.draw(axes[0], points, **looks[role])
            entries.append(labels.Entry(role, last_value(points), looks[role]))
        for role in traces:
            mark_crossings(axes[0], [f for f in crossings if target_of(f, role) is not None], role,
                            Style(looks[role]["color"], style.marker, style.dash))
        lines.hatch_gaps(axes[0], lines.gaps(next(iter(traces.values())), record.zero))
        if power is not None:
            draw_power(axes[1], shown[-1][0], power, record.zero, style)
        labels.end_labels(axes[0], entries)
        labels.mark_lines(axes, record.marks, record.zero)
        figure.align_ylabels(axes)
    return Drawn(figure, lines.frame(shown, "hours since power on"),
                 _sheet_alt(record, traces, crossings, power, name, end),
                 _sheet_caption(power), f"pull-down-{record.run}")


def draw_power(axes: Axes, points: pd.DataFrame, power: Trace, zero: float, style: Style) -> None:
    """Power as steps in a panel that starts at zero, with its gaps hatched."""
    lines.draw(axes, points, steps=lines.step_side(power), color=style.colour, linewidth=0.9)
    top = np.nanmax(points["y"].to_numpy()) if points["y"].notna().any() else 1.0
    axes.set_ylim(0, max(top, 1e-3) * 1.12)
    lines.value_axis(axes, "Power [W]", 4)
    lines.hatch_gaps(axes, lines.gaps(power, zero))


def _sheet_alt(
    record: Record, traces: Mapping[str, Trace], crossings: Sequence[Finding],
    power: Trace | None, name: str, end: float,
) -> str:
    parts = [f"Line chart of the pull-down of {name}: temperatures [°C]"
             + (" and, below, power [W]" if power is not None else "")
             + f" over hours since power on, 0 to {end:.3g} h."]
    for role, trace in traces.items():
        inside = (trace.t >= record.zero) & (trace.t <= record.zero + end * 3600)
        y = trace.y[inside] if inside.any() else trace.y
        parts.append(f"{role.capitalize()} from {words.number(y[0], 1)} °C to "
                     f"{words.number(y[-1], 1)} °C{gap_words(trace)}.")
    parts += [f"{words.spoken(f.at)} {reached(f)}." for f in crossings]
    return " ".join(parts) + (f" Brackets give the {words.INTERVAL}." if crossings else "")


def _sheet_caption(power: Trace | None) -> str:
    at = f", metered at {power.metered_at}" if power is not None and power.metered_at else ""
    return ("Temperatures since power on"
            + (f"; power as steps{at}" if power is not None else "")
            + f". Ringed marks: targets passed, with the {words.INTERVAL}; a bar with ends: "
            "passed somewhere between its ends. Hatched: gaps in the log; nothing is filled.")
