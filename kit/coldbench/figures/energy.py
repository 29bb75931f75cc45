"""Energy over time: how much each cooler has drawn since power on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import Style, cooler_styles, house, panels
from coldbench.findings import Finding
from coldbench.logs.cumulative import Cumulative
from coldbench.logs.record import Record, Trace


def cumulative_energy(
    records: Mapping[str, Record],
    findings: Iterable[Finding] = (),
    *,
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
    until: float | None = None,
) -> Drawn | None:
    """Energy drawn since power on, with the mean power of the steady window at each line's end.

    Parameters
    ----------
    records : mapping of str to Record
        One run a cooler, by cooler id, in the order of the campaign.
    findings : iterable of Finding
        Those named ``mean_power`` are printed.
    styles, names : mapping
        Style and name of each cooler, by id.
    until : float, optional
        Right end of the axis; default the end of the longest run. [h]

    Returns
    -------
    Drawn or None
        None if no run has power or an energy counter.
    """
    styles = styles or cooler_styles(records)
    findings = list(findings)
    drawn = {c: (r, e) for c, r in records.items() if (e := _energy(r)) is not None}
    if not drawn:
        return None
    end = until or max((e.t[-1] - r.zero) / 3600 for r, e in drawn.values())
    shown = {c: lines.line(e, r.zero, start=0, end=end) for c, (r, e) in drawn.items()}
    texts = {c: _label(c, findings, names) for c in drawn}
    with house():
        figure, (axes,) = panels([78], left=20)
        labels.make_room(axes, list(texts.values()))
        lines.hour_axis([axes], 0, end)
        top = max((np.nanmax(p["y"].to_numpy()) for p in shown.values() if p["y"].notna().any()),
                  default=1.0)
        axes.set_ylim(0, max(top, 1.0) * 1.05)
        lines.value_axis(axes, "Energy since power on [Wh]")
        entries = []
        for n, (cooler, points) in enumerate(shown.items()):
            style, (record, energy) = styles[cooler], drawn[cooler]
            lines.draw(axes, points, **labels.line_look(style))
            lines.hatch_gap_boxes(axes, energy, record.zero, style.colour)
            if energy.role == "energy":
                _counter_jumps(axes, energy, record.zero, style)
            labels.sprinkle(axes, points, style, n, len(drawn))
            last = points["y"].dropna()
            if len(last):
                entries.append(labels.Entry(texts[cooler], last.iloc[-1],
                                            labels.key_look(style)))
        labels.end_labels(axes, entries)
    data = lines.frame([(p, {"cooler": c, "role": drawn[c][1].role, "unit": "Wh"})
                        for c, p in shown.items()], "hours since power on")
    return Drawn(figure, data, _alt(shown, texts, drawn, end), _caption(drawn),
                 "cumulative-energy")


def _energy(record: Record) -> Trace | None:
    """The energy counter from time zero, else the running sum of the power samples."""
    counter = record.trace("energy") or record.trace("energy by hand")
    power = record.trace("power")
    source = counter if counter is not None and len(counter.t) > 1 else power
    if source is None:
        return None
    kept = source.t >= record.zero
    if kept.sum() < 2:
        return None
    after = source.part(kept)
    if source is counter:
        return replace(after, y=after.y - after.y[0])
    return replace(after, y=Cumulative(after).integral(after.t[0], after.t) / 3600)


def _counter_jumps(axes: Axes, energy: Trace, zero: float, style: Style) -> None:
    """What the counter gained in each gap, dotted: known in sum, not in course."""
    at = lines.gap_starts(energy)
    if len(at):
        hours = (energy.t - zero) / 3600
        blank = np.full(len(at), np.nan)  # parts one jump from the next
        axes.plot(np.column_stack([hours[at], hours[at + 1], blank]).ravel(),
                  np.column_stack([energy.y[at], energy.y[at + 1], blank]).ravel(),
                  color=style.colour, linestyle=":", linewidth=1.1,
                  label="counter through a gap")


def _label(cooler: str, findings: list[Finding], names: Mapping[str, str] | None) -> str:
    mean = words.one(findings, finding="mean_power", cooler=cooler)
    name = words.named(names, cooler)
    return name if mean is None else f"{name}\n{words.said(mean)}"


def _alt(
    shown: Mapping[str, pd.DataFrame], texts: Mapping[str, str],
    drawn: Mapping[str, tuple[Record, Trace]], end: float,
) -> str:
    parts = [f"Line chart of energy since power on [Wh] over hours, 0 to {end:.3g} h."]
    for cooler, points in shown.items():
        last = points.dropna().iloc[-1]
        gaps = len(lines.gap_starts(drawn[cooler][1]))
        told = texts[cooler].replace("\n", ": ")
        parts.append(f"{told}; {words.number(last['y'], 0)} Wh after "
                     f"{words.number(min(last['x'], end), 1)} h"
                     + (f", with {gaps} gap{'s' if gaps > 1 else ''}" if gaps else "") + ".")
    return " ".join(parts) + (" The slope is the mean power; brackets give its "
                              f"{words.INTERVAL}.")


def _caption(drawn: Mapping[str, tuple[Record, Trace]]) -> str:
    points = sorted({e.metered_at for _, e in drawn.values() if e.metered_at})
    metered = f", metered at {words.listed(points)}" if points else ""
    return (f"Energy since power on{metered}. The slope is the mean power; the number at a line's "
            f"end is that of the steady window with its {words.INTERVAL}. Lines break at gaps "
            "(hatched); dotted: the counter ran on. A line from power samples goes on after a gap "
            "as if nothing had been drawn in it.")
