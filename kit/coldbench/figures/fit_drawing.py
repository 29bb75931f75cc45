"""A cooler in its space, to scale in three views: air around it, its open lid, what is left."""

from __future__ import annotations

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from coldbench.compare.space import Fit, margin_words
from coldbench.compare.tape import SIDES
from coldbench.figures.drawn import Drawn
from coldbench.figures.fit_views import (
    AIR,
    BOX,
    FREE,
    MOVES,
    MOVES_SHORT,
    SHORT,
    View,
    draw_view,
    ends_of,
    lid_sides,
    reach_of,
)
from coldbench.figures.look import FULL_WIDTH, GREY, INK, Style, house, new_figure, wrapped

LEFT, BETWEEN, RIGHT = 14.0, 16.0, 6.0  # room beside the views [mm]
TITLE, UNDER = 7.0, 13.0  # room above and below a view [mm]
NOTES = 62.0  # least width of the words beside the plan [mm]
TALL = 78.0  # most that front view and plan take together [mm]
LARGEST = 0.25  # of nature
LEGIBLE = 23.0  # a box smaller than this is not dimensioned in the drawing [mm]
WORDS = (26.0, 36.0)  # height of the words beside the front view, and beside the plan [mm]
SHALLOW = 8.0  # a plan that is no deeper has no words at its corners [mm]
PITCH = 4.0  # of lines of text [mm]
OPENS = {"top": "Lid", "front": "Door", "drawer": "Drawer"}


def fit_drawing(
    shut: Fit | None, opened: Fit | None = None, *, style: Style | None = None, name: str = "",
) -> Drawn | None:
    """Front, side and plan of a cooler in its space, all to one scale.

    Parameters
    ----------
    shut, opened : Fit or None
        How it stands with the lid shut, and open.
    style : Style, optional
        How the cooler is drawn.
    name : str, optional
        What it is called.

    Returns
    -------
    Drawn or None
        None without a space or sizes. Where it fits open it is drawn as it then stands.
    """
    if shut is None:
        return None
    name = name or shut.cooler
    fit = opened if opened is not None and opened.fits else shut
    # Air alone is hatched; the lid's room is drawn by itself.
    fit = shut if fit.pose == shut.pose else fit
    reach = reach_of(fit)
    scale = min((FULL_WIDTH - LEFT - BETWEEN - RIGHT) / (reach[0] + reach[1]),
                (FULL_WIDTH - LEFT - BETWEEN - NOTES) / reach[0],
                TALL / (reach[1] + reach[2]), LARGEST)
    across, deep, tall = (scale * length for length in reach)
    tall, beside = max(tall, WORDS[0]), max(deep, WORDS[1])
    height = TITLE + tall + UNDER + TITLE + beside + UNDER / 2
    side = LEFT + across + BETWEEN
    with house():
        figure = new_figure(FULL_WIDTH, height)
        axes = _page(figure, height)
        floor = height - TITLE - tall
        plan_top = floor - UNDER - TITLE
        views = {"Front": View(0, 2, LEFT, floor, scale), "Side": View(1, 2, side, floor, scale),
                 "Plan": View(0, 1, LEFT, plan_top, scale, down=True)}
        for title, view in views.items():
            above = plan_top if view.down else floor + scale * reach[2]
            axes.text(view.left, above + 2, title, fontsize=9, fontweight="bold", color=INK)
            draw_view(axes, view, fit, style.colour if style else INK)
        _measures(axes, views, fit)
        _notes(axes, figure, side, plan_top, fit, _verdicts(shut, opened))
    return Drawn(figure, _data(shut, opened), _alt(name, shut, opened),
                 _caption(name, fit), f"fit-{shut.cooler}")


def _page(figure: Figure, height: float) -> Axes:
    """Axes in millimetres of the page."""
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, FULL_WIDTH)
    axes.set_ylim(0, height)
    axes.set_axis_off()
    return axes


def _measures(axes: Axes, views: dict[str, View], fit: Fit) -> None:
    """Lengths in mm and what is left, beside the views."""
    for title, side in (("Front", 0), ("Side", 1)):
        view = views[title]
        (x0, y), (x1, _) = view.at(0, 0), view.at(fit.space[side], 0)
        _arrow(axes, (x0, y - 3), (x1, y - 3))
        for n, (words, weight) in enumerate(_left(fit, side)):
            axes.text((x0 + x1) / 2, y - 4.2 - n * PITCH, words, fontsize=8, va="top",
                      ha="center", color=INK, fontweight=weight)
    front = views["Front"]
    (x, y0), (_, y1) = front.at(0, 0), front.at(0, fit.space[2])
    _arrow(axes, (x - 3, y0), (x - 3, y1))
    for n, (words, weight) in enumerate(reversed(_left(fit, 2))):
        axes.text(x - 4.2 - n * PITCH, (y0 + y1) / 2, words, fontsize=8, rotation=90, va="center",
                  ha="right", color=INK, fontweight=weight)
    for view in views.values():
        _dimensions(axes, view, fit)
        if view.down and view.scale * fit.space[1] > SHALLOW:
            right, _ = view.at(fit.space[0], 0)
            for depth, word, align in ((0, "back", "top"), (fit.space[1], "front", "bottom")):
                axes.text(right + 1.5, view.at(0, depth)[1], word, fontsize=7, color=GREY,
                          va=align, ha="left")


