"""Bill of materials of a design, by generic part: what to get, how much of it, for what price."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coldbench.design.box import rim_of
from coldbench.design.candidate import Candidates, Machine, Part
from coldbench.design.limits import DESIGN
from coldbench.design.wishes import Board, Wishes
from coldbench.physics.box import surface
from coldbench.quantities import number

SOLVENTS = ("EPS", "XPS")  # foams that solvents eat: common practice, no source


def bill(
    candidates: Candidates, index: int, machines: Sequence[Machine], boards: Sequence[Board],
    wishes: Wishes,
) -> tuple[Part, ...]:
    """What a design is built of.

    Parameters
    ----------
    candidates : Candidates
    index : int
        Which of them.
    machines, boards : sequence
        As given to the search.
    wishes : Wishes

    Returns
    -------
    tuple of Part
        Box first, then the machine's own. Wires and what protects them are not in it.

    References
    ----------
    .. [1] Geometry of the box; what is cut off is this kit's own limit. A barrier to vapour on
       the warm side: common practice, no source.
    """
    board = boards[candidates.board[index]]
    machine = machines[candidates.machine[index]]
    return (*_box(candidates, index, board, wishes), *machine.parts)


def total(parts: Iterable[Part]) -> tuple[float, tuple[str, ...]]:
    """Price of parts, and the names of those for which none is stated. [currency]

    Examples
    --------
    >>> total([Part("Seal", 1.4, "m", 6.0), Part("Liner sheet", 0.8, "m²")])
    (6.0, ('Liner sheet',))
    """
    parts = list(parts)
    return (sum(part.price for part in parts if part.price is not None),
            tuple(part.name for part in parts if part.price is None))


def _box(c: Candidates, index: int, board: Board, wishes: Wishes) -> list[Part]:
    box, layers, wall = c.box(index), int(c.layers[index]), float(c.wall[index])
    area = float(c.area[index])
    (width, depth, height), outside = box.inside(), box.outside()
    rim = float(rim_of(width + wall, depth + wall))  # in the middle of the wall
    bought = area * (1 + DESIGN.board_cut_off)
    # Layers on each other, and the body's eight edges; the lid's own four stay loose.
    joints = wall * (rim + 4 * float(height + wall))
    glued = area * (layers - 1) / layers + joints
    edges = 4 * float(sum(outside)) + 2 * float(rim_of(outside[0], outside[1]))
    together = "one layer" if layers == 1 else f"{layers} layers"
    return [
        Part(f"Board of {board.material}, {number(1000 * board.thickness, 0)} mm", bought, "m²",
             None if board.price is None else board.price * bought,
             f"{number(area, 2)} m² in the walls, {together}; the rest is cut off"),
        Part("Adhesive, for so much joint", glued, "m²", None,
             "without solvents, which eat this foam" if board.material in SOLVENTS
             else "fit for this foam and its facing"),
        Part("Vapour barrier, sheet", float(surface(outside)), "m²", None,
             f"on the warm side, outside the foam: air of up to {number(wishes.ambient, 0)} °C "
             "must not reach the cold foam, or it gets wet"),
        Part("Vapour barrier, tape", edges, "m", None,
             "all outer edges, and both rims of body and lid, without a gap"),
        Part("Liner, sheet", float(surface(box.inside())), "m²", None,
             "takes no water, wipes clean"),
        Part("Seal of the lid", rim, "m", None, "soft, of one piece, in the middle of the wall"),
        Part("Hinges and latch, set", 1.0, "", None, "press the lid on its seal all round"),
    ]
