"""One view of a cooler in its space: walls, air, box and the way of its lid."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.patches import Arc, Rectangle

from coldbench.compare.space import POSES, Fit
from coldbench.figures.look import GREY, INK

# Along which side of the cooler its lid opens, and across which it is hung.
AXES = {"top": (2, 1), "front": (1, 0), "drawer": (1, None)}
BOX = "#f4f4f4"
AIR = {"facecolor": "white", "edgecolor": GREY, "hatch": "////", "linewidth": 0.4}
SHORT = {"facecolor": "white", "edgecolor": INK, "hatch": "xxxxxx", "linewidth": 0.6}
MOVES = {"facecolor": "none", "edgecolor": INK, "linestyle": (0, (4, 2)), "linewidth": 0.8}
MOVES_SHORT = {"facecolor": "none", "edgecolor": GREY, "hatch": "xxx", "linewidth": 0}
WALL = {"color": INK, "linewidth": 2.0, "linestyle": "-", "label": "wall"}
FREE = {"color": INK, "linewidth": 0.9, "linestyle": (0, (1.5, 1.5)), "label": "open side"}


@dataclass(frozen=True)
class View:
    """A view: which sides of the space run across and up, and where zero lies on the page."""

    across: int
    up: int
    left: float
    base: float
    scale: float
    down: bool = False  # the plan's depth runs down the page, from the back

    def box(self, a: tuple[float, float], b: tuple[float, float], **look: object) -> Rectangle:
        """Rectangle between two corners of the space. [mm of nature]"""
        (x0, y0), (x1, y1) = self.at(*a), self.at(*b)
        return Rectangle((min(x0, x1), min(y0, y1)), abs(x1 - x0), abs(y1 - y0), **look)

    def at(self, across: float, up: float) -> tuple[float, float]:
        """A place of the space on the page. [mm]"""
        sign = -1 if self.down else 1
        return self.left + self.scale * across, self.base + sign * self.scale * up


def ends_of(fit: Fit, side: int) -> tuple[float, float]:
    """Where the box begins and ends along a side of the space."""
    start = fit.around[side][0]
    return start, start + fit.box[side]


def lid_sides(fit: Fit) -> tuple[int, int | None] | None:
    """Sides of the space along which the lid opens and across which it is hung."""
    if fit.lid not in AXES or not fit.swing:
        return None
    order = POSES[fit.pose]
    opens, hung = AXES[fit.lid]
    return order.index(opens), None if hung is None else order.index(hung)


def reach_of(fit: Fit) -> list[float]:
    """How far the drawing reaches along width, depth and height."""
    reach = [max(fit.space[i], sum(fit.around[i]) + fit.box[i]) for i in range(3)]
    moves = lid_sides(fit)
    if moves:
        reach[moves[0]] = max(reach[moves[0]], ends_of(fit, moves[0])[1] + fit.swing)
    return reach


def _open_side(fit: Fit, side: int) -> bool:
    return (side == 1 and "front" in fit.open_sides) or (side == 2 and "top" in fit.open_sides)


def draw_view(axes: Axes, view: View, fit: Fit, colour: str) -> None:
    """Space, air, cooler and the way of its lid in one view."""
    i, j = view.across, view.up
    (x0, x1), (y0, y1) = ends_of(fit, i), ends_of(fit, j)
    low = (x0 - fit.around[i][0], y0 - fit.around[j][0])
    high = (x1 + fit.around[i][1], y1 + fit.around[j][1])
    if low != (x0, y0) or high != (x1, y1):
        axes.add_patch(view.box(low, high, label="air", zorder=1, **AIR))
    _beyond(axes, view, fit, low, high)
    axes.add_patch(view.box((x0, y0), (x1, y1), facecolor=BOX, edgecolor=colour,
                            linewidth=1.5, zorder=3, label="cooler"))
    _beyond(axes, view, fit, (x0, y0), (x1, y1), zorder=3.5)
    _lid(axes, view, fit)
    _walls(axes, view, fit)


def _beyond(
    axes: Axes, view: View, fit: Fit, low: tuple[float, float], high: tuple[float, float],
    zorder: float = 2.0,
) -> None:
    """What of a rectangle lies behind a wall of the space."""
    wide, tall = fit.space[view.across], fit.space[view.up]
    if high[0] > wide:
        axes.add_patch(view.box((max(wide, low[0]), low[1]), high, label="beyond", zorder=zorder,
                                **SHORT))
    if high[1] > tall:
        axes.add_patch(view.box((low[0], max(tall, low[1])), (min(high[0], max(wide, low[0])),
                                high[1]), label="beyond", zorder=zorder, **SHORT))


def _walls(axes: Axes, view: View, fit: Fit) -> None:
    """The space: thick where it has a wall, dashed where it is open."""
    wide, tall = fit.space[view.across], fit.space[view.up]
    corners = [(0, 0), (wide, 0), (wide, tall), (0, tall)]
    for n, (a, b) in enumerate(zip(corners, corners[1:] + corners[:1], strict=True)):
        far = {1: view.across, 2: view.up}.get(n)
        free = far is not None and _open_side(fit, far)
        xs, ys = zip(view.at(*a), view.at(*b), strict=True)
        axes.plot(xs, ys, zorder=5, solid_capstyle="projecting", **(FREE if free else WALL))


def _lid(axes: Axes, view: View, fit: Fit) -> None:
    """Room of the open lid, dashed, and the arc of its edge where the view shows it."""
    moves = lid_sides(fit)
    if moves is None or moves[0] not in (view.across, view.up):
        return
    opens, hung = moves
    ends = {side: ends_of(fit, side) for side in (view.across, view.up)}
    other = view.up if opens == view.across else view.across
    start, stop = ends[opens][1], ends[opens][1] + fit.swing

    def place(along: float, across: float) -> tuple[float, float]:
        return (along, across) if opens == view.across else (across, along)

    low, high = place(start, ends[other][0]), place(stop, ends[other][1])
    if stop > fit.space[opens] and not _open_side(fit, opens):
        axes.add_patch(view.box(place(max(start, fit.space[opens]), ends[other][0]), high,
                                zorder=1.5, label="lid beyond", **MOVES_SHORT))
    axes.add_patch(view.box(low, high, zorder=4, label="lid", **MOVES))
    if other != hung:
        return
    # Hung where the cooler's back or left side is; the sheet does not say where.
    x, y = view.at(*place(start, ends[hung][0]))
    sizes = place(2 * fit.swing * view.scale, 2 * fit.box[hung] * view.scale)
    turn = 270 if view.down else 0
    axes.add_patch(Arc((x, y), *sizes, theta1=turn, theta2=turn + 90, color=INK, linewidth=0.8,
                       zorder=4, label="arc"))
