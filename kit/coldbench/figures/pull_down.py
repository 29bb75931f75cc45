"""Pull-down: all coolers on one axis, and one cooler with its power."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.transforms import ScaledTranslation

from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import MM, Style, cooler_styles, house, panels
from coldbench.findings import Finding, find
from coldbench.logs.record import Record, Trace

PLACE = {"air": "Air", "load": "Load"}


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
    drawn = {c: (r, t) for c, r in records.items() if (t := temperature(r, role)) is not None}
    if not drawn:
        return None
    crossings = [f for f in find(findings, finding="pull_down_time")
                 if f.cooler in drawn and _target(f, role) in targets]
    end = until or _end([r for r, _ in drawn.values()], crossings)
    parts = [(lines.line(t, r.zero), {"cooler": c, "role": role, "unit": "°C"})
             for c, (r, t) in drawn.items()]
    parts += [(lines.line(a, r.zero), {"cooler": c, "role": "ambient", "unit": "°C"})
              for c, (r, _) in drawn.items() if (a := r.trace("ambient")) is not None]
    shown = [(cut(points, end), what) for points, what in parts]
    with house():
        texts = [words.named(names, c) for c in drawn] + ["target −88 °C", "ambient"]
        figure, (axes,) = panels([88])
        labels.make_room(axes, texts)
        _limits(axes, [p for p, _ in shown], targets)
        lines.hour_axis([axes], 0, end)
        lines.value_axis(axes, f"{PLACE[role]} temperature [°C]")
        entries = labels.target_lines(axes, targets)
        for n, (points, what) in enumerate(shown):
            if what["role"] == "ambient":
                lines.draw(axes, points, zorder=1, **labels.AMBIENT)
                continue
            style = styles[what["cooler"]]
            record, trace = drawn[what["cooler"]]
            lines.draw(axes, points, zorder=2, **labels.line_look(style))
            lines.hatch_gap_boxes(axes, trace, record.zero, style.colour)
            _crossing_marks(axes, find(crossings, cooler=what["cooler"]), role, style,
                            _lanes(crossings))
            labels.sprinkle(axes, points, style, end * (0.05 + 0.1 * n / len(drawn)), end / 8)
            entries.append(labels.Entry(words.named(names, what["cooler"]), _last(points),
                                        labels.key_look(style)))
        ambients = [p for p, what in shown if what["role"] == "ambient"]
        if ambients:
            entries.append(labels.Entry("ambient", _last(ambients[0]), labels.AMBIENT))
        labels.end_labels(axes, entries)
    return Drawn(figure, lines.frame(shown, "hours since power on"),
                 _overlay_alt(role, drawn, crossings, names, end),
                 _overlay_caption(role, drawn, ambients != []), f"pull-down-{role}")


def temperature(record: Record, role: str) -> Trace | None:
    """Trace of a role with samples; of the first load place for ``load``."""
    trace = record.trace(role)
    if trace is None and role == "load":
        trace = next(iter(record.loads()), None)
    return trace if trace is not None and len(trace.t) else None


def cut(points: pd.DataFrame, end: float, start: float = 0.0) -> pd.DataFrame:
    """Points within the axis, with one more on either side so that lines reach its edge. [h]"""
    x = points["x"].to_numpy()
    first = max(0, np.searchsorted(x, start) - 1)
    return points.iloc[first:np.searchsorted(x, end, side="right") + 1].reset_index(drop=True)


def _target(finding: Finding, role: str) -> float | None:
    """Target out of a key such as ``air<=4 °C``; None for other keys and roles."""
    head, _, tail = finding.at.partition("<=")
    number = tail.removesuffix("°C").strip()
    try:
        return float(number) if head == role else None
    except ValueError:
        return None


def _end(records: Iterable[Record], crossings: Iterable[Finding]) -> float:
    last = max((r.end - r.zero) / 3600 for r in records)
    ends = [n for f in crossings if f.basis != "not reached"
            for n in (f.value, f.high) if n is not None]
    return min(last, max(6.0, 1.3 * max(ends))) if ends else last


def _limits(axes: Axes, drawn: Iterable[pd.DataFrame], targets: Sequence[float]) -> None:
    values = np.concatenate([points["y"].dropna() for points in drawn])
    low, high = values.min(), values.max()
    # A target far below what any cooler reached would squeeze all curves into a corner.
    reach = [t for t in targets if low - 0.25 * (high - low) - 2 <= t <= high]
    low = min([low, *reach])
    pad = max(0.05 * (high - low), 0.5)
    axes.set_ylim(low - pad, high + pad)


def _last(points: pd.DataFrame) -> float:
    return float(points["y"].dropna().iloc[-1])


def _crossing_marks(
    axes: Axes, crossings: Iterable[Finding], role: str, style: Style,
    lanes: Mapping[int, int] | None = None,
) -> None:
    """A ringed marker where a target is passed; a bar between bounds where that is in a gap."""
    for finding in crossings:
        target = _target(finding, role)
        if finding.value is not None:
            axes.plot([finding.value], [target], marker=style.marker, markersize=7,
                      color=style.colour, markerfacecolor="white", markeredgewidth=1.3,
                      linestyle="none", zorder=4, label="crossing")
        elif _has_bounds(finding):
            down = ScaledTranslation(0, -1.4 * MM * (lanes or {}).get(id(finding), 0),
                                     axes.figure.dpi_scale_trans)
            axes.plot([finding.low, finding.high], [target, target], color=style.colour,
                      linewidth=2.0, marker="|", markersize=6, markeredgewidth=1.4, zorder=4,
                      transform=axes.transData + down, label="bounded crossing")


def _has_bounds(finding: Finding) -> bool:
    return finding.value is None and None not in (finding.low, finding.high)


def _lanes(crossings: Iterable[Finding]) -> dict[int, int]:
    """How many steps down each bar between bounds is drawn, so that none covers another."""
    lanes: dict[int, int] = {}
    placed: list[tuple[str, int, Finding]] = []
    for finding in crossings:
        if not _has_bounds(finding):
            continue
        lane = 0
        while any(at == finding.at and used == lane and other.low <= finding.high
                  and finding.low <= other.high for at, used, other in placed):
            lane += 1
        placed.append((finding.at, lane, finding))
        lanes[id(finding)] = lane
    return lanes


def _overlay_alt(
    role: str, drawn: Mapping[str, tuple[Record, Trace]], crossings: Sequence[Finding],
    names: Mapping[str, str] | None, end: float,
) -> str:
    parts = [f"Line chart of {PLACE[role].lower()} temperature [°C] over hours since power on, "
             f"0 to {end:.3g} h, {_count(len(drawn))}."]
    for cooler, (record, trace) in drawn.items():
        inside = (trace.t >= record.zero) & (trace.t <= record.zero + end * 3600)
        y = trace.y[inside] if inside.any() else trace.y
        told = [f"{words.spoken(f.at)} {_reached(f)}" for f in crossings
                if f.cooler == cooler]
        parts.append(f"{words.named(names, cooler)}: from {words.number(y[0], 1)} °C to "
                     f"{words.number(y[-1], 1)} °C"
                     + (f"; {'; '.join(told)}" if told else "") + _gap_words(trace) + ".")
    return " ".join(parts) + f" Brackets give the {words.INTERVAL}."


def _reached(finding: Finding) -> str:
    text = words.said(finding)
    return text if finding.value is None else f"after {text}"


def _gap_words(trace: Trace) -> str:
    count = len(lines.gap_starts(trace))
    return "" if count == 0 else f"; {count} gap{'s' if count > 1 else ''} in the log"


def _count(coolers: int) -> str:
    return "one cooler" if coolers == 1 else f"{coolers} coolers"


def _overlay_caption(
    role: str, drawn: Mapping[str, tuple[Record, Trace]], has_ambient: bool
) -> str:
    starts = [t.y[np.searchsorted(t.t, r.zero, side="left").clip(0, len(t.t) - 1)]
              for r, t in drawn.values()]
    start = (f"{words.number(min(starts), 1)} °C" if max(starts) - min(starts) < 0.05 else
             f"{words.number(min(starts), 1)} to {words.number(max(starts), 1)} °C")
    caption = (f"{PLACE[role]} temperature since power on; start at {start}. Ringed marks: targets "
               "passed; a bar with ends: passed somewhere between its ends. Lines break at gaps in "
               "the log, which are hatched; nothing is filled.")
    return caption + (" Thin grey lines: ambient of each run." if has_ambient else "")


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
    traces = {role: t for role in ("air", "load") if (t := temperature(record, role)) is not None}
    if not traces:
        return None
    crossings = [f for f in find(findings, finding="pull_down_time", cooler=record.cooler)
                 if any(_target(f, role) in targets for role in traces)]
    end = until or _end([record], crossings)
    power, ambient = record.trace("power"), record.trace("ambient")
    extra = {r: t for r, t in (("ambient", ambient), ("power", power)) if t is not None}
    shown = [(cut(lines.line(t, record.zero), end),
              {"cooler": record.cooler, "role": role, "unit": t.unit})
             for role, t in (traces | extra).items()]
    looks = labels.role_looks(style)
    with house():
        figure, axes = panels([66, 26] if power is not None else [66])
        labels.make_room(axes[0], ["ambient", "target −88 °C", *traces])
        warm = {what["role"]: points for points, what in shown if what["role"] != "power"}
        _limits(axes[0], warm.values(), targets)
        lines.hour_axis(axes, 0, end)
        lines.value_axis(axes[0], "Temperature [°C]")
        entries = labels.target_lines(axes[0], targets)
        for role, points in warm.items():
            lines.draw(axes[0], points, **looks[role])
            entries.append(labels.Entry(role, _last(points), looks[role]))
        for role in traces:
            _crossing_marks(axes[0], [f for f in crossings if _target(f, role) is not None], role,
                            Style(looks[role]["color"], style.marker, style.dash))
        lines.hatch_gaps(axes[0], lines.gaps(next(iter(traces.values())), record.zero))
        if power is not None:
            draw_power(axes[1], shown[-1][0], power, record.zero, style)
        labels.end_labels(axes[0], entries)
        labels.mark_lines(axes, record.marks, record.zero)
        figure.align_ylabels(axes)
    return Drawn(figure, lines.frame(shown, "hours since power on"),
                 _sheet_alt(record, traces, crossings, power, name or record.cooler, end),
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
        parts.append(f"{PLACE[role]} from {words.number(y[0], 1)} °C to "
                     f"{words.number(y[-1], 1)} °C{_gap_words(trace)}.")
    parts += [f"{words.spoken(f.at)} {_reached(f)}." for f in crossings]
    return " ".join(parts) + (f" Brackets give the {words.INTERVAL}." if crossings else "")


def _sheet_caption(power: Trace | None) -> str:
    at = f", metered at {power.metered_at}" if power is not None and power.metered_at else ""
    return ("Temperatures since power on"
            + (f"; power as steps{at}" if power is not None else "")
            + ". Ringed marks: targets passed; a bar with ends: passed somewhere between its "
            "ends. Hatched: gaps in the log; nothing is filled.")
