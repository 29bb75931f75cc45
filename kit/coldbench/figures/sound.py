"""Sound: levels by state and cooler with their background, and a log of levels over time."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from coldbench.figures import labels, lines, words
from coldbench.figures.cooler import draw_power
from coldbench.figures.dots import dot_row
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import (
    FULL_WIDTH,
    GREY,
    INK,
    Style,
    cooler_styles,
    house,
    new_figure,
    panels,
    place,
    text_width,
    wrapped,
)
from coldbench.findings import Finding
from coldbench.logs.record import Record, Trace

PITCH, HEAD = 5.5, 6.5  # height of a cooler's row and of a state's heading [mm]
LINE = 3.3  # height of a further line of a name [mm]
FIRST = ("running", "idle", "mean over the cycle")  # states in the order of the day
EXCEEDED = re.compile(r" ?L(10|50|90)$")
LOUD = {"10": (0, (6, 2)), "50": "-", "90": (0, (2, 1.2))}  # dashes of the levels exceeded


def sound_levels(
    findings: Iterable[Finding],
    *,
    coolers: Sequence[str] | None = None,
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
) -> Drawn | None:
    """Levels under a heading a state and distance, a row a cooler, the background as a grey mark.

    Parameters
    ----------
    findings : iterable of Finding
        Those named ``sound_level`` count, levels exceeded left out.
    coolers : sequence of str, optional
        Order of the coolers; default that of ``styles`` or of the findings.
    styles, names : mapping
        Style and name of each cooler, by id.

    Returns
    -------
    Drawn or None
        None if no level was read.
    """
    found = [f for f in findings if f.finding == "sound_level" and _ends(f)
             and not EXCEEDED.search(f.at)]
    if not found:
        return None
    coolers = list(coolers or styles or dict.fromkeys(f.cooler for f in found))
    styles = styles or cooler_styles(coolers)
    groups = {at: sorted((f for f in found if f.at == at), key=lambda f: coolers.index(f.cooler))
              for at in sorted(dict.fromkeys(f.at for f in found), key=_rank)}
    with house():
        axes, rows = _laid_out(groups, names)
        low, high = _limits(found)
        axes.set_xlim(low, high)
        axes.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10], min_n_ticks=2))
        axes.set_xlabel("A-weighted sound level [dB]")
        axes.grid(axis="y", visible=False)
        for y, finding in rows:
            dot_row(axes, y, finding, styles[finding.cooler], (low, high))
            back = finding.conditions.get("background")
            if back is not None:
                axes.plot([back], [y], marker="d", color=GREY, markerfacecolor="white",
                          markersize=4.5, linestyle="none", zorder=2.5, label="background")
    return Drawn(axes.figure, _data(groups), _alt(groups, names), _caption(found), "sound-levels")


def _ends(finding: Finding) -> list[float]:
    return [n for n in (finding.value, finding.low, finding.high) if n is not None]


def _rank(at: str) -> tuple[str, int, str]:
    """By distance, then by state in the order of the day."""
    state, far = _parts(at)
    return far, FIRST.index(state) if state in FIRST else len(FIRST), state


def _parts(at: str) -> tuple[str, str]:
    """State and distance of a key."""
    split = re.fullmatch(r"(.*?) ?(\d[\d.]* m)?", at)
    return split[1], split[2] or ""


def _heading(at: str) -> str:
    state, far = _parts(at)
    state = state[:1].upper() + state[1:] if state else "State not stated"
    return f"{state}, {far} away" if far else f"{state}, distance not stated"


def _limits(found: Sequence[Finding]) -> tuple[float, float]:
    numbers = [n for f in found for n in _ends(f)]
    numbers += [float(f.conditions["background"]) for f in found if "background" in f.conditions]
    pad = max(0.06 * (max(numbers) - min(numbers)), 1.0)
    return min(numbers) - pad, max(numbers) + pad


def _laid_out(
    groups: Mapping[str, Sequence[Finding]], names: Mapping[str, str] | None
) -> tuple[Axes, list[tuple[float, Finding]]]:
    """Axes in millimetres from the top, headings and names beside them, and each row's height."""
    probe = new_figure(FULL_WIDTH, 10)
    texts = {f.cooler: wrapped(probe, words.named(names, f.cooler), 48)
             for group in groups.values() for f in group}
    left = 6 + max(text_width(probe, line) for lines_ in texts.values() for line in lines_)
    left = max(left, 3 + max(text_width(probe, _heading(at), 8) for at in groups))
    rows: list[tuple[float, Finding]] = []
    heads: list[tuple[float, str]] = []
    at_y = 0.0
    for at, group in groups.items():
        heads.append((at_y + HEAD / 2, _heading(at)))
        at_y += HEAD
        for finding in group:
            tall = max(PITCH, LINE * len(texts[finding.cooler]) + 1.6)
            rows.append((at_y + tall / 2, finding))
            at_y += tall
    figure = new_figure(FULL_WIDTH, at_y + 16)
    axes = place(figure, left, 3, FULL_WIDTH - left - 5, at_y)
    axes.set_ylim(at_y, 0)
    axes.set_yticks([y for y, _ in rows], ["\n".join(texts[f.cooler]) for _, f in rows],
                    fontsize=8, linespacing=1.05, va="center")
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    for y, text in heads:
        axes.annotate(text, (0, y), xycoords=axes.get_yaxis_transform(), xytext=(-4, 0),
                      textcoords="offset points", ha="right", va="center", fontsize=8, color=INK,
                      weight="bold")
        if y > HEAD:
            axes.axhline(y - HEAD / 2, color="#bdbdbd", linewidth=0.6)
    return axes, rows


