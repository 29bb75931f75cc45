"""Pull-down of all coolers on one axis."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from coldbench.figures import labels, lines, words
from coldbench.figures.crossings import (
    default_end,
    lanes,
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


def pull_down_overlay(
    records: Mapping[str, Record],
    findings: Iterable[Finding],
    targets: Sequence[float],
    *,
    role: str = "air",
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
    until: float | None = None,
) -> Drawn | None:
    """Pull-down of all coolers on one axis, with targets, crossings and gaps.

    Parameters
    ----------
    records : mapping of str to Record
        One pull-down run a cooler, by cooler id, in the order of the campaign.
    findings : iterable of Finding
        Those named ``pull_down_time`` give the crossings.
    targets : sequence of float
        Target temperatures. [°C]
    role : {"air", "load"}
        Temperature that is drawn.
    styles, names : mapping
        Style and name of each cooler, by id.
    until : float, optional
        Right end of the axis; default 1.3 times the latest crossing, at least 6 h. [h]

    Returns
    -------
    Drawn or None
        None if no run has the role.
    """
    styles = styles or cooler_styles(records)
    drawn = {c: (r, t) for c, r in records.items() if (t := seen(r, role)) is not None}
    if not drawn:
        return None
    crossings = [f for f in find(findings, finding="pull_down_time")
                 if f.cooler in drawn and target_of(f, role) in targets]
    end = until or default_end([r for r, _ in drawn.values()], crossings)
    shown = [(lines.line(t, r.zero, start=0, end=end), {"cooler": c, "role": role, "unit": "°C"})
             for c, (r, t) in drawn.items()]
    shown += [(lines.line(a, r.zero, start=0, end=end),
               {"cooler": c, "role": "ambient", "unit": "°C"})
              for c, (r, _) in drawn.items() if (a := lines.seen(r, "ambient")) is not None]
    with house():
        texts = [words.named(names, c) for c in drawn] + ["target −88 °C", "ambient"]
        figure, (axes,) = panels([88])
        labels.make_room(axes, texts)
        temperature_limits(axes, [p for p, _ in shown], targets)
        lines.hour_axis([axes], 0, end)
        lines.value_axis(axes, f"{role.capitalize()} temperature [°C]")
        entries = labels.target_lines(axes, targets)
        for n, (points, what) in enumerate(shown):
            if what["role"] == "ambient":
                lines.draw(axes, points, zorder=1, **labels.AMBIENT)
                continue
            style = styles[what["cooler"]]
            record, trace = drawn[what["cooler"]]
            lines.draw(axes, points, zorder=2, **labels.line_look(style))
            lines.hatch_gap_boxes(axes, trace, record.zero, style.colour)
            mark_crossings(axes, find(crossings, cooler=what["cooler"]), role, style,
                            lanes(crossings))
            labels.sprinkle(axes, points, style, n, len(drawn))
            entries.append(labels.Entry(words.named(names, what["cooler"]), last_value(points),
                                        labels.key_look(style)))
        ambients = [p for p, what in shown if what["role"] == "ambient"]
        if ambients:
            entries.append(labels.Entry("ambient", last_value(ambients[0]), labels.AMBIENT))
        labels.end_labels(axes, entries)
    return Drawn(figure, lines.frame(shown, "hours since power on"),
                 _overlay_alt(role, drawn, crossings, names, end),
                 _overlay_caption(role, drawn, ambients != []), f"pull-downs-{role}")


def _overlay_alt(
    role: str, drawn: Mapping[str, tuple[Record, Trace]], crossings: Sequence[Finding],
    names: Mapping[str, str] | None, end: float,
) -> str:
    parts = [f"Line chart of {role} temperature [°C] over hours since power on, "
             f"0 to {end:.3g} h, {_count(len(drawn))}."]
    for cooler, (record, trace) in drawn.items():
        inside = (trace.t >= record.zero) & (trace.t <= record.zero + end * 3600)
        y = trace.y[inside] if inside.any() else trace.y
        told = [f"{words.spoken(f.at)} {reached(f)}" for f in crossings
                if f.cooler == cooler]
        parts.append(f"{words.named(names, cooler)}: from {words.number(y[0], 1)} °C to "
                     f"{words.number(y[-1], 1)} °C"
                     + (f"; {'; '.join(told)}" if told else "") + gap_words(trace) + ".")
    return " ".join(parts) + f" Brackets give the {words.INTERVAL}."


def _count(coolers: int) -> str:
    return "one cooler" if coolers == 1 else f"{coolers} coolers"


def _overlay_caption(
    role: str, drawn: Mapping[str, tuple[Record, Trace]], has_ambient: bool
) -> str:
    starts = [t.y[np.searchsorted(t.t, r.zero, side="left").clip(0, len(t.t) - 1)]
              for r, t in drawn.values()]
    start = (f"{words.number(min(starts), 1)} °C" if max(starts) - min(starts) < 0.05 else
             f"{words.number(min(starts), 1)} to {words.number(max(starts), 1)} °C")
    caption = (f"{role.capitalize()} temperature since power on; start at {start}. Ringed marks: "
               f"targets passed, with the {words.INTERVAL}; a bar with ends: passed somewhere "
               "between its ends. Lines break at gaps in the log, which are hatched; nothing is "
               "filled.")
    return caption + (" Thin grey lines: ambient of each run." if has_ambient else "")
