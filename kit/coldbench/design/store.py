"""Ice and eutectic packs: kilograms that carry a box through a night or a market day unpowered."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.design.limits import DESIGN
from coldbench.physics.water import CP_ICE, LATENT_HEAT

HOUR = 3600.0


@dataclass(frozen=True)
class Store:
    """What melts, and what a kilogram of it takes up.

    Parameters
    ----------
    name : str
        What it is, by its make-up.
    melts : float
        [°C]
    latent : float
        Heat of melting. [J/kg]
    latent_limit : float
        Limit of that. [-]
    solid : float
        Heat capacity while frozen. [J/(kg K)]
    source : str
        Where the numbers come from.
    """

    name: str
    melts: float
    latent: float
    latent_limit: float
    solid: float
    source: str

    def latent_draws(self) -> np.ndarray:
        """Draws of the heat of melting, shape (4000,). [J/kg]"""
        return self.latent * (1 + draws.uniform(f"latent heat of {self.name}", self.latent_limit))


MEMORY = "from memory; what a pack's maker states comes before it"
STORES = (
    Store("ice", 0.0, LATENT_HEAT, 0.002, CP_ICE,
          "IAPWS R6-95 and R10-06, as in coldbench.physics.water"),
    Store("potassium chloride in water, 19.5 % by mass", -10.7, 283e3, 0.05, 2000.0, MEMORY),
    Store("sodium chloride in water, 23.3 % by mass", -21.2, 230e3, 0.05, 1900.0, MEMORY),
    Store("tetradecane", 5.9, 227e3, 0.05, 1800.0, f"{MEMORY}; a paraffin, combustible"),
)


@dataclass(frozen=True)
class Ride:
    """A store for some hours without power.

    Parameters
    ----------
    store : Store
    hours : float
        [h]
    inside, ambient : float
        Means of that time. [°C]
    mass : ndarray, shape (4000,)
        [kg]
    area : ndarray, shape (4000,)
        Surface of the packs that the air must reach, for the heat to pass at this inside. [m²]
    """

    store: Store
    hours: float
    inside: float
    ambient: float
    mass: np.ndarray
    area: np.ndarray


def store_mass(
    latent: ArrayLike, solid: ArrayLike, melts: ArrayLike, leak: ArrayLike, inside: ArrayLike,
    ambient: ArrayLike, hours: ArrayLike, extra: ArrayLike = 0.0, start: ArrayLike | None = None,
) -> np.ndarray:
    """Mass that has just melted when the hours are over.

    Parameters
    ----------
    latent : array_like
        [J/kg]
    solid : array_like
        [J/(kg K)]
    melts : array_like
        [°C]
    leak : array_like
        Heat leak of the box with its machine off. [W/K]
    inside, ambient : array_like
        Means. [°C]
    hours : array_like
        [h]
    extra : array_like
        Heat that comes in besides, as a mean: goods put in warm, openings. [W]
    start : array_like, optional
        Of the store, where it is colder than it melts. [°C]

    Returns
    -------
    ndarray
        Infinite where it melts at the inside or above it. [kg]

    Notes
    -----
    ``(leak (T_ambient − T_inside) + extra) t / (latent + c (T_melts − T_start))``. What the melt
    takes up on its way to the inside is not counted: it is what is left when all has melted.

    References
    ----------
    .. [1] First law; this kit's own arrangement.

    Examples
    --------
    >>> mass = store_mass(333.5e3, 2050.0, 0.0, leak=0.5, inside=4.0, ambient=24.0, hours=10.0)
    >>> float(mass.round(3))  # 100 Wh
    1.079
    """
    heat = (np.asarray(leak) * (np.asarray(ambient) - inside) + extra) * HOUR * np.asarray(hours)
    colder = 0.0 if start is None else np.maximum(np.asarray(melts) - start, 0.0)
    mass = np.maximum(heat, 0.0) / (np.asarray(latent) + np.asarray(solid) * colder)
    return np.where(np.asarray(melts) < inside, mass, np.inf)


def rides(
    leak: np.ndarray, inside: float, ambient: float, hours: float, extra: float = 0.0
) -> list[Ride]:
    """Each store that can hold an inside through some hours, the one that melts warmest first.

    Parameters
    ----------
    leak : ndarray, shape (4000,)
        Heat leak of the box with its machine off: modules let heat back in. [W/K]
    inside, ambient : float
        Means. [°C]
    hours : float
        [h]
    extra : float
        Heat that comes in besides, as a mean. [W]

    Returns
    -------
    list of Ride
        Only of stores that melt far enough below the inside for their heat to pass.

    References
    ----------
    .. [1] :func:`store_mass`; film of the air at the packs as at a load, this kit's own limits.
    """
    film = draws.between("film at packs", LIMITS.film_least, LIMITS.film_most)
    heat = np.maximum(leak * (ambient - inside) + extra, 0.0)
    found = []
    for store in sorted(STORES, key=lambda one: -one.melts):
        apart = inside - store.melts
        if apart >= DESIGN.store_apart:
            mass = store_mass(store.latent_draws(), store.solid, store.melts, leak, inside,
                              ambient, hours, extra)
            found.append(Ride(store, hours, inside, ambient, mass, heat / (film * apart)))
    return found
