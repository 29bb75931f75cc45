"""Crossings of targets in print: where a curve passes, or between which bounds it does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.transforms import ScaledTranslation

from coldbench.figures import words
from coldbench.figures.look import MM, Style
from coldbench.findings import Finding
from coldbench.logs.record import Record


def target_of(finding: Finding, role: str) -> float | None:
    """Target out of a key such as ``air<=4 °C``; None for other keys and roles."""
    head, _, tail = finding.at.partition("<=")
    number = tail.removesuffix("°C").strip()
    try:
        return float(number) if head == role else None
    except ValueError:
        return None


def default_end(records: Iterable[Record], crossings: Sequence[Finding]) -> float:
    """Right end of the axis: 1.3 times the latest crossing, at least 6 h, at most the run. [h]"""
    last = max((r.end - r.zero) / 3600 for r in records)
    ends = [n for f in crossings if f.basis != "not reached"
            for n in (f.value, f.high) if n is not None]
    return min(last, max(6.0, 1.3 * max(ends))) if ends else last


def temperature_limits(
    axes: Axes, drawn: Iterable[pd.DataFrame], targets: Sequence[float]
) -> None:
    """Limits that hold all curves and the targets in their reach. [°C]"""
    values = np.concatenate([points["y"].dropna() for points in drawn])
    low, high = values.min(), values.max()
    # A target far below what any cooler reached would squeeze all curves into a corner.
    reach = [t for t in targets if low - 0.25 * (high - low) - 2 <= t <= high]
    low = min([low, *reach])
    pad = max(0.05 * (high - low), 0.5)
    axes.set_ylim(low - pad, high + pad)


def mark_crossings(
    axes: Axes, crossings: Iterable[Finding], role: str, style: Style,
    lane: Mapping[int, int] | None = None,
) -> None:
    """A ringed marker with its interval where a target is passed, or a bar between bounds."""
    for finding in crossings:
        target = target_of(finding, role)
        if finding.value is not None:
            if None not in (finding.low, finding.high):
                axes.plot([finding.low, finding.high], [target, target], color=style.colour,
                          linewidth=1.4, zorder=3.5, label="crossing interval")
            axes.plot([finding.value], [target], marker=style.marker, markersize=7,
                      color=style.colour, markerfacecolor="white", markeredgewidth=1.3,
                      linestyle="none", zorder=4, label="crossing")
        elif _has_bounds(finding):
            down = ScaledTranslation(0, -1.4 * MM * (lane or {}).get(id(finding), 0),
                                     axes.figure.dpi_scale_trans)
            axes.plot([finding.low, finding.high], [target, target], color=style.colour,
                      linewidth=2.0, marker="|", markersize=6, markeredgewidth=1.4, zorder=4,
                      transform=axes.transData + down, label="bounded crossing")


def _has_bounds(finding: Finding) -> bool:
    return finding.value is None and None not in (finding.low, finding.high)


def lanes(crossings: Iterable[Finding]) -> dict[int, int]:
    """How many steps down each bar between bounds is drawn, so that none covers another."""
    found: dict[int, int] = {}
    placed: list[tuple[str, int, Finding]] = []
    for finding in crossings:
        if not _has_bounds(finding):
            continue
        lane = 0
        while any(at == finding.at and used == lane and other.low <= finding.high
                  and finding.low <= other.high for at, used, other in placed):
            lane += 1
        placed.append((finding.at, lane, finding))
        found[id(finding)] = lane
    return found


def reached(finding: Finding) -> str:
    """When a target was passed, to go on a sentence."""
    text = words.said(finding)
    return text if finding.value is None else f"after {text}"
