"""Heat leak of a box yet to be built: its walls, and what the present box leaks beyond its own.

A measured box leaks more than its walls by their sizes: seal, drain, fasteners, wet foam. What it
leaks beyond them is carried forward. How far that grows with the walls and how far with the lid's
rim is not known: every share of the two is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench import draws
from coldbench.compare.geometry import FILM_INSIDE, FILM_OUTSIDE
from coldbench.compare.leaks import leak_of
from coldbench.design.limits import DESIGN
from coldbench.findings import Finding
from coldbench.physics.box import Box, heat_leak, surface, volume
from coldbench.physics.materials import (
    FOAM_SLOPE,
    FOAM_SLOPE_LIMIT,
    FOAMS,
    foam_conductivity,
)
from coldbench.sheets import Campaign, CoolerSheet


@dataclass(frozen=True)
class Excess:
    """What a box leaks beyond its walls, for carrying it to another one.

    Parameters
    ----------
    ratio : array_like
        Measured over walls by their sizes. [-]
    beyond : array_like
        Measured less walls by their sizes. [W/K]
    rim : float
        Rim of the lid it was measured on. [m]
    share : array_like
        Of it that goes with the walls; the rest goes with the rim. [-]
    source : str
        How it is known.
    """

    ratio: ArrayLike
    beyond: ArrayLike
    rim: float
    share: ArrayLike
    source: str

    def carry(self, walls: ArrayLike, rim: ArrayLike) -> np.ndarray:
        """Heat leak of a new box.

        Parameters
        ----------
        walls : array_like
            Of its walls by their sizes. [W/K]
        rim : array_like
            Rim of its lid. [m]

        Returns
        -------
        ndarray
            [W/K]

        References
        ----------
        .. [1] This kit's own definition.

        Examples
        --------
        >>> excess = Excess(ratio=1.5, beyond=0.1, rim=1.0, share=0.5, source="")
        >>> float(excess.carry(0.2, 2.0).round(3))  # 0.2 × 1.25, and half of 0.1 on twice the rim
        0.35
        """
        share = np.where(np.asarray(self.beyond) > 0, self.share, 1.0)
        with_walls = np.asarray(walls) * (1 + share * (np.asarray(self.ratio) - 1))
        return with_walls + (1 - share) * self.beyond * np.asarray(rim) / self.rim

    def built_again(self, cooler: str) -> Excess:
        """The same for another box: the same hands do not build every seal alike.

        Parameters
        ----------
        cooler : str
            Id of the present box.

        Returns
        -------
        Excess

        References
        ----------
        .. [1] This kit's own definition; the limit is assumed.
        """
        again = 1 + draws.uniform(f"{cooler} excess built again", DESIGN.excess_again)
        return Excess(1 + (np.asarray(self.ratio) - 1) * again, self.beyond * again, self.rim,
                      self.share, self.source)

    def middle(self) -> Excess:
        """The same in single numbers, for the search."""
        return Excess(*(float(np.median(x)) for x in (self.ratio, self.beyond)), self.rim,
                      float(np.median(self.share)), self.source)


def excess_of(campaign: Campaign, rows: Iterable[Finding], cooler: str) -> Excess:
    """What a measured box leaks beyond its walls by their sizes.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    rows : iterable of Finding
        Of the campaign: heat leak of the walls, and the same by their sizes.
    cooler : str
        Id of the present box.

    Returns
    -------
    Excess
        Of a range where the box was not measured or its sizes are not stated.

    References
    ----------
    .. [1] This kit's own definition; the range is common practice, no source.
    """
    rows = list(rows)
    leak = leak_of(rows, cooler) if cooler else None
    by_size = next((f for f in rows if f.cooler == cooler and f.finding == "heat_leak_geometry"
                    and f.draws is not None), None)
    share = 0.5 + draws.uniform(f"{cooler} excess goes with the walls", 0.5)
    if leak is None or leak.draws is None or by_size is None:
        return _usual(share)
    _, measured = leak.at_wall(float(by_size.conditions["wall"]))
    sheet = campaign.coolers[cooler]
    source = (f"as measured on {sheet.name}: {np.median(measured):.3g} W/K, its walls by their "
              f"sizes {np.median(by_size.draws):.3g} W/K")
    return Excess(measured / by_size.draws, measured - by_size.draws,
                  rim_of(sheet.inside.width.value / 1000, sheet.inside.depth.value / 1000),
                  share, source)


def _usual(share: np.ndarray) -> Excess:
    ratio = draws.between("excess of a box not measured", DESIGN.excess_least, DESIGN.excess_most)
    source = (f"assumed: {DESIGN.excess_least:g} to {DESIGN.excess_most:g} times its walls, as no "
              "present box was measured")
    # All of it with the walls: there is no rim to carry it from.
    return Excess(ratio, np.zeros_like(ratio), 1.0, np.ones_like(share), source)


def rim_of(width: ArrayLike, depth: ArrayLike) -> np.ndarray:
    """Rim of a lid that lies on top. [m]

    Examples
    --------
    >>> float(rim_of(0.3, 0.2))
    1.0
    """
    return 2 * (np.asarray(width) + np.asarray(depth))


def walls_leak(
    box: Box, conductivity: ArrayLike, wall: float, *, slope: ArrayLike = FOAM_SLOPE,
    films: Sequence[ArrayLike] | None = None,
) -> np.ndarray:
    """Heat leak of the walls of a box by their sizes.

    Parameters
    ----------
    box : Box
        Inside and walls. [m]
    conductivity : array_like
        Of its foam as tabulated. [W/(m K)]
    wall : float
        Mean wall temperature. [°C]
    slope : array_like
        Of the foam's conductivity. [1/K]
    films : sequence of array_like, optional
        Inside, outside; else the middle of their ranges. [W/(m² K)]

    Returns
    -------
    ndarray
        [W/K]

    References
    ----------
    .. [1] :func:`coldbench.physics.box.heat_leak`.

    Examples
    --------
    >>> from coldbench.physics.box import even_box
    >>> float(walls_leak(even_box(0.52, 0.32, 0.32, 0.04), 0.025, 24.0, films=(6, 8)).round(2))
    0.52
    """
    inner, outer = films if films is not None else (np.mean(FILM_INSIDE), np.mean(FILM_OUTSIDE))
    return heat_leak(box, foam_conductivity(conductivity, wall, slope=slope), inner, outer)


def drawn_walls(
    box: Box, layers: Sequence[tuple[ArrayLike, float]], wall: float, cooler: str
) -> np.ndarray:
    """Draws of the heat leak of the walls of a box to be built beside a present one.

    Parameters
    ----------
    box : Box
        Inside and walls. [m]
    layers : sequence of (array_like, float)
        Conductivity and thickness of each layer of foam. [W/(m K)], [m]
    wall : float
        Mean wall temperature. [°C]
    cooler : str
        Id of the present box, whose films and slope are the new one's.

    Returns
    -------
    ndarray, shape (4000,)
        [W/K]

    References
    ----------
    .. [1] :func:`coldbench.physics.box.heat_leak`, with layers one behind the other as one foam;
       ranges as in :mod:`coldbench.compare.geometry`. Joints of boards are in the excess.
    """
    slope = FOAM_SLOPE + draws.uniform(f"{cooler} foam slope", FOAM_SLOPE_LIMIT)
    films = [draws.between(f"{cooler} film {word}", *film)
             for word, film in (("inside", FILM_INSIDE), ("outside", FILM_OUTSIDE))]
    thickness = sum(layer for _, layer in layers)
    together = thickness / sum(layer / np.asarray(conducts) for conducts, layer in layers)
    return walls_leak(box, together, wall, slope=slope, films=films)


def usable_share(sheet: CoolerSheet | None) -> tuple[float, np.ndarray]:
    """Share of the inside that can be filled, as in the present box.

    Parameters
    ----------
    sheet : CoolerSheet or None
        Of the present box.

    Returns
    -------
    value : float
        [-]
    draws : ndarray, shape (4000,)
        [-]

    References
    ----------
    .. [1] This kit's own definition; without a present box a share is assumed.
    """
    inside = getattr(sheet, "inside", None)
    sides = [getattr(inside, side, None) for side in ("width", "depth", "height")]
    share, doubt = DESIGN.usable_share, DESIGN.usable_share_limit
    if inside is not None and inside.usable is not None and None not in sides:
        litres = np.prod([side.value for side in sides]) / 1e6
        share, doubt = min(inside.usable.value / litres, 1.0), doubt / 2
    return share, share * (1 + draws.uniform("usable share", doubt))


def board_area(box: Box) -> np.ndarray:
    """Area of board in the walls, at their middle. [m²]

    Examples
    --------
    >>> from coldbench.physics.box import even_box
    >>> float(board_area(even_box(1.0, 1.0, 1.0, 0.1)).round(2))  # between 6 and 8.64
    7.32
    """
    return (surface(box.inside()) + surface(box.outside())) / 2


def board_mass(box: Box, material: str) -> np.ndarray:
    """Mass of the foam in the walls. [kg]"""
    return FOAMS[material].density * (volume(box.outside()) - volume(box.inside()))
