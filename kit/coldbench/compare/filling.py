"""What stands inside a cooler: cans, the tallest bottle; and how thick its walls must be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.analysis.limits import LIMITS
from coldbench.compare.tape import sides_of, taped_sides
from coldbench.findings import Finding, find, measured
from coldbench.physics.packing import SNUG, Rows, best, most
from coldbench.sheets import Campaign

MM3_A_LITRE = 1e6
STEPS = 40  # of Newton's method, which from above is never far off
Plan = tuple[ArrayLike, ArrayLike, ArrayLike, ArrayLike, ArrayLike]


@dataclass(frozen=True)
class Floor:
    """A rectangle of floor with what stands on it. Lengths in mm, from the corner with the step.

    Attributes
    ----------
    left, back, width, depth, above : float
        Its place and sides, and its height above the lowest floor.
    rows : Rows
        One layer.
    layers : int
        Layers that stand on each other.
    """

    left: float
    back: float
    width: float
    depth: float
    above: float
    rows: Rows
    layers: int

    @property
    def count(self) -> int:
        """All that stand on it. [-]"""
        return int(self.rows.count) * self.layers


@dataclass(frozen=True)
class Packed:
    """A cooler with cans. Lengths in mm.

    Attributes
    ----------
    cooler : str
        Its id.
    inside : tuple of float
        Width, depth and height.
    step : tuple of float or None
        Sides of the block missing from a lower corner.
    across, high : float
        The can.
    floors : tuple of Floor
        Where they stand.
    """

    cooler: str
    inside: tuple[float, float, float]
    step: tuple[float, float, float] | None
    across: float
    high: float
    floors: tuple[Floor, ...]

    @property
    def count(self) -> int:
        """Cans in all. [-]"""
        return sum(floor.count for floor in self.floors)

    @property
    def words(self) -> str:
        """How they stand."""
        said = [_said(floor) for floor in self.floors if floor.count]
        return " and ".join(said) if said else "none stands upright"


def filling(campaign: Campaign, rows: Sequence[Finding]) -> list[Finding]:
    """Cans, bottles and walls of the coolers whose sizes are stated.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    rows : sequence of Finding
        Those of the sheets: ``outside_volume``, ``inside_volume``.

    Returns
    -------
    list of Finding
        ``can_count`` [-], ``max_bottle_height`` and ``wall_thickness`` [mm].

    References
    ----------
    .. [1] This kit's own definitions. Cans stand upright in layers, in squares or staggered rows,
       whichever holds more; on a step and beside it they are counted apart. A count is what can
       be placed, by the sizes as taped.
    """
    found: list[Finding] = []
    for cooler in campaign.coolers:
        found += _standing(campaign, cooler)
        found += _walls(campaign, cooler, rows)
    return found


def packed(campaign: Campaign, cooler: str) -> Packed | None:
    """How cans stand in a cooler, or None where its inside sides are not stated.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    cooler : str
        Its id.
    """
    inside = campaign.coolers[cooler].inside
    sides = sides_of(inside)
    if sides is None:
        return None
    width, depth, height = (side.value for side in sides)
    step = None if inside.step is None else tuple(side.value for side in sides_of(inside.step))
    across, high = _can(campaign)
    ways = [[Floor(*plan, best(plan[2], plan[3], across), int(_layers(height - plan[4], high)))
             for plan in way] for way in _ways(width, depth, step)]
    floors = max(ways, key=lambda way: sum(floor.count for floor in way))
    return Packed(cooler, (width, depth, height), step, across, high, tuple(floors))


def _standing(campaign: Campaign, cooler: str) -> Iterator[Finding]:
    cans = packed(campaign, cooler)
    if cans is None:
        return
    inside = campaign.coolers[cooler].inside
    width, depth, height = taped_sides(f"{cooler} inside", sides_of(inside))
    step = None
    if inside.step is not None:
        step = taped_sides(f"{cooler} inside step", sides_of(inside.step))
    drawn = np.max([
        sum(most(plan[2], plan[3], cans.across) * _layers(height - plan[4], cans.high)
            for plan in way)
        for way in _ways(width, depth, step)
    ], axis=0).astype(float)
    usual = "" if _stated(campaign) else ", a usual one of 330 mL"
    yield Finding(
        cooler=cooler, finding="can_count", unit="-", basis="sheet",
        note=f"{cans.words}; can {cans.across:g} mm across, {cans.high:g} mm high{usual}",
        **measured(drawn, cans.count),
    )
    # A bottle wants floor under it: the step's top where nothing stands beside the step.
    on_step = step is not None and not any(
        int(floor.rows.count) for floor in cans.floors if floor.above == 0)
    tall, drawn = cans.inside[2], height
    if on_step:
        tall, drawn = tall - cans.step[2], height - step[2]
    yield Finding(
        cooler=cooler, finding="max_bottle_height", unit="mm", basis="sheet",
        note=f"upright, {'on the step' if on_step else 'on the floor'}, lid shut",
        **measured(drawn, tall),
    )


def _walls(campaign: Campaign, cooler: str, rows: Sequence[Finding]) -> Iterator[Finding]:
    """The one thickness all round that makes the inside as large as the outside is."""
    volumes = [next(iter(find(rows, cooler=cooler, finding=name)), None)
               for name in ("outside_volume", "inside_volume")]
    if any(row is None or row.value is None or row.draws is None for row in volumes):
        return
    outside, inside = (np.append(row.value, row.draws) * MM3_A_LITRE for row in volumes)
    sides = sides_of(campaign.coolers[cooler].inside)
    shape = " of a cube, as sides are not stated" if sides is None else ""
    ratios = np.ones(3) if sides is None else np.array([side.value for side in sides])
    ratios = ratios / np.prod(ratios) ** (1 / 3)
    thick = wall_around(np.cbrt(inside) * ratios[:, None], outside)
    if not thick[0] > 0:
        return
    yield Finding(
        cooler=cooler, finding="wall_thickness", unit="mm", basis="sheet",
        note=f"mean{shape}; machine, handles and feet counted as wall",
        **measured(thick[1:], thick[0]),
    )


def wall_around(inside: np.ndarray, outside: np.ndarray) -> np.ndarray:
    """Thickness all round that a box must have to be of a volume outside.

    Parameters
    ----------
    inside : ndarray, shape (3, n)
        Sides inside. [mm]
    outside : ndarray, shape (n,)
        Volume outside. [mm³]

    Returns
    -------
    ndarray, shape (n,)
        Below zero where the outside is the smaller one. [mm]

    References
    ----------
    .. [1] This kit's own definition: (w + 2 t)(d + 2 t)(h + 2 t) = V, solved by Newton's method.
       It starts from a cube with the smallest side, above the answer, where the volume is convex.

    Examples
    --------
    >>> float(wall_around(np.array([[300.0], [200.0], [250.0]]), np.array([380 * 280 * 330.0]))[0])
    40.0
    """
    thick = (np.cbrt(outside) - inside.min(axis=0)) / 2
    for _ in range(STEPS):
        grown = inside + 2 * thick
        slope = 2 * (grown[0] * grown[1] + grown[0] * grown[2] + grown[1] * grown[2])
        thick = thick - (grown.prod(axis=0) - outside) / slope
    return thick


def _ways(width: ArrayLike, depth: ArrayLike, step: Sequence[ArrayLike] | None) -> list[list[Plan]]:
    """Ways to part the floor into rectangles: left, back, width, depth, height above the floor."""
    if step is None:
        return [[(0.0, 0.0, width, depth, 0.0)]]
    across, along, high = step
    top = (0.0, 0.0, across, along, high)
    return [
        [(across, 0.0, width - across, depth, 0.0), (0.0, along, across, depth - along, 0.0), top],
        [(0.0, along, width, depth - along, 0.0), (across, 0.0, width - across, along, 0.0), top],
    ]


def _layers(room: ArrayLike, high: float) -> np.ndarray:
    return np.floor(np.maximum(room, 0) / high + SNUG).astype(int)


def _stated(campaign: Campaign) -> bool:
    return campaign.sheet.use is not None and campaign.sheet.use.can is not None


def _can(campaign: Campaign) -> tuple[float, float]:
    """Diameter and height of the can. [mm]"""
    if _stated(campaign):
        can = campaign.sheet.use.can
        return can.diameter.value, can.height.value
    return LIMITS.can_across, LIMITS.can_high


def _said(floor: Floor) -> str:
    how = "staggered" if floor.rows.staggered else "in squares"
    layers = "" if floor.layers == 1 else f"{floor.layers} layers of "
    where = " on the step" if floor.above else ""
    return f"{layers}{int(floor.rows.count)} {how}{where}"
