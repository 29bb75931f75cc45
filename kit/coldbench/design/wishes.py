"""What is wanted of a new build: conditions, litres, the room it has, what can be had for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.compare.tape import SIDES
from coldbench.design.limits import DESIGN
from coldbench.physics.materials import FOAMS
from coldbench.quantities import Quantity
from coldbench.sheets import Campaign
from coldbench.sheets.campaign import BoardSheet

USUAL = ("XPS", "PIR")  # where no board is stated, at these thicknesses [mm]
THICKNESSES = (20.0, 30.0, 40.0, 50.0, 60.0, 80.0)
LAYERS = 2
SLACK = 1e-6  # of sums of lengths that are just as long as the room [m]


@dataclass(frozen=True)
class Board:
    """Insulation that can be had.

    Parameters
    ----------
    material : str
        Out of ``FOAMS``.
    thickness : float
        Of one board. [m]
    conductivity : float or None
        As declared; None: the handbook's range of the material. [W/(m K)]
    price : float or None
        [currency/m²]
    layers : int
        How many may be glued together.
    """

    material: str
    thickness: float
    conductivity: float | None = None
    price: float | None = None
    layers: int = LAYERS

    def conducts(self, box: str = "") -> np.ndarray:
        """Draws of its conductivity at the mean temperature of the handbook's table.

        Parameters
        ----------
        box : str
            Id of a cooler built of the same foam: what is not known of it is not known of this.

        Returns
        -------
        ndarray, shape (4000,)
            [W/(m K)]

        References
        ----------
        .. [1] ``FOAMS``; what a declared value is off by is this kit's own limit.
        """
        if self.conductivity is not None:
            off = draws.uniform(f"foam {self.material} declared", DESIGN.foam_declared)
            return self.conductivity * (1 + off)
        foam = FOAMS[self.material]
        return draws.between(f"{box} foam" if box else f"foam {self.material}",
                             foam.lowest, foam.highest)


@dataclass(frozen=True)
class Wishes:
    """What is wanted, in plain numbers; None where it was not said.

    Parameters
    ----------
    ambient, inside : float
        Hottest ambient to build for, and what is to be held there. [°C]
    footing : tuple of float
        Ambient and inside on which steps are judged. [°C]
    usable : float or None
        Litres that are to be filled. [L]
    room : tuple of float or None
        Largest outside: the space less the air it asks for. [m]
    load, load_start : float
        Warm goods put in at a time, as water, and how warm. [kg], [°C]
    night : float or None
        To ride through on ice alone. [h]
    coldest, energy, price : float or None
        The musts: at most. [°C], [Wh/d], [currency]
    boards : tuple of Board
    currency : str
    """

    ambient: float
    inside: float
    footing: tuple[float, float]
    usable: float | None
    room: tuple[float, float, float] | None
    load: float
    load_start: float
    night: float | None
    coldest: float | None
    energy: float | None
    price: float | None
    boards: tuple[Board, ...]
    currency: str


def wishes_of(campaign: Campaign) -> Wishes:
    """What the campaign's sheet asks of a new build, with what follows from its other tables.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    Wishes

    References
    ----------
    .. [1] This kit's own definition.
    """
    sheet = campaign.sheet
    asked, musts, at = sheet.design, sheet.musts, sheet.footing
    footing = (_value(at, "ambient", 25.0), _value(at, "inside", 4.0))
    ambient = _value(asked, "ambient", footing[0])
    usable = _value(asked, "usable", _value(musts, "usable_at_least"))
    night = _value(asked, "night")
    return Wishes(
        ambient, _value(asked, "inside", footing[1]), footing, usable, room_of(campaign),
        load=_value(asked, "load", 0.0), load_start=_value(asked, "load_start", ambient),
        night=None if night is None else night / 3600,
        coldest=_value(musts, "coldest_at_most"), energy=_value(musts, "daily_energy_at_most"),
        price=_value(musts, "price_at_most"), boards=_boards(sheet.board),
        currency=sheet.money.currency if sheet.money else "",
    )


def room_of(campaign: Campaign) -> tuple[float, float, float] | None:
    """Largest outside of a box that opens on top: the space less the air around it.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    tuple of float or None
        Width, depth, height; None without a space. [m]

    References
    ----------
    .. [1] This kit's own definition, as in :mod:`coldbench.compare.space`.
    """
    space = campaign.sheet.space
    if space is None:
        return None
    sides, back, front, top = (_value(space.clearance, name, 0.0)
                               for name in ("sides", "back", "front", "top"))
    front = 0.0 if "front" in space.open else front
    top = 0.0 if "top" in space.open else top
    whole = [getattr(space, side).value for side in SIDES]
    taken = (2 * sides, back + front, top)
    return tuple((length - air) / 1000 for length, air in zip(whole, taken, strict=True))


def fits_room(
    outside: Sequence[float], room: Sequence[float] | None
) -> bool | None:
    """Whether something fits a room, as it stands or turned; None without a room.

    Parameters
    ----------
    outside, room : sequence of float
        Width, depth and height. [m]

    Returns
    -------
    bool or None

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> fits_room((0.6, 0.4, 0.4), (0.4, 0.6, 0.4)), fits_room((0.6, 0.4, 0.5), (0.6, 0.4, 0.4))
    (True, False)
    """
    if room is None:
        return None
    most = [side + SLACK for side in room]
    width, depth, height = outside
    flat = (width <= most[0] and depth <= most[1]) or (depth <= most[0] and width <= most[1])
    return bool(flat and height <= most[2])


def _boards(stated: list[BoardSheet]) -> tuple[Board, ...]:
    if not stated:
        return tuple(Board(name, t / 1000) for name in USUAL for t in THICKNESSES)
    return tuple(
        Board(one.material, one.thickness.value / 1000, _value(one, "conductivity"),
              _value(one, "price"), one.layers or LAYERS) for one in stated)


def _value(table: object, name: str, missing: float | None = None) -> float | None:
    stated = getattr(table, name, None)
    return stated.value if isinstance(stated, Quantity) else missing
