"""One step of all simulated boxes: thermostat, machine, wall, air, and what they give each other.

The air is so light that it is solved implicitly, two places at a time; the flows it then gives are
what the heavier nodes receive, so that no heat is lost between steps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench.bench.boxes import FOAM_PER_KELVIN, FOAM_REFERENCE, Case, column
from coldbench.bench.loads import Loads
from coldbench.bench.machines import gather, read_map, run_modules

AIR_HEAT = 1.2  # a litre of air [J/(L K)]
LONG_AGO = 1.0e9  # [s]


@dataclass(frozen=True)
class Outside:
    """What acts on the boxes during one step, arrays (n_cases,)."""

    room: np.ndarray  # [°C]
    powered: np.ndarray
    heater: np.ndarray  # [W]
    exchange: np.ndarray  # [W/K]


class Bench:
    """States of n boxes and how a step changes them."""

    def __init__(self, cases: Sequence[Case], room: np.ndarray, dt: float) -> None:
        self.dt, n = dt, len(cases)
        boxes = [case.box for case in cases]
        self.liner_heat = column(boxes, "liner_heat")
        self.foam_heat = column(boxes, "foam_heat") / 3
        self.per_third = 3 / column(boxes, "foam_resistance")
        self.film_out = column(boxes, "film_outside")
        self.film_half = column(boxes, "film_inside") / 2  # each air place sees half the liner
        self.seal, self.mixing = column(boxes, "seal"), column(boxes, "mixing")
        self.air_heat = AIR_HEAT * column(boxes, "litres") / 2
        self.machines = gather(cases)
        self.has_map = self.machines.capacity.any(axis=1)
        self.has_machine = np.array([case.machine is not None for case in cases])
        controls = [case.thermostat for case in cases]
        self.on_at, self.off_at = column(controls, "on_at"), column(controls, "off_at")
        self.senses_cold = column(controls, "on_evaporator").astype(bool)
        self.rest, self.lag = column(controls, "rest"), column(controls, "lag")
        start = column(cases, "start")
        self.warm, self.cold, self.liner, self.plate, self.sensed = (start.copy() for _ in range(5))
        self.foam = np.repeat(start[:, None], 3, axis=1)
        self.hot = room.copy()
        self.loads = Loads(cases)
        self.on, self.ramp = np.zeros(n, dtype=bool), np.zeros(n)
        self.stood = np.full(n, LONG_AGO)

    @property
    def air(self) -> np.ndarray:
        """Air at the centre. [°C]"""
        return 0.5 * (self.warm + self.cold)

    @property
    def dry_heat(self) -> np.ndarray:
        """Heat content of everything but the loads and the hot side. [J]"""
        box = self.liner_heat * self.liner + self.foam_heat * self.foam.sum(axis=1)
        air = self.air_heat * (self.warm + self.cold)
        return box + air + self.machines.cold_heat * self.plate

    def step(self, t: np.ndarray, outside: Outside) -> tuple[np.ndarray, ...]:
        """Step all boxes once.

        Parameters
        ----------
        t : ndarray, shape (n,)
            Begin of the step. [s]
        outside : Outside

        Returns
        -------
        power, leak, machine, inside : ndarray, shape (n,)
            Means over the step, as in ``History.flows``. [W]
        """
        started = self._switch(outside.powered)
        by_modules, module_power = run_modules(self.machines, self.on, self.plate, self.hot)
        by_map = read_map(self.machines.capacity, self.plate, outside.room) * self.ramp
        power = self._power(module_power, started, outside)
        wall = self._wall(outside.room)
        past_lid = self.seal + outside.exchange
        inside = self.machines.fan_inside * outside.powered + outside.heater
        to_load = self.loads.film * (t[:, None] >= self.loads.put_in)
        self._air(to_load, past_lid, inside, outside.room)

        self._pass_on(to_load, wall, by_map + by_modules, t)
        fans = np.where(self.on, self.machines.hot, self.machines.hot_still)
        rejected = fans * (self.hot - outside.room)
        self.hot = self.hot + self.dt / self.machines.hot_heat * (
            by_modules + module_power - rejected
        )
        leak = wall[:, 3] + past_lid * (outside.room - self.warm)
        return power, leak, by_map + by_modules, inside

    def _switch(self, powered: np.ndarray) -> np.ndarray:
        """Thermostat: who runs in this step; returns who has just started."""
        seen = np.where(self.senses_cold, self.plate, self.air)
        self.sensed = self.sensed + self.dt / (self.dt + self.lag) * (seen - self.sensed)
        wanted = (self.sensed >= self.on_at) | (self.on & (self.sensed > self.off_at))
        may_start = powered & self.has_machine & (self.stood >= self.rest)
        started = may_start & wanted & ~self.on
        self.on = (self.on & wanted & powered) | started
        self.stood = np.where(self.on, 0.0, self.stood + self.dt)
        ramp = self.ramp + self.dt / self.machines.ramp * (1.0 - self.ramp)
        self.ramp = np.where(self.on, ramp, 0.0)
        return started

    def _power(self, module_power: np.ndarray, started: np.ndarray, outside: Outside) -> np.ndarray:
        """Electrical power; a compressor's map is of the whole unit, electronics included."""
        always = (self.machines.idle + self.machines.fan_inside) * outside.powered
        modules = always + (module_power + self.machines.fan_outside) * self.on
        unit = read_map(self.machines.power, self.plate, outside.room)
        running = np.where(self.on & self.has_map, unit, modules)
        return running + started * self.machines.start_extra / self.dt

    def _wall(self, room: np.ndarray) -> np.ndarray:
        """Heat flows inwards: foam to liner, between the foam nodes, room to foam. [W]"""
        inner = np.concatenate([self.liner[:, None], self.foam], axis=1)
        outer = np.concatenate([self.foam, room[:, None]], axis=1)
        warmth = 1 + FOAM_PER_KELVIN * (0.5 * (inner + outer) - FOAM_REFERENCE)
        through = self.per_third[:, None] * warmth
        # Half a third of the foam lies before the first node and after the last.
        through[:, 0] *= 2
        through[:, 3] = 1 / (1 / (2 * through[:, 3]) + 1 / self.film_out)
        return through * (outer - inner)

    def _air(
        self, to_load: np.ndarray, past_lid: np.ndarray, inside: np.ndarray, room: np.ndarray
    ) -> None:
        """Both air places at the end of the step, from everything else at its beginning."""
        warm_load = to_load * self.loads.warm_share
        cold_load = to_load - warm_load
        held, plate = self.air_heat / self.dt, self.machines.cold_film
        at_warm = held + self.mixing + self.film_half + warm_load.sum(axis=1) + past_lid
        at_cold = held + self.mixing + self.film_half + cold_load.sum(axis=1) + plate
        shell, liner = self.loads.shell_at, self.film_half * self.liner
        warm = held * self.warm + liner + (warm_load * shell).sum(axis=1) + past_lid * room
        cold = held * self.cold + liner + (cold_load * shell).sum(axis=1)
        cold = cold + plate * self.plate + inside
        determinant = at_warm * at_cold - self.mixing * self.mixing
        self.warm = (warm * at_cold + self.mixing * cold) / determinant
        self.cold = (cold * at_warm + self.mixing * warm) / determinant

    def _pass_on(
        self, to_load: np.ndarray, wall: np.ndarray, taken: np.ndarray, t: np.ndarray
    ) -> None:
        """Give the heavier nodes what the new air and the wall bring them."""
        seen = self.loads.warm_share * self.warm[:, None]
        seen = seen + (1 - self.loads.warm_share) * self.cold[:, None]
        to_shell = to_load * (seen - self.loads.shell_at)
        to_liner = self.film_half * (self.warm + self.cold - 2 * self.liner)
        to_plate = self.machines.cold_film * (self.cold - self.plate)
        self.liner = self.liner + self.dt / self.liner_heat * (to_liner + wall[:, 0])
        self.foam = self.foam + self.dt / self.foam_heat[:, None] * np.diff(wall, axis=1)
        self.plate = self.plate + self.dt / self.machines.cold_heat * (to_plate - taken)
        self.loads.step(to_shell, t, self.dt)
