"""A design cut open, to scale: front section and plan with walls, lid, machine and its room."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from coldbench.compare.tape import SIDES
from coldbench.design.candidate import Candidates, Machine
from coldbench.design.wishes import Board, Wishes
from coldbench.figures.drawn import Drawn
from coldbench.figures.fit_views import View
from coldbench.figures.look import FULL_WIDTH, INK, house, new_figure, wrapped
from coldbench.figures.section_parts import (
    BAY,
    BEHIND,
    COLD,
    FOAM,
    HOT,
    SPACE,
    Section,
    chain,
    machine_across,
    machine_behind,
    section_of,
)
from coldbench.quantities import number

LEFT, RIGHT, BETWEEN = 22.0, 6.0, 10.0  # room beside the views [mm]
TITLE, UNDER = 9.0, 18.0  # above a view, and below the front section [mm]
NOTES = 56.0  # least width of the words [mm]
TALL = 120.0  # most that both views take together [mm]
LARGEST = 0.25  # of nature
PITCH = 4.0  # of lines of text [mm]
KEY = 8.0  # a piece of hatch in the key [mm]


def section_drawing(
    candidates: Candidates, index: int, machines: Sequence[Machine], boards: Sequence[Board],
    wishes: Wishes, *, name: str = "design",
) -> Drawn:
    """Front section and plan of a design, both to one scale.

    Parameters
    ----------
    candidates : Candidates
    index : int
        Which of them.
    machines, boards : sequence
        As given to the search.
    wishes : Wishes
    name : str
        What the design is called, such as a pick's label.

    Returns
    -------
    Drawn
    """
    machine = machines[candidates.machine[index]]
    section = section_of(candidates, index, machine, wishes)
    reach = [max(lengths) for lengths in zip(section.whole, section.space or section.whole,
                                             strict=True)]
    scale = min((FULL_WIDTH - LEFT - BETWEEN - NOTES - RIGHT) / reach[0],
                TALL / (reach[1] + reach[2]), LARGEST)
    across, deep, tall = (scale * length for length in reach)
    notes = _notes(candidates, index, section, machine, boards[candidates.board[index]])
    with house():
        beside = LEFT + across + BETWEEN
        height = TITLE + tall + UNDER + TITLE + deep + 6
        figure = new_figure(FULL_WIDTH, height)
        height = max(height, _words_tall(figure, notes, FULL_WIDTH - RIGHT - beside) + 6)
        figure = new_figure(FULL_WIDTH, height)
        axes = _page(figure, height)
        floor = height - TITLE - tall
        front = View(0, 2, LEFT, floor, scale)
        plan = View(0, 1, LEFT, floor - UNDER - TITLE, scale, down=True)
        for title, view, top in (("Front, cut", front, floor + tall),
                                 ("Plan, cut", plan, plan.base)):
            axes.text(LEFT, top + 3, title, fontsize=9, fontweight="bold", color=INK)
            _view(axes, view, section)
        _measures(axes, front, plan, section, reach)
        _write(axes, figure, beside, height - 3, notes, section)
    return Drawn(figure, _data(section), _alt(name, section, notes), _caption(name, section),
                 f"section-{name}")


def _page(figure: Figure, height: float) -> Axes:
    """Axes in millimetres of the page."""
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, FULL_WIDTH)
    axes.set_ylim(0, height)
    axes.set_axis_off()
    return axes


def _view(axes: Axes, view: View, section: Section) -> None:
    i, j = view.across, view.up
    if section.space is not None:
        axes.add_patch(view.box((0, 0), (section.space[i], section.space[j]), **SPACE))
    for side, other in ((i, j), (j, i)):
        bay = section.bay(side)
        if bay is not None:
            ends = {side: bay, other: (0.0, section.whole[other])}
            axes.add_patch(view.box((ends[i][0], ends[j][0]), (ends[i][1], ends[j][1]), **BAY))
    start, stop = ((ends[i], ends[j]) for ends in (section.start, section.stop))
    axes.add_patch(view.box(start, stop, **FOAM))
    inner = [section.inner(side) for side in (i, j)]
    axes.add_patch(view.box(*zip(*inner, strict=True), facecolor="white", edgecolor=INK,
                            linewidth=0.9, zorder=3, label="inside"))
    _layers(axes, view, section)
    if j == 2:
        _lid(axes, view, section)
    if section.axis in (i, j):
        machine_across(axes, view, section)
    else:
        machine_behind(axes, view, section)


def _layers(axes: Axes, view: View, section: Section) -> None:
    """Joints between boards: around the body, and across the lid that lies on it."""
    i, j = view.across, view.up
    (x0, y0), (x1, y1) = ((ends[i], ends[j]) for ends in (section.start, section.stop))
    for layer in range(1, section.layers):
        deep = section.wall * layer / section.layers
        level = section.inner(2)[1] if j == 2 else y1 - deep
        around = [(x0 + deep, level), (x0 + deep, y0 + deep), (x1 - deep, y0 + deep),
                  (x1 - deep, level)]
        lid = [(x0, y1 - deep), (x1, y1 - deep)] if j == 2 else [around[-1], around[0]]
        for points in (around, lid):
            xs, ys = zip(*(view.at(*point) for point in points), strict=True)
            axes.plot(xs, ys, color=INK, linewidth=0.4, zorder=2.8, label="layer")


def _lid(axes: Axes, view: View, section: Section) -> None:
    """Joint of the lid, with its seal in the middle of the walls."""
    level = section.inner(2)[1]
    xs, ys = zip(*(view.at(end, level) for end in (section.start[0], section.stop[0])), strict=True)
    axes.plot(xs, ys, color=INK, linewidth=1.4, zorder=3.5, label="joint of the lid")
    for middle in (section.start[0] + section.wall / 2, section.stop[0] - section.wall / 2):
        x, y = view.at(middle, level)
        axes.add_patch(Rectangle((x - 0.8, y - 0.7), 1.6, 1.4, facecolor=INK, edgecolor="none",
                                 zorder=4, label="seal"))


def _measures(
    axes: Axes, front: View, plan: View, section: Section, reach: Sequence[float]
) -> None:
    """Chains of lengths: walls and inside, the whole, the space; below and at the left."""
    for side, view, flat in ((0, front, True), (2, front, False), (1, plan, False)):
        inner = section.inner(side)
        ends = sorted({0.0, section.start[side], *inner, section.stop[side], section.whole[side]})
        rows = [[end for n, end in enumerate(ends) if n == 0 or end - ends[n - 1] > 0.5],
                [0.0, section.whole[side]]]
        if section.space is not None and section.space[side] - section.whole[side] > 0.5:
            rows.append([0.0, section.space[side]])
        for n, row in enumerate(rows):
            chain(axes, view, row, 3.0 + 5.0 * n, flat)


def _notes(
    c: Candidates, index: int, section: Section, machine: Machine, board: Board
) -> list[str]:
    """What the drawing shows, a line each."""
    box = [b - a for a, b in zip(section.start, section.stop, strict=True)]
    inside = [b - a for a, b in (section.inner(side) for side in range(3))]
    boards = (f"one board of {board.material}" if section.layers == 1 else
              f"{section.layers} boards of {board.material}, {1000 * board.thickness:.0f} mm each")
    said = [
        f"Box, outside: {_sizes(box)}.", f"Inside: {_sizes(inside)}, "
        f"{number(float(c.litres[index]), 1)} L usable.",
        f"Walls: {section.wall:.0f} mm, {boards}.", f"Machine: {machine.label}.",
    ]
    taken = [f"{1000 * length:.0f} mm of {side}"
             for side, length in zip(SIDES, machine.room, strict=True) if length > 0]
    if taken:
        said.append(f"With {_outer(section.kind)}, {' and '.join(taken)}: {_sizes(section.whole)}.")
    else:
        said.append(f"{_outer(section.kind).capitalize()}: its size is not stated and not drawn.")
    if section.space is not None:
        said.append(f"Room it may take: {_sizes(section.space)}.")
    return said


def _outer(kind: str) -> str:
    return "compressor bay" if kind == "compressor" else "hot side"


def _sizes(lengths: Sequence[float]) -> str:
    return f"{' × '.join(f'{length:.0f}' for length in lengths)} mm"


def _words_tall(figure: Figure, notes: Sequence[str], room: float) -> float:
    lines = sum(len(wrapped(figure, _kept(note), room, 9)) for note in notes)
    return PITCH * lines + 1.5 * len(notes) + 7 * (PITCH + 1)


def _kept(note: str) -> str:
    """A number stays with its unit, and sizes in one line."""
    return note.replace(" mm", "\u00a0mm").replace(" × ", "\u00a0×\u00a0").replace(
        " L ", "\u00a0L ")


def _write(
    axes: Axes, figure: Figure, left: float, y: float, notes: Sequence[str], section: Section
) -> None:
    for note in notes:
        for line in wrapped(figure, _kept(note), FULL_WIDTH - RIGHT - left, 9):
            axes.text(left, y, line, fontsize=9, va="top", color=INK)
            y -= PITCH
        y -= 1.5
    y -= 3
    compressor = section.kind == "compressor"
    key = [(FOAM, "foam, with its boards"), (COLD, "cold plate" if compressor else "cold sink"),
           (HOT, "lines through the wall" if compressor else "modules and hot sink")]
    if section.axis != 0:
        key.append((BEHIND, f"{key[1][1]}, behind the cut"))
    if any(section.bay(side) for side in range(3)):
        key.append((BAY, _outer(section.kind)))
    if section.space is not None:
        key.append((SPACE, "room it may take"))
    for look, text in key:
        look = {name: value for name, value in look.items() if name not in ("label", "zorder")}
        axes.add_patch(Rectangle((left, y - 3.2), KEY, 3.2, label="key", **look))
        axes.text(left + KEY + 2, y - 1.6, text, fontsize=8, va="center", color=INK)
        y -= PITCH + 1


def _data(section: Section) -> pd.DataFrame:
    return pd.DataFrame([
        {"side": side, "inside": section.inner(n)[1] - section.inner(n)[0], "wall": section.wall,
         "box": section.stop[n] - section.start[n],
         "machine": section.whole[n] - section.stop[n] + section.start[n],
         "whole": section.whole[n], "room": None if section.space is None else section.space[n],
         "unit": "mm"} for n, side in enumerate(SIDES)])


def _where(section: Section) -> str:
    word = {(0, 1): "at the right", (1, 0): "at the back", (2, 0): "at the bottom",
            (2, 1): "in the lid"}[section.axis, section.end]
    return f"The machine goes through the wall {word}."


def _alt(name: str, section: Section, notes: Sequence[str]) -> str:
    return (f"Drawing to scale of the design \u201c{name}\u201d, cut open, from the front and from "
            f"above. {' '.join(notes)} {_where(section)}")


def _caption(name: str, section: Section) -> str:
    parts = ("plate and lines" if section.kind == "compressor" else "sinks and modules")
    return (f"The {name} design, both views to one scale, lengths in mm. {_where(section)} "
            f"Walls, inside and room are to scale; {parts} show only where they go: their sizes "
            "are the machine's own.")
