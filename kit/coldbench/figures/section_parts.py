"""A section: where box and machine lie, looks, the machine in its wall, chains of lengths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes

from coldbench.compare.tape import SIDES
from coldbench.design.candidate import Candidates, Machine
from coldbench.design.wishes import Wishes
from coldbench.figures.fit_views import View
from coldbench.figures.look import COLOURS, GREY, INK, text_width

FOAM = {"facecolor": "#f1ead6", "edgecolor": INK, "hatch": "....", "linewidth": 1.1,
        "zorder": 2.5, "label": "foam"}
BAY = {"facecolor": "white", "edgecolor": GREY, "hatch": "//", "linewidth": 0.6, "zorder": 2,
       "label": "bay"}
SPACE = {"facecolor": "none", "edgecolor": INK, "linewidth": 1.0, "linestyle": (0, (5, 3)),
         "zorder": 5, "label": "space"}
COLD = {"facecolor": COLOURS[0], "edgecolor": "none", "label": "cold side"}
HOT = {"facecolor": COLOURS[1], "edgecolor": "none", "label": "hot side"}
BEHIND = {"facecolor": "none", "edgecolor": COLOURS[0], "linestyle": (0, (3, 2)),
          "linewidth": 0.9, "zorder": 4, "label": "cold side behind"}
PLATE, SINK = 0.05, 0.2  # of the inside, as drawn: how thick a plate, how deep a sink [-]
GAP = 0.03  # between a plate and its wall [-]


@dataclass(frozen=True)
class Section:
    """A design as it is drawn; all lengths of nature in mm, counted from left, back and below.

    Attributes
    ----------
    whole : tuple of float
        Outside with what the machine takes, along width, depth and height.
    start, stop : tuple of float
        Ends of the box along each.
    wall : float
    layers : int
    space : tuple of float or None
        Room that it may take.
    axis : int
        Along which the machine goes through the wall: width, depth or height.
    end : int
        1 where it sits at the far wall of that side, 0 at the near one.
    kind : {"thermoelectric", "compressor"}
    """

    whole: tuple[float, ...]
    start: tuple[float, ...]
    stop: tuple[float, ...]
    wall: float
    layers: int
    space: tuple[float, ...] | None
    axis: int
    end: int
    kind: str

    def inner(self, side: int) -> tuple[float, float]:
        """Ends of the inside along a side."""
        return self.start[side] + self.wall, self.stop[side] - self.wall

    def bay(self, side: int) -> tuple[float, float] | None:
        """Ends of what the machine takes along a side."""
        before, after = self.start[side], self.whole[side] - self.stop[side]
        if max(before, after) < 0.5:
            return None
        return (0.0, before) if before > after else (self.stop[side], self.whole[side])


def section_of(
    candidates: Candidates, index: int, machine: Machine, wishes: Wishes
) -> Section:
    """Where box and machine lie: a bay at the right, behind, or below; modules above.

    Parameters
    ----------
    candidates : Candidates
    index : int
        Which of them.
    machine : Machine
        Its own.
    wishes : Wishes

    Returns
    -------
    Section

    References
    ----------
    .. [1] This kit's own arrangement; a compressor stands below its box rather than on it.
    """
    c = candidates
    box = [1000 * float(getattr(c, f"outside_{side}")[index]) for side in SIDES]
    taken = [1000 * length for length in machine.room]
    axis = max(range(3), key=lambda side: taken[side]) if any(taken) else 1
    above = machine.kind == "thermoelectric"
    start = (0.0, taken[1], 0.0 if above else taken[2])
    return Section(
        whole=tuple(a + b for a, b in zip(box, taken, strict=True)), start=start,
        stop=tuple(a + b for a, b in zip(start, box, strict=True)),
        wall=1000 * float(c.wall[index]), layers=int(c.layers[index]),
        space=None if wishes.room is None else tuple(1000 * side for side in wishes.room),
        axis=axis, end=1 if axis == 0 or (axis == 2 and above) else 0, kind=machine.kind)


def machine_across(axes: Axes, view: View, section: Section) -> None:
    """A machine that goes through a wall of this view: cold side, wall, hot side."""
    i, j = view.across, view.up
    along, other = section.axis, j if section.axis == i else i
    low, high = section.inner(along)
    inner, depth = (high if section.end else low), high - low
    way = 1 if section.end else -1
    a, b = section.inner(other)
    middle, length = (a + b) / 2, b - a

    def block(start: float, stop: float, share: float, **look: object) -> None:
        """From the inner face outwards, so much of the other side, in its middle."""
        ends = {along: sorted((inner + way * start, inner + way * stop)),
                other: (middle - share * length / 2, middle + share * length / 2)}
        axes.add_patch(view.box((ends[i][0], ends[j][0]), (ends[i][1], ends[j][1]), **look))

    bay = section.bay(along)
    room = 0.0 if bay is None else bay[1] - bay[0]
    if section.kind == "compressor":
        block(-(GAP + PLATE) * depth, -GAP * depth, 0.8, zorder=4, **COLD)
        block(-GAP * depth, section.wall + 0.15 * room, 0.04, zorder=4, **HOT)
        return
    for share in (-0.4, -0.2, 0.0, 0.2, 0.4):  # fins, as the section shows them
        for start, stop, look in ((-SINK * depth, 0.0, COLD),
                                  (section.wall, section.wall + 0.7 * room, HOT)):
            ends = {along: sorted((inner + way * start, inner + way * stop)),
                    other: (middle + (share - 0.04) * length / 2,
                            middle + (share + 0.04) * length / 2)}
            axes.add_patch(view.box((ends[i][0], ends[j][0]), (ends[i][1], ends[j][1]), zorder=4,
                                    **look))
    block(-0.04 * depth, 0.35 * section.wall, 0.44, zorder=4, **COLD)
    block(0.35 * section.wall, section.wall + 0.12 * room, 0.44, zorder=4, **HOT)


def machine_behind(axes: Axes, view: View, section: Section) -> None:
    """The cold side on a wall that this view looks at: its outline."""
    share = 0.8 if section.kind == "compressor" else 0.45
    corners = []
    for side in (view.across, view.up):
        low, high = section.inner(side)
        middle, half = (low + high) / 2, share * (high - low) / 2
        corners.append((middle - half, middle + half))
    (x0, x1), (y0, y1) = corners
    axes.add_patch(view.box((x0, y0), (x1, y1), **BEHIND))


def chain(
    axes: Axes, view: View, ends: Sequence[float], off: float, flat: bool
) -> None:
    """Lengths between places in a row, below a view or at its left; small ones without a number.

    Parameters
    ----------
    ends : sequence of float
        Places along the side. [mm of nature]
    off : float
        How far from the view. [mm]
    flat : bool
        Below, across the page; else at the left, upright.
    """
    base = view.at(0, 0)
    for start, stop in zip(ends[:-1], ends[1:], strict=True):
        a, b = ((view.at(end, 0)[0] if flat else view.at(0, end)[1]) for end in (start, stop))
        place = base[1] - off if flat else base[0] - off
        points = ((a, place), (b, place)) if flat else ((place, a), (place, b))
        axes.annotate("", *points, zorder=6, arrowprops={
            "arrowstyle": "|-|,widthA=1.4,widthB=1.4", "color": INK, "linewidth": 0.5,
            "shrinkA": 0, "shrinkB": 0, "mutation_scale": 1})
        words = f"{stop - start:.0f}"
        if text_width(axes.figure, words) + 1.5 < abs(b - a):
            axes.text(*(((a + b) / 2, place) if flat else (place, (a + b) / 2)), words, fontsize=8,
                      rotation=0 if flat else 90, ha="center", va="center", color=INK, zorder=7,
                      bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6})
