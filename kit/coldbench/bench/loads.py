"""The water of all cases, stepped by its heat content."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coldbench.bench import freezing
from coldbench.bench.boxes import Case, Load, column

ABSENT = Load(water=1.0, film=0.0, start=20.0)  # fills the table where a case has fewer loads


class Loads:
    """Heat contents of shell and core of each load: arrays (n_cases, most loads of a case)."""

    def __init__(self, cases: Sequence[Case]) -> None:
        most = max(1, *(len(case.loads) for case in cases))
        rows = [[*case.loads, *[ABSENT] * (most - len(case.loads))] for case in cases]

        def table(name: str) -> np.ndarray:
            return np.array([column(row, name) for row in rows])

        self.counts = [len(case.loads) for case in cases]
        self.water, self.container = table("water"), table("container_heat")
        self.film, self.warm_share = table("film"), table("warm_share")
        self.nucleation, self.put_in = table("nucleation"), table("put_in")
        self.shell_water = freezing.SHELL_SHARE * self.water
        self.core_water = self.water - self.shell_water
        frozen, start = table("frozen").astype(bool), table("start")
        self.seeded = frozen
        self.shell = freezing.content_at(start, self.shell_water, self.container, frozen)
        self.core = freezing.content_at(start, self.core_water, 0.0, frozen)
        self.nucleated = np.full(self.water.shape, np.nan)
        self._look()

    def _look(self) -> None:
        """Temperatures and ice from the heat contents."""
        self.shell_at = freezing.temperature(
            self.shell, self.shell_water, self.container, self.seeded
        )
        self.core_at = freezing.temperature(self.core, self.core_water, 0.0, self.seeded)
        self._shell_ice = freezing.ice_share(self.shell, self.shell_water, self.seeded)

    def step(self, from_air: np.ndarray, t: np.ndarray, dt: float) -> None:
        """Take up heat from the air, pass it on within, begin or end freezing.

        Parameters
        ----------
        from_air : ndarray, shape (n, loads)
            [W]
        t : ndarray, shape (n,)
            Begin of the step. [s]
        dt : float
            [s]
        """
        per_kg = freezing.STIRRED + (freezing.FROZEN - freezing.STIRRED) * self._shell_ice
        inward = per_kg * self.water * (self.shell_at - self.core_at)
        self.shell = self.shell + dt * (from_air - inward)
        self.core = self.core + dt * inward
        self._look()
        begins = ~self.seeded & (np.minimum(self.shell_at, self.core_at) <= self.nucleation)
        melted = self.seeded & (self.shell > 0) & (self.core > 0)
        if begins.any() or melted.any():
            first = begins & np.isnan(self.nucleated)
            self.nucleated = np.where(first, t[:, None] + dt, self.nucleated)
            self.seeded = (self.seeded | begins) & ~melted
            self._look()

    @property
    def ice(self) -> np.ndarray:
        """Share of each load that is ice. [-]"""
        core = freezing.ice_share(self.core, self.core_water, self.seeded)
        return (self._shell_ice * self.shell_water + core * self.core_water) / self.water
