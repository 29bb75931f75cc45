"""Size against energy: usable litres across, daily energy up, every cooler named."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.markers import CARETDOWN, CARETLEFT, CARETRIGHT, CARETUP
from matplotlib.text import Annotation
from matplotlib.ticker import MaxNLocator
from matplotlib.transforms import Bbox

from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import FULL_WIDTH, INK, Style, cooler_styles, house, panels, wrapped
from coldbench.findings import Finding, find

# Sides of its point on which a name may stand, best first.
SIDES = ((1, 1), (1, 0), (1, -1), (-1, 1), (-1, 0), (-1, -1), (0, 1), (0, -1))


def size_against_energy(
    findings: Iterable[Finding],
    *,
    energy: tuple[str, str] = ("daily_energy", "dc"),
    size: str = "usable_volume",
    coolers: Sequence[str] | None = None,
    styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
) -> Drawn | None:
    """Litres against daily energy, with both intervals; coolers without either are listed below.

    Parameters
    ----------
    findings : iterable of Finding
        One a cooler and key.
    energy : (finding, at)
        Energy that is drawn.
    size : str
        Finding drawn across, ``usable_volume`` or ``inside_volume``.
    coolers : sequence of str, optional
        Coolers that must appear; default those of ``styles`` or findings.
    styles, names : mapping
        Style and name of each cooler, by id.

    Returns
    -------
    Drawn or None
        None if no cooler has both.
    """
    findings = list(findings)
    litres = {f.cooler: f for f in reversed(find(findings, finding=size))}
    daily = {f.cooler: f for f in reversed(find(findings, finding=energy[0], at=energy[1]))}
    seen = dict.fromkeys(f.cooler for f in findings if f.cooler in litres.keys() | daily.keys())
    coolers = list(coolers or styles or seen)
    styles = styles or cooler_styles(coolers)
    both = [c for c in coolers if _known(litres.get(c)) and _known(daily.get(c))]
    if not both:
        return None
    absent = [_absence(c, litres.get(c), daily.get(c), names) for c in coolers if c not in both]
    note = f"Not in the figure: {'; '.join(absent)}." if absent else ""
    with house():
        below = wrapped(panels([10])[0], note, FULL_WIDTH - 20)
        figure, (axes,) = panels([82], left=18, bottom=13 + (4 + 3.6 * len(below) if note else 0))
        across = 1.1 * _limit([n for c in both for n in _numbers(litres[c])])
        up = _limit([n for c in both for n in _numbers(daily[c])])
        axes.set_xlim(0, across)
        axes.set_ylim(0, up)
        lines.across_axis(axes, words.axis_title(size))
        lines.value_axis(axes, words.axis_title(energy[0]))
        axes.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10]))
        for cooler in both:
            _point(axes, litres[cooler], daily[cooler], styles[cooler], across, up)
        _names(axes, [(words.named(names, c), litres[c], daily[c], styles[c]) for c in both])
        if note:
            figure.text(18 / FULL_WIDTH, 2 / (figure.get_size_inches()[1] * 25.4), "\n".join(below),
                        fontsize=8, color=INK, va="bottom", linespacing=1.2)
    data = pd.DataFrame([
        {"cooler": c, "finding": f.finding, "at": f.at, "value": f.value, "unit": f.unit,
         "low": f.low, "high": f.high, "basis": f.basis}
        for c in coolers for f in (litres.get(c), daily.get(c)) if f is not None
    ])
    told = "; ".join(f"{words.named(names, c)}: {words.said(litres[c])}, {words.said(daily[c])}"
                     for c in both)
    title = f"{words.axis_title(energy[0])}{f', {words.spoken(energy[1])}' if energy[1] else ''}"
    alt = (f"Scatter plot of {title}, upwards, against {words.axis_title(size)}, across; both "
           f"axes start at zero. {told}. Brackets give the {words.INTERVAL}. {note}").strip()
    caption = (f"{words.axis_title(size)} against {title}; bars: {words.INTERVAL} both ways. "
               "Right and low is more room for less energy. A bar without a dot: only bounds are "
               "known; an arrow: open at that end.")
    return Drawn(figure, data, alt, caption, "size-against-energy")


def _numbers(finding: Finding) -> list[float]:
    return [n for n in (finding.value, finding.low, finding.high) if n is not None]


def _known(finding: Finding | None) -> bool:
    return finding is not None and finding.basis != "not reached" and bool(_numbers(finding))


def _absence(
    cooler: str, litres: Finding | None, daily: Finding | None, names: Mapping[str, str] | None
) -> str:
    name = words.named(names, cooler)
    if not _known(daily):
        return f"{name} (energy {words.said(daily) if daily is not None else 'not measured'})"
    return f"{name} (size {words.said(litres) if litres is not None else 'not measured'})"


def _limit(numbers: Sequence[float]) -> float:
    return 1.12 * max(numbers) or 1.0


def _middle(finding: Finding) -> float:
    if finding.value is not None:
        return finding.value
    return float(np.mean(_numbers(finding)))


def _point(
    axes: Axes, litres: Finding, daily: Finding, style: Style, across: float, up: float
) -> None:
    x, y = _middle(litres), _middle(daily)
    look = {"color": style.colour, "linewidth": 1.4, "zorder": 2, "label": "interval"}
    for finding, limit, flat, arrows in (
        (litres, across, True, (CARETLEFT, CARETRIGHT)), (daily, up, False, (CARETDOWN, CARETUP)),
    ):
        if finding.low is None and finding.high is None:
            continue
        ends = [0.0 if finding.low is None else finding.low,
                limit if finding.high is None else finding.high]
        axes.plot(*((ends, [y, y]) if flat else ([x, x], ends)), **look)
        for end, known, arrow in zip(ends, (finding.low, finding.high), arrows, strict=True):
            cap = "|" if flat else "_"
            axes.plot(*(([end], [y]) if flat else ([x], [end])), clip_on=False, markersize=6,
                      marker=arrow if known is None else cap, color=style.colour)
    if litres.value is not None and daily.value is not None:
        axes.plot([x], [y], marker=style.marker, color=style.colour, markersize=7, zorder=3,
                  linestyle="none", label="dot")


def _names(axes: Axes, points: Sequence[tuple[str, Finding, Finding, Style]]) -> None:
    """Each name beside its point; if some collide, letters there and the names in the margin."""
    if _beside(axes, points):
        return
    lettered = [(chr(97 + n % 26) * (1 + n // 26), *point[1:]) for n, point in enumerate(points)]
    texts = [f"{letter[0]}  {point[0]}" for letter, point in zip(lettered, points, strict=True)]
    labels.make_room(axes, texts)
    labels.end_labels(axes, [
        labels.Entry(text, _middle(daily), {"color": style.colour, "marker": style.marker})
        for text, (_, _, daily, style) in zip(texts, points, strict=True)
    ])
    _beside(axes, lettered, whatever=True)


def _beside(
    axes: Axes, points: Sequence[tuple[str, Finding, Finding, Style]], whatever: bool = False
) -> bool:
    """Put texts beside points or the ends of their bars; take all away if one collides."""
    renderer = axes.figure.canvas.get_renderer()
    room = axes.get_window_extent(renderer)
    taken = [line.get_window_extent(renderer).padded(2) for line in axes.lines]
    placed = []
    for text, litres, daily, _ in points:
        name = "\n".join(wrapped(axes.figure, text, 40))
        label = axes.annotate(name, (0, 0), xytext=(0, 0), textcoords="offset points",
                              fontsize=8, color=INK, linespacing=1.05, annotation_clip=False)
        placed.append(label)
        boxes = []
        for side in SIDES:
            _put(label, litres, daily, side)
            box = label.get_window_extent(renderer)
            boxes.append((covered(box, taken, room), len(boxes), box))
        hidden, best, box = min(boxes, key=lambda found: found[:2])
        if hidden > 0 and not whatever:
            for one in placed:
                one.remove()
            return False
        _put(label, litres, daily, SIDES[best])
        taken.append(box.padded(1))
    return True


def _put(label: Annotation, litres: Finding, daily: Finding, side: tuple[int, int]) -> None:
    """Place a label at a side; straight right, left, up and down it clears the bars."""
    across, up = side
    x, y = _middle(litres), _middle(daily)
    if up == 0:
        x = (litres.high or x) if across > 0 else (litres.low or x)
    if across == 0:
        y = (daily.high or y) if up > 0 else (daily.low or y)
    label.xy = (x, y)
    label.set_position((5 * across, 5 * up))
    label.set_ha({1: "left", 0: "center", -1: "right"}[across])
    label.set_va({1: "bottom", 0: "center", -1: "top"}[up])


def covered(box: Bbox, taken: Sequence[Bbox], room: Bbox) -> float:
    """Area of a label that lies on something else or outside the panel. [px²]"""
    shared = sum(inter.width * inter.height for other in taken
                 if (inter := Bbox.intersection(box, other)) is not None)
    inside = Bbox.intersection(box, room)
    return shared + box.width * box.height - (inside.width * inside.height if inside else 0.0)