def _data(groups: Mapping[str, Sequence[Finding]]) -> pd.DataFrame:
    return pd.DataFrame([
        {"at": f.at, "cooler": f.cooler, "value": f.value, "unit": f.unit, "low": f.low,
         "high": f.high, "background": f.conditions.get("background"), "basis": f.basis}
        for group in groups.values() for f in group
    ])


def _alt(groups: Mapping[str, Sequence[Finding]], names: Mapping[str, str] | None) -> str:
    parts = [f"Dot plot of sound levels [dB], a row a cooler; brackets give the {words.INTERVAL}."]
    for at, group in groups.items():
        told = "; ".join(
            f"{words.named(names, f.cooler)} {words.said(f)}"
            + (f", background {words.number(float(f.conditions['background']), 1)} dB"
               if "background" in f.conditions else "") for f in group)
        parts.append(f"{_heading(at)}: {told}.")
    return " ".join(parts)


def _caption(found: Sequence[Finding]) -> str:
    parts = [f"Sound pressure level, A-weighted, without the background where that lies 3 dB or "
             f"more below. Dots: values; bars: {words.INTERVAL}."]
    if any(f.value is None for f in found):
        parts.append("A bar without a dot: only bounds are known; an arrow: open at that end.")
    if any(f.value is not None and f.low is None and f.high is None for f in found):
        parts.append("Hollow dots: no interval is stated.")
    if any("background" in f.conditions for f in found):
        parts.append("Grey diamonds: the background at that reading.")
    return " ".join(parts) + " Not to be set beside the sound power of a label."


