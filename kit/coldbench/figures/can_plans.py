"""Cans in each cooler, seen from above, all coolers to one scale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import Circle, Rectangle

from coldbench.compare.filling import Floor, Packed
from coldbench.figures import words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import (
    FULL_WIDTH,
    GREY,
    INK,
    Style,
    cooler_styles,
    house,
    new_figure,
    wrapped,
)

MARGIN, BETWEEN = 4.0, 7.0  # round the figure, and between two coolers [mm]
WIDEST, DEEPEST = 74.0, 62.0  # largest plan on the page [mm]
NARROWEST = 34.0  # least width for the words below a plan [mm]
A_ROW = 4  # coolers beside each other
SMALLER = 0.98  # step by which the scale shrinks until a row fits
PITCH = 3.8  # of lines of text [mm]


def can_plans(
    packs: Sequence[Packed], *, styles: Mapping[str, Style] | None = None,
    names: Mapping[str, str] | None = None,
) -> Drawn | None:
    """Floor of each cooler with the cans of one layer, its count below.

    Parameters
    ----------
    packs : sequence of Packed
        In the order of the campaign.
    styles, names : mapping, optional
        Style and name of each cooler, by id.

    Returns
    -------
    Drawn or None
        None if no cooler's inside is known.
    """
    if not packs:
        return None
    styles = styles or cooler_styles([pack.cooler for pack in packs])
    widest = sorted((pack.inside[0] for pack in packs), reverse=True)[:A_ROW]
    room = FULL_WIDTH - 2 * MARGIN
    scale = min(WIDEST / widest[0], DEEPEST / max(pack.inside[1] for pack in packs))
    while sum(max(scale * wide, NARROWEST) + BETWEEN for wide in widest) > room + BETWEEN:
        scale *= SMALLER
    cells = [max(scale * pack.inside[0], NARROWEST) for pack in packs]
    with house():
        figure = new_figure(FULL_WIDTH, 50)
        texts = [[line for part in (words.named(names, pack.cooler), _count(pack), pack.words)
                  for line in wrapped(figure, part, cell)]
                 for pack, cell in zip(packs, cells, strict=True)]
        rows = _rows(cells, room)
        plans = [max(scale * packs[n].inside[1] for n in row) for row in rows]
        tall = [plan + 4 + PITCH * max(len(texts[n]) for n in row)
                for plan, row in zip(plans, rows, strict=True)]
        height = sum(tall) + BETWEEN * (len(rows) - 1) + 2 * MARGIN
        figure = new_figure(FULL_WIDTH, height)
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set_xlim(0, FULL_WIDTH)
        axes.set_ylim(0, height)
        axes.set_axis_off()
        top = height - MARGIN
        for row, plan, deep in zip(rows, plans, tall, strict=True):
            left = MARGIN
            for n in row:
                _plan(axes, packs[n], styles[packs[n].cooler], left, top - plan, scale)
                for m, line in enumerate(texts[n]):
                    axes.text(left, top - plan - 3 - PITCH * m, line, fontsize=8, va="top",
                              color=INK)
                left += cells[n] + BETWEEN
            top -= deep + BETWEEN
    told = "; ".join(f"{words.named(names, pack.cooler)}: {_count(pack)}, {pack.words}"
                     for pack in packs)
    can = f"{packs[0].across:g} mm across and {packs[0].high:g} mm high"
    return Drawn(
        figure, _data(packs), f"Plans of the coolers' insides with cans, to one scale. {told}.",
        f"Cans of {can} that stand upright inside, one layer seen from above; all coolers to one "
        "scale. A count is what can be placed in rows, by the sizes as taped; rounded corners, "
        "baskets and a plate may take some.", "cans",
    )


def _rows(cells: Sequence[float], room: float) -> list[list[int]]:
    """Which plans stand beside each other."""
    rows: list[list[int]] = [[]]
    left = room
    for n, cell in enumerate(cells):
        if rows[-1] and (cell > left or len(rows[-1]) == A_ROW):
            rows.append([])
            left = room
        rows[-1].append(n)
        left -= cell + BETWEEN
    return rows


def _plan(
    axes: Axes, pack: Packed, style: Style, left: float, base: float, scale: float
) -> None:
    width, depth, _ = pack.inside
    axes.add_patch(Rectangle((left, base), scale * width, scale * depth, fill=False,
                             edgecolor=style.colour, linewidth=1.8, zorder=3, label="inside"))
    if pack.step is not None:
        across, along, _ = pack.step
        axes.add_patch(Rectangle((left, base), scale * across, scale * along, facecolor="white",
                                 edgecolor=GREY, hatch="////", linewidth=0.8, zorder=1,
                                 label="step"))
    for floor in pack.floors:
        if floor.layers:
            for x, y in _places(pack, floor):
                axes.add_patch(Circle(
                    (left + scale * x, base + scale * y), scale * pack.across / 2, zorder=2,
                    facecolor="white" if floor.above else "#e6e6e6", edgecolor=INK,
                    linewidth=0.7, label="can"))


def _places(pack: Packed, floor: Floor) -> list[tuple[float, float]]:
    """Middles of a layer's cans from the inside's corner. [mm]"""
    return [(floor.left + x, floor.back + y) for x, y in floor.rows.middles(pack.across)]


def _count(pack: Packed) -> str:
    return f"{pack.count} can{'' if pack.count == 1 else 's'}"


def _data(packs: Sequence[Packed]) -> pd.DataFrame:
    return pd.DataFrame(
        [{"cooler": pack.cooler, "x": x, "y": y, "above": floor.above, "layers": floor.layers,
          "unit": "mm"}
         for pack in packs for floor in pack.floors if floor.layers
         for x, y in _places(pack, floor)],
        columns=["cooler", "x", "y", "above", "layers", "unit"],
    )