def _left(fit: Fit, side: int) -> list[tuple[str, str]]:
    """Length of the space along a side, and what is left of it, with the weight of the type."""
    margin = fit.margins[side]
    said = margin_words(margin) if round(margin) >= 0 else f"misses by {-margin:.0f} mm"
    return [(f"{SIDES[side]} {fit.space[side]:.0f} mm", "normal"),
            (said, "normal" if round(margin) >= 0 else "bold")]


def _dimensions(axes: Axes, view: View, fit: Fit) -> None:
    """Two lengths of the box inside it, where there is room for them."""
    (x0, x1), (y0, y1) = ends_of(fit, view.across), ends_of(fit, view.up)
    a, b = view.at(x0, y0), view.at(x1, y1)
    left, right, low, high = a[0], b[0], min(a[1], b[1]), max(a[1], b[1])
    if right - left < LEGIBLE or high - low < LEGIBLE * 0.7:
        return
    y, x = low + (high - low) * 0.28, left + (right - left) * 0.22
    for ends, place, length, turn in (
        (((left, y), (right, y)), ((left + right) / 2 + (right - left) * 0.1, y),
         fit.box[view.across], 0),
        (((x, low), (x, high)), (x, (low + high) / 2 + (high - low) * 0.12), fit.box[view.up], 90),
    ):
        _arrow(axes, *ends, colour=GREY)
        axes.text(*place, f"{length:.0f}", fontsize=8, rotation=turn, va="center", ha="center",
                  color=INK, zorder=7, bbox={"facecolor": BOX, "edgecolor": "none",
                                             "pad": 1.0})


def _arrow(
    axes: Axes, a: tuple[float, float], b: tuple[float, float], colour: str = INK
) -> None:
    axes.annotate("", a, b, zorder=6, arrowprops={
        "arrowstyle": "<|-|>", "color": colour, "linewidth": 0.6, "shrinkA": 0, "shrinkB": 0,
        "mutation_scale": 5})


def _verdicts(shut: Fit, opened: Fit | None) -> list[str]:
    """What the drawing shows, in a sentence a state."""
    said = []
    for fit in (shut, opened):
        if fit is not None:
            pose = "" if fit.pose == "as it stands" else f", {fit.pose}"
            fits = "fits, " if fit.fits else ""
            said.append(f"{OPENS.get(fit.lid, 'Lid')} {fit.state}{pose}: {fits}{fit.words}.")
    return said


def _notes(
    axes: Axes, figure: Figure, left: float, top: float, fit: Fit, said: list[str]
) -> None:
    """Verdicts and key, beside the plan."""
    y = top - 1
    for sentence in said:
        # A number stays with its unit.
        kept = sentence.replace(" mm", "\u00a0mm")
        for line in wrapped(figure, kept, FULL_WIDTH - RIGHT - left, 9):
            axes.text(left, y, line, fontsize=9, va="top", color=INK)
            y -= PITCH
        y -= 1.5
    y -= 2
    labels = {patch.get_label() for patch in axes.patches}
    labels |= {line.get_label() for line in axes.lines}
    word = OPENS.get(fit.lid, "Lid").lower()
    for label, look, text in (
        ("air", AIR, "air asked for around it"),
        ("beyond", SHORT, "has no room"),
        ("lid", MOVES, f"room of the open {word}"),
        ("lid beyond", MOVES_SHORT, f"the open {word} has no room"),
    ):
        if label in labels:
            axes.add_patch(Rectangle((left, y - 3.2), 8, 3.2, **look))
            axes.text(left + 10, y - 1.6, text, fontsize=8, va="center", color=INK)
            y -= PITCH + 0.8
    if "open side" in labels:
        axes.plot([left, left + 8], [y - 1.6] * 2, **{**FREE, "label": "key"})
        axes.text(left + 10, y - 1.6, "side without a wall", fontsize=8, va="center", color=INK)


def _data(shut: Fit, opened: Fit | None) -> pd.DataFrame:
    return pd.DataFrame([
        {"cooler": fit.cooler, "state": fit.state, "pose": fit.pose, "side": side,
         "space": fit.space[i], "box": fit.box[i], "before": fit.around[i][0],
         "after": fit.around[i][1], "margin": fit.margins[i], "unit": "mm"}
        for fit in (shut, opened) if fit is not None for i, side in enumerate(SIDES)
    ])


def _sizes(lengths: tuple[float, ...]) -> str:
    return f"{' × '.join(f'{length:.0f}' for length in lengths)} mm"


def _alt(name: str, shut: Fit, opened: Fit | None) -> str:
    left = ", ".join(f"{side} {margin_words(m)}"
                     for side, m in zip(SIDES, shut.margins, strict=True))
    return (f"Drawing to scale of {name}, {_sizes(shut.box)} as it stands, in a space of "
            f"{_sizes(shut.space)}, from the front, from the side and from above. With it shut: "
            f"{left}. {' '.join(_verdicts(shut, opened))}")


def _caption(name: str, fit: Fit) -> str:
    moves = lid_sides(fit)
    hung = ("; where the hinge is, the sheet does not say: the arc is an example"
            if moves and moves[1] is not None else "")
    return (f"{name}, {_sizes(fit.box)} (width × depth × height as it stands, with handles and "
            f"feet), in the space of {_sizes(fit.space)}. All views to one scale, lengths in mm; "
            f"spare room is drawn at the right, in front and above{hung}.")