def sound_log(
    record: Record, findings: Iterable[Finding], *, style: Style | None = None, name: str = ""
) -> Drawn | None:
    """Level over time with the levels exceeded for 10, 50 and 90 % of it, and power below.

    Parameters
    ----------
    record : Record
        The run.
    findings : iterable of Finding
        Of that run: ``sound_level``.
    style : Style, optional
        Style of the cooler.
    name : str
        Name of the cooler; its id if empty.

    Returns
    -------
    Drawn or None
        None without a log of sound.
    """
    trace, power = record.trace("sound"), record.trace("power")
    if trace is None or trace.by_hand or len(trace.t) < 2:
        return None
    style = style or cooler_styles([record.cooler])[record.cooler]
    name = words.named({record.cooler: name}, record.cooler)
    found = [f for f in findings if f.finding == "sound_level" and record.run in f.runs]
    zero, minutes = trace.t[0], (trace.t[-1] - trace.t[0]) / 60
    shown = {"sound": lines.line(trace, zero, 60.0)}
    if power is not None and power.t[-1] > zero:
        shown["power"] = lines.line(power, zero, 60.0, start=0, end=minutes)
    backs = {float(f.conditions["background"]) for f in found if "background" in f.conditions}
    with house():
        figure, axes = panels([52, 22][:len(shown)], top=9)
        entries = _levels(found, backs)
        labels.make_room(axes[0], [entry.text for entry in entries])
        axes[-1].set_xlim(0, minutes)
        axes[-1].set_xlabel("Time since the first sample [min]")
        axes[-1].xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10]))
        _level_panel(axes[0], shown["sound"], trace, entries, style)
        if len(axes) > 1:
            draw_power(axes[1], shown["power"], power, zero, style)
        # Marks stand on an axis in hours; this one counts minutes.
        labels.mark_lines(axes, [replace(m, t=zero + (m.t - zero) * 60) for m in record.marks],
                          zero)
        figure.align_ylabels(axes)
    units = {"sound": trace.unit, "power": "W"}
    data = lines.frame([(p, {"cooler": record.cooler, "role": r, "unit": units[r]})
                        for r, p in shown.items()], "minutes since first sample")
    return Drawn(figure, data, _log_alt(trace, found, shown, name, minutes),
                 _log_caption(entries, backs), f"sound-{record.run}")


def _levels(found: Sequence[Finding], backs: Iterable[float]) -> list[labels.Entry]:
    """Levels exceeded, named by their state where there are several, and the background."""
    exceeded = [(m[1], f) for f in found if (m := EXCEEDED.search(f.at)) and f.value is not None]
    states = {EXCEEDED.sub("", f.at) for _, f in exceeded}
    entries = []
    for percent, finding in exceeded:
        state = _parts(EXCEEDED.sub("", finding.at))[0] if len(states) > 1 else ""
        text = f"{state} L{percent}".strip() + f" {words.number(finding.value, 1)} dB"
        entries.append(labels.Entry(text, finding.value, {
            "color": INK, "linestyle": LOUD[percent], "linewidth": 0.9}))
    for back in sorted(backs):
        text = f"background {words.number(back, 1)} dB"
        entries.append(labels.Entry(text, back, {"color": GREY, "linewidth": 1.1,
                                                 "linestyle": (0, (1, 1.2))}))
    return entries


def _level_panel(
    axes: Axes, points: pd.DataFrame, trace: Trace, entries: Sequence[labels.Entry], style: Style
) -> None:
    lines.draw(axes, points, color=style.colour, linewidth=0.6, alpha=0.75)
    numbers = [*points["y"].dropna(), *(entry.y for entry in entries)]
    pad = max(0.08 * (max(numbers) - min(numbers)), 1.0)
    axes.set_ylim(min(numbers) - pad, max(numbers) + pad)
    lines.value_axis(axes, "Sound level [dB]", 5)
    lines.hatch_gaps(axes, lines.gaps(trace, trace.t[0], 60.0))
    for entry in entries:
        axes.axhline(entry.y, zorder=2.2, **entry.look)
    labels.end_labels(axes, entries)


def _log_alt(
    trace: Trace, found: Sequence[Finding], shown: Mapping[str, object], name: str, minutes: float
) -> str:
    parts = [f"Line chart of {name}: sound level [dB] over {words.number(minutes, 1)} min"
             + (", power [W] below" if "power" in shown else "") + ".",
             f"Between {words.number(trace.y.min(), 1)} and {words.number(trace.y.max(), 1)} dB"
             f"{lines.gap_words(trace)}."]
    parts += [f"{_heading(f.at) if not EXCEEDED.search(f.at) else words.spoken(f.at)}: "
              f"{words.said(f)}." for f in found]
    return " ".join(parts) + (f" Brackets give the {words.INTERVAL}." if found else "")


def _log_caption(entries: Sequence[labels.Entry], backs: Iterable[float]) -> str:
    parts = ["A-weighted sound level as read, background included."]
    if len(entries) > len(set(backs)):
        parts.append("L10, L50 and L90: exceeded for 10, 50 and 90 % of the time.")
    return " ".join(parts) + " Hatched: gaps in the log. No interval is drawn."
