"""Comparison dots: coolers sorted by value, each with its interval, small multiples by finding."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.markers import CARETLEFT, CARETRIGHT
from matplotlib.ticker import MaxNLocator
from matplotlib.transforms import ScaledTranslation

from coldbench.figures import words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import (
    FULL_WIDTH,
    GREY,
    MM,
    Style,
    cooler_styles,
    house,
    new_figure,
    place,
    text_width,
    wrapped,
)
from coldbench.findings import KINDS, Finding
from coldbench.quantities import us

FREE_UNITS = ("°C", "dB")  # scales on which zero is no absence: their axis need not start there
LINE = 3.3  # height of a line of a name [mm]

Key = tuple[str, str]


def dot_plot(
    findings: Iterable[Finding],
    keys: Sequence[Key],
    *,
    coolers: Sequence[str] | None = None,
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
    ties: Mapping[Key, Sequence[Collection[str]]] | None = None,
    name: str = "comparison",
) -> Drawn | None:
    """Dots with their 95 % interval, a panel a finding, a row a cooler.

    Parameters
    ----------
    findings : iterable of Finding
        One a cooler and key.
    keys : sequence of (finding, at)
        What is drawn; two columns from two keys on. Up to six fit a page with four coolers, up
        to four with eight.
    coolers : sequence of str, optional
        Coolers that have a row, whether measured or not; default those of ``styles`` or findings.
    styles, names : mapping
        Style and name of each cooler, by id.
    ties : mapping of key to groups of cooler ids, optional
        Coolers that cannot be told apart; a bracket joins them.
    name : str
        Stem of the file names.

    Returns
    -------
    Drawn or None
        None if no cooler has any of the keys.
    """
    by_key: dict[Key, dict[str, Finding]] = {tuple(key): {} for key in keys}
    for finding in findings:
        if finding.key in by_key:
            by_key[finding.key].setdefault(finding.cooler, finding)
    by_key = {key: rows for key, rows in by_key.items() if rows}
    if not by_key:
        return None
    seen = dict.fromkeys(c for rows in by_key.values() for c in rows)
    coolers = list(coolers or styles or seen)
    styles = styles or cooler_styles(coolers)
    sorted_rows = {key: _sorted(key, rows, coolers) for key, rows in by_key.items()}
    with house():
        figure, axes = _grid(len(by_key), coolers, names)
        for panel, (key, rows) in zip(axes, sorted_rows.items(), strict=True):
            _panel(panel, key, rows, styles, (ties or {}).get(key, ()))
            _row_names(panel, list(rows), names)
    return Drawn(figure, _data(sorted_rows), _alt(sorted_rows, names), _caption(sorted_rows, ties),
                 name)


def _sorted(
    key: Key, rows: Mapping[str, Finding], coolers: Sequence[str]
) -> dict[str, Finding | None]:
    """Best first where one way is better, else least first; those without a number last."""
    sign = -1 if KINDS[key[0]].better > 0 else 1

    def rank(cooler: str) -> tuple[bool, float]:
        finding = rows.get(cooler)
        known = [] if finding is None or finding.basis == "not reached" else [
            n for n in (finding.value, finding.low, finding.high) if n is not None]
        return (not known, sign * known[0] if known else 0.0)

    return {cooler: rows.get(cooler) for cooler in sorted(coolers, key=rank)}


def _grid(
    count: int, coolers: Sequence[str], names: Mapping[str, str] | None
) -> tuple[Figure, list[Axes]]:
    """Panels in two columns, or one at full width, with room for the names at the left."""
    columns = 1 if count == 1 else 2
    across = FULL_WIDTH / columns
    probe = new_figure(FULL_WIDTH, 10)
    limit = 52.0 if columns == 1 else 30.0
    texts = [wrapped(probe, words.named(names, c), limit) for c in coolers]
    left = 5 + max(text_width(probe, line) for lines in texts for line in lines)
    pitch = max(5.5, LINE * max(len(lines) for lines in texts) + 1.6)
    tall = pitch * len(coolers)
    cell = tall + 17
    rows = -(-count // columns)
    figure = new_figure(FULL_WIDTH, rows * cell)
    return figure, [
        place(figure, left + across * (n % columns), 7 + cell * (n // columns),
              across - left - 7, tall)
        for n in range(count)
    ]


def _row_names(axes: Axes, rows: Sequence[str], names: Mapping[str, str] | None) -> None:
    axes.set_ylim(len(rows) - 0.5, -0.5)
    limit = axes.get_position().x0 * FULL_WIDTH
    limit = (limit if limit < FULL_WIDTH / 2 else limit - FULL_WIDTH / 2) - 4
    axes.set_yticks(
        range(len(rows)),
        ["\n".join(wrapped(axes.figure, words.named(names, c), limit)) for c in rows],
        fontsize=8, linespacing=1.05, va="center",
    )
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)


def _panel(
    axes: Axes, key: Key, rows: Mapping[str, Finding | None], styles: Mapping[str, Style],
    ties: Sequence[Collection[str]],
) -> None:
    units = {f.unit for f in rows.values() if f is not None and f.unit}
    title = words.axis_title(key[0], next(iter(units), ""))
    title, tick = us.axis(title)
    title = f"{title}, {words.spoken(key[1])}" if key[1] else title
    box = axes.get_position()
    start = 0.5 if box.x0 > 0.5 else 0.0
    axes.figure.text(start + 4 / FULL_WIDTH, box.y1, title, va="bottom", ha="left",
                     transform=axes.figure.transFigure + ScaledTranslation(
                         0, 1.6 * MM, axes.figure.dpi_scale_trans))
    axes.grid(axis="x")
    low, high = _limits(rows.values(), key[0])
    axes.set_xlim(low, high)
    most = 5 if tick is None else 3  # a tick with two numbers is wide
    axes.xaxis.set_major_locator(MaxNLocator(most, steps=[1, 2, 5, 10], min_n_ticks=2))
    if tick is not None:
        axes.xaxis.set_major_formatter(tick)
    if low < 0 < high:
        axes.axvline(0, color=GREY, linewidth=0.7, zorder=0.9)
    for n, (cooler, finding) in enumerate(rows.items()):
        if not _numbers(finding):
            text = words.said(finding) if finding is not None else "not measured"
            axes.text(0.02, n, text, transform=axes.get_yaxis_transform(), fontsize=8,
                      style="italic", color="#555555", va="center", ha="left")
        else:
            dot_row(axes, n, finding, styles[cooler], (low, high))
    _brackets(axes, list(rows), ties)


def _numbers(finding: Finding | None) -> list[float]:
    if finding is None or finding.basis == "not reached":
        return []
    return [n for n in (finding.value, finding.low, finding.high) if n is not None]


def _limits(findings: Iterable[Finding | None], name: str) -> tuple[float, float]:
    numbers = [n for f in findings for n in _numbers(f)]
    if not numbers:
        return 0.0, 1.0
    low, high = min(numbers), max(numbers)
    from_zero = KINDS[name].unit not in FREE_UNITS
    if from_zero:
        low, high = min(low, 0.0), max(high, 0.0)
    pad = 0.08 * (high - low) or max(0.1 * abs(high), 0.5)
    return (low if from_zero and low == 0 else low - pad), high + pad


def dot_row(
    axes: Axes, n: int, finding: Finding, style: Style, limits: tuple[float, float]
) -> None:
    """Interval, with an arrow where an end is open, and a dot unless there are only bounds."""
    low, high = finding.low, finding.high
    look = {"color": style.colour, "linewidth": 1.6, "solid_capstyle": "butt", "zorder": 2}
    if low is not None or high is not None:
        ends = [limits[0] if low is None else low, limits[1] if high is None else high]
        axes.plot(ends, [n, n], **look, label="interval")
        for end, known, arrow in ((ends[0], low, CARETLEFT), (ends[1], high, CARETRIGHT)):
            axes.plot([end], [n], marker=arrow if known is None else "|", color=style.colour,
                      markersize=6 if known is None else 7, clip_on=False,
                      label="open end" if known is None else "end")
    if finding.value is not None:
        hollow = low is None and high is None
        axes.plot([finding.value], [n], marker=style.marker, color=style.colour, markersize=6,
                  markerfacecolor="white" if hollow else style.colour, zorder=3, label="dot",
                  linestyle="none", clip_on=False)


def _brackets(axes: Axes, rows: Sequence[str], ties: Sequence[Collection[str]]) -> None:
    """A bracket at the right for each group that cannot be told apart, side by side."""
    step = 2.0 / (axes.get_position().width * FULL_WIDTH)
    groups = [sorted(rows.index(c) for c in group if c in rows) for group in ties]
    for n, members in enumerate(group for group in groups if len(group) > 1):
        x = 1 + step * (n % 3 + 0.9)
        axes.plot([x, x], [members[0] - 0.25, members[-1] + 0.25], color=GREY, linewidth=1.2,
                  transform=axes.get_yaxis_transform(), clip_on=False, label="tie")
        for member in members:
            axes.plot([x - 0.6 * step, x], [member, member], color=GREY, linewidth=1.2,
                      transform=axes.get_yaxis_transform(), clip_on=False)


def _data(sorted_rows: Mapping[Key, Mapping[str, Finding | None]]) -> pd.DataFrame:
    return pd.DataFrame([
        {"finding": key[0], "at": key[1], "cooler": cooler,
         **{c: getattr(f, c, None) for c in ("value", "unit", "low", "high")},
         "basis": f.basis if f is not None else "not measured"}
        for key, rows in sorted_rows.items() for cooler, f in rows.items()
    ])


def _alt(
    sorted_rows: Mapping[Key, Mapping[str, Finding | None]], names: Mapping[str, str] | None
) -> str:
    parts = [f"Dot plot, {len(sorted_rows)} panel{'s' if len(sorted_rows) > 1 else ''}, a row a "
             f"cooler; brackets give the {words.INTERVAL}."]
    for key, rows in sorted_rows.items():
        told = "; ".join(
            f"{words.named(names, c)} {words.said(f) if f is not None else 'not measured'}"
            for c, f in rows.items())
        at = f", {words.spoken(key[1])}" if key[1] else ""
        parts.append(f"{KINDS[key[0]].title}{at}: {told}.")
    return " ".join(parts)


def _caption(
    sorted_rows: Mapping[Key, Mapping[str, Finding | None]],
    ties: Mapping[Key, Sequence[Collection[str]]] | None,
) -> str:
    found = [f for rows in sorted_rows.values() for f in rows.values() if f is not None]
    parts = [f"Dots: values; bars: {words.INTERVAL}. Each panel is sorted by its own finding."]
    if any(f.value is None and _numbers(f) for f in found):
        parts.append("A bar without a dot: only bounds are known; an arrow: open at that end.")
    if any(f.value is not None and f.low is None and f.high is None for f in found):
        parts.append("Hollow dots: no interval is stated.")
    if any(group for groups in (ties or {}).values() for group in groups):
        parts.append("Bracketed coolers cannot be told apart.")
    return " ".join(parts)
