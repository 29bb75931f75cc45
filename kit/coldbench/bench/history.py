"""What happened in one simulated run: dense, exact, before any instrument has seen it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class History:
    """States and flows of one run.

    States have one value an instant (n + 1), flows one value a step (n), the mean over the step
    that begins at the instant of the same index.

    Parameters
    ----------
    t : ndarray, shape (n + 1,)
        Instants, 0 at power on. [s]
    states : dict of ndarray, shape (n + 1,)
        ``air`` (centre of the box), ``air_warm``, ``air_cold``, ``ambient``, ``cold_side``,
        ``hot_side``, ``wall`` (middle of the foam), ``load``, ``load_2`` … (core of each load),
        ``load_shell`` …, ``ice`` … (share of each load). [°C, -]
    flows : dict of ndarray, shape (n,)
        ``power`` (electrical), ``leak`` (room to box through wall, seal and lid), ``machine`` (heat
        taken by the machine), ``inside`` (fan and heater within). [W]
    on : ndarray of bool, shape (n,)
        Compressor or modules running.
    taken : ndarray, shape (n_loads, n + 1)
        Heat given up by each load's water since the beginning. [J]
    taken_container : ndarray, shape (n_loads, n + 1)
        Heat given up by its containers. [J]
    stored : ndarray, shape (n + 1,)
        Heat content of box, air, machine's cold side and loads. [J]
    nucleated : ndarray, shape (n_loads,)
        When the first ice formed; NaN if never. [s]
    water : ndarray, shape (n_loads,)
        Water in each load. [kg]
    """

    t: np.ndarray
    states: dict[str, np.ndarray]
    flows: dict[str, np.ndarray]
    on: np.ndarray
    taken: np.ndarray
    taken_container: np.ndarray
    stored: np.ndarray
    nucleated: np.ndarray
    water: np.ndarray

    @property
    def step(self) -> float:
        """Time step. [s]"""
        return float(self.t[1] - self.t[0])

    @property
    def energy(self) -> np.ndarray:
        """Electrical energy since the beginning, at each instant. [J]"""
        return np.concatenate([[0.0], np.cumsum(self.flows["power"].astype(float)) * self.step])

    def state(self, place: str) -> np.ndarray:
        """One state at all instants, in double precision."""
        return self.states[place].astype(float)
