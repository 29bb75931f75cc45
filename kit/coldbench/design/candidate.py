"""Boxes that could be built, the machines that could cool them, and their parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coldbench.design.expected import Unit
from coldbench.physics.box import Box, even_box


@dataclass(frozen=True)
class Part:
    """A part by its kind.

    Parameters
    ----------
    name : str
    count : float
        How many or how much. [unit]
    unit : str
        ``""`` for pieces, ``m²``, ``m`` …
    price : float or None
        Of all of it. [currency]
    note : str
    """

    name: str
    count: float = 1.0
    unit: str = ""
    price: float | None = None
    note: str = ""


@dataclass(frozen=True)
class Machine:
    """What could cool the box, at one drive.

    Parameters
    ----------
    key, label : str
        Short, and in words.
    kind : {"thermoelectric", "compressor"}
    unit : ThermoelectricUnit or CompressorUnit
        Its constants as single numbers.
    room : tuple of float
        Taken of width, depth and height outside by radiator or compressor bay. [m]
    price : float or None
        Of all its parts. [currency]
    parts : tuple of Part
    lowest : float
        No colder inside is said of it: the coldest that its own runs stand for. [°C]
    """

    key: str
    label: str
    kind: Literal["thermoelectric", "compressor"]
    unit: Unit
    room: tuple[float, float, float] = (0.0, 0.0, 0.0)
    price: float | None = None
    parts: tuple[Part, ...] = ()
    lowest: float = -np.inf


@dataclass(frozen=True)
class Candidates:
    """Boxes with a machine, one an entry of flat arrays.

    Attributes
    ----------
    machine, board : ndarray of int
        Which of those given.
    layers : ndarray of int
        Boards glued together in every wall.
    wall : ndarray
        Thickness, the same all round. [m]
    width, depth, height : ndarray
        Inside. [m]
    outside_width, outside_depth, outside_height : ndarray
        Of the box, without the room of its machine. [m]
    litres : ndarray
        Usable. [L]
    leak : ndarray
        Walls and what leaks beyond them, ambient and inside as wanted. [W/K]
    coldest : ndarray
        Inside at full drive in the hottest ambient, without warm goods. [°C]
    energy : ndarray
        Each day to hold the wanted inside there, warm goods among it; NaN where it cannot. [Wh/d]
    duty : ndarray
        Then. [-]
    price : ndarray
        Machine and boards; NaN where one has none. [currency]
    area : ndarray
        Of board in the walls, each layer counted. [m²]
    mass : ndarray
        Of that board. [kg]
    """

    machine: np.ndarray
    board: np.ndarray
    layers: np.ndarray
    wall: np.ndarray
    width: np.ndarray
    depth: np.ndarray
    height: np.ndarray
    outside_width: np.ndarray
    outside_depth: np.ndarray
    outside_height: np.ndarray
    litres: np.ndarray
    leak: np.ndarray
    coldest: np.ndarray
    energy: np.ndarray
    duty: np.ndarray
    price: np.ndarray
    area: np.ndarray
    mass: np.ndarray

    def __len__(self) -> int:
        return len(self.machine)

    def box(self, index: int) -> Box:
        """The box of one of them."""
        inside = (float(side[index]) for side in (self.width, self.depth, self.height))
        return even_box(*inside, float(self.wall[index]))
