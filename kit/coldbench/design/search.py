"""All boxes that could be built: boards, thicknesses and outside sizes for every machine there is.

Everything is in single numbers, central values throughout; what a pick is worth with its doubts
is worked out afterwards, for the few that are picked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import product

import numpy as np
from numpy.typing import ArrayLike

from coldbench.design.box import Excess, board_area, rim_of, walls_leak
from coldbench.design.candidate import Candidates, Machine, Part
from coldbench.design.expected import DAY, coldest_air
from coldbench.design.limits import DESIGN
from coldbench.design.wishes import Board, Wishes
from coldbench.physics.box import INSIDE_LEAST, Box, even_box, volume
from coldbench.physics.materials import FOAMS
from coldbench.physics.water import heat_to_cool_water

__all__ = ["Candidates", "Curve", "Machine", "Part", "candidates", "litres_curve"]

SCALES = (0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 1.0)
SHAPE = (1.5, 1.0, 1.0)  # of a box without a room: width, depth and height inside [-]
LARGER = 2.0  # such a box is at most so many times what is wanted [-]
STEP = 5.0  # between the walls of a curve [mm]


def candidates(
    wishes: Wishes, machines: Sequence[Machine], boards: Sequence[Board], excess: Excess,
    share_usable: float, *,
    walls: tuple[float, float] = (DESIGN.wall_least / 1000, DESIGN.wall_most / 1000),
    scales: Sequence[float] = SCALES,
) -> Candidates:
    """Every machine in every box that fits the room.

    Parameters
    ----------
    wishes : Wishes
        With a room or with litres.
    machines : sequence of Machine
    boards : sequence of Board
    excess : Excess
        In single numbers, see :meth:`coldbench.design.box.Excess.middle`.
    share_usable : float
        Of the inside. [-]
    walls : tuple of float
        Thinnest and thickest wall. [m]
    scales : sequence of float
        Of the longest width, depth and height; each is tried with each. [-]

    Returns
    -------
    Candidates
        Empty where nothing fits.

    Raises
    ------
    ValueError
        Neither a room nor litres are wanted.

    Notes
    -----
    The longest outside is the room less what the machine takes of it. Without a room the longest
    inside is that of a box of ``SHAPE`` with ``LARGER`` times the wanted litres.

    References
    ----------
    .. [1] This kit's own arrangement; its parts: :func:`coldbench.design.box.walls_leak`,
       ``Excess.carry`` and the machine's own functions.
    """
    if wishes.room is None and not wishes.usable:
        raise ValueError("a box needs a room or litres that are wanted")
    stacks = _stacks(boards, walls)
    grid = np.array(list(product(scales, repeat=3))).T
    whole = [_of_machine(n, wishes, machine, boards, stacks, grid, excess, share_usable)
             for n, machine in enumerate(machines)]
    names = [field.name for field in fields(Candidates)]
    return Candidates(*(np.concatenate([part[name] for part in whole]) for name in names))


def conducts(board: Board) -> float:
    """Conductivity in the middle of what is known of it. [W/(m K)]"""
    foam = FOAMS[board.material]
    return board.conductivity or (foam.lowest + foam.highest) / 2


def load_heat(wishes: Wishes) -> float:
    """Heat of the warm goods, put in once a day, as a mean over it. [W]"""
    if wishes.load_start <= wishes.inside:
        return 0.0
    day = heat_to_cool_water(wishes.load_start, wishes.inside)
    return float(wishes.load * day / (DAY * 3600))


def _stacks(boards: Sequence[Board], walls: tuple[float, float]) -> np.ndarray:
    """Board and layers of every wall that is thick enough and not too thick, shape (n, 2)."""
    found = [(n, layers) for n, board in enumerate(boards) for layers in range(1, board.layers + 1)
             if walls[0] - 1e-9 <= layers * board.thickness <= walls[1] + 1e-9]
    return np.array(found, int).reshape(-1, 2)


def _of_machine(
    n: int, wishes: Wishes, machine: Machine, boards: Sequence[Board], stacks: np.ndarray,
    grid: np.ndarray, excess: Excess, share: float,
) -> dict[str, np.ndarray]:
    thickness = np.array([board.thickness for board in boards])
    wall = (stacks[:, 1] * thickness[stacks[:, 0]])[:, None]
    inside = _insides(wishes, machine.room, share, grid, wall)
    shortest = np.min(inside, axis=0)
    kept = (shortest > INSIDE_LEAST * wall) & (shortest >= DESIGN.inside_shortest / 1000)
    which, layers, wall = (
        np.broadcast_to(one, kept.shape)[kept]
        for one in (stacks[:, :1], stacks[:, 1:], wall))
    box = even_box(*(side[kept] for side in inside), wall)
    foam, price, density = (np.array(row, float)[which] for row in (
        [conducts(board) for board in boards], [board.price for board in boards],
        [FOAMS[board.material].density for board in boards]))
    leak = leak_of(box, foam, wishes, excess)
    area = layers * board_area(box)
    bought = area * (1 + DESIGN.board_cut_off)
    own = np.nan if machine.price is None else machine.price
    width, depth, height = box.inside()
    outside = box.outside()
    return {
        "machine": np.full(len(wall), n), "board": which, "layers": layers, "wall": wall,
        "width": width, "depth": depth, "height": height, "outside_width": outside[0],
        "outside_depth": outside[1], "outside_height": outside[2],
        "litres": 1000 * share * volume(box.inside()), "leak": leak,
        **at_work(machine, leak, wishes), "price": own + price * bought, "area": area,
        "mass": density * (volume(outside) - volume(box.inside())),
    }


def _insides(
    wishes: Wishes, taken: tuple[float, float, float], share: float, grid: np.ndarray,
    wall: np.ndarray,
) -> np.ndarray:
    """Width, depth and height inside, shape (3, stacks, sizes). [m]"""
    if wishes.room is not None:
        longest = np.maximum(np.subtract(wishes.room, taken), 0.0)
        return (longest[:, None] * grid)[:, None, :] - 2 * wall
    cubic = LARGER * wishes.usable / 1000 / share / np.prod(SHAPE)
    longest = np.array(SHAPE) * cubic ** (1 / 3)
    return (longest[:, None] * grid)[:, None, :] + 0 * wall


def leak_of(
    box: Box, foam: np.ndarray, wishes: Wishes, excess: Excess,
    films: Sequence[float] | None = None,
) -> np.ndarray:
    """Heat leak of boxes at the wall temperature of the wishes, the excess carried over. [W/K]"""
    walls = walls_leak(box, foam, (wishes.ambient + wishes.inside) / 2, films=films)
    return excess.carry(walls, rim_of(box.width, box.depth))


def at_work(machine: Machine, leak: np.ndarray, wishes: Wishes) -> dict[str, np.ndarray]:
    """What a machine does against heat leaks: coldest [°C], energy [Wh/d] and duty [-]."""
    heat = leak * (wishes.ambient - wishes.inside) + load_heat(wishes)
    held = machine.unit.hold(wishes.inside, wishes.ambient, heat)
    coldest = coldest_air(machine.unit, leak, wishes.ambient, wishes.inside)
    found = {
        "coldest": np.maximum(coldest, machine.lowest),
        "energy": DAY * held.power, "duty": held.duty,
    }
    return {name: np.broadcast_to(values, leak.shape) for name, values in found.items()}


@dataclass(frozen=True)
class Curve:
    """What thicker walls cost in litres and save in energy, the outside being given.

    Attributes
    ----------
    board, machine : str
        Material, and the machine in words.
    ambient, inside : float
        At which it is held. [°C]
    outside : tuple of float
        Of the box. [m]
    wall : ndarray, shape (n,)
        Empty where machine and walls leave no inside. [m]
    litres, leak, energy, coldest : ndarray, shape (n,)
        As in :class:`coldbench.design.candidate.Candidates`. [L], [W/K], [Wh/d], [°C]
    knee : int or None
        Where the curve of energy over litres lies farthest below the straight line between its
        ends, both axes scaled to its own range; None where fewer than three walls hold.
    thriftiest : int or None
        Least energy for each litre.
    """

    board: str
    machine: str
    ambient: float
    inside: float
    outside: tuple[float, float, float]
    wall: np.ndarray
    litres: np.ndarray
    leak: np.ndarray
    energy: np.ndarray
    coldest: np.ndarray
    knee: int | None
    thriftiest: int | None


def litres_curve(
    wishes: Wishes, machine: Machine, board: Board, excess: Excess, share_usable: float, *,
    walls: ArrayLike | None = None, films: Sequence[float] | None = None,
) -> Curve:
    """Litres and energy of the largest box for the room, over the thickness of its walls.

    Parameters
    ----------
    wishes : Wishes
        With a room.
    machine : Machine
    board : Board
        Of any thickness: its material counts.
    excess : Excess
        In single numbers.
    share_usable : float
        [-]
    walls : array_like, optional
        Those too thick for the room are left out. Else every 5 mm of those that are searched. [m]
    films : sequence of float, optional
        Inside, outside. [W/(m² K)]

    Returns
    -------
    Curve

    Raises
    ------
    ValueError
        No room is wanted.

    References
    ----------
    .. [1] Knee and thriftiest: this kit's own definitions. At the thriftiest a litre more costs
       just what the mean litre does.
    """
    if wishes.room is None:
        raise ValueError("a curve over the wall needs a room")
    outside = np.subtract(wishes.room, machine.room)
    if walls is None:
        walls = np.arange(DESIGN.wall_least, DESIGN.wall_most + 1e-6, STEP) / 1000
    wall = np.asarray(walls, float)
    wall = wall[outside.min() - 2 * wall > INSIDE_LEAST * wall]
    box = even_box(*(outside[:, None] - 2 * wall), wall)
    leak = leak_of(box, conducts(board), wishes, excess, films)
    litres = 1000 * share_usable * volume(box.inside())
    does = at_work(machine, leak, wishes)
    energy = does["energy"]
    held = np.isfinite(energy)
    return Curve(
        board.material, machine.label, wishes.ambient, wishes.inside,
        tuple(float(side) for side in outside), wall, litres, leak, energy, does["coldest"],
        _knee(litres, energy),
        int(np.nanargmin(energy / litres)) if held.any() else None,
    )


def _knee(litres: np.ndarray, energy: np.ndarray) -> int | None:
    held = np.flatnonzero(np.isfinite(energy))
    if len(held) < 3 or not np.ptp(energy[held]):
        return None
    x, y = ((one[held] - one[held].min()) / np.ptp(one[held]) for one in (litres, energy))
    return int(held[np.argmax(x - y)])
