"""Step many simulated runs through time at once and keep what happened.

The only loop is over time; every state is an array over the cases.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coldbench.bench.boxes import Case, Thermoelectric
from coldbench.bench.history import History
from coldbench.bench.schedule import schedule, step_count
from coldbench.bench.stepping import Bench, Outside

PLACES = ("air", "air_warm", "air_cold", "ambient", "wall", "cold_side", "hot_side")
FLOWS = ("power", "leak", "machine", "inside")


def simulate(cases: Sequence[Case], dt: float = 10.0) -> list[History]:
    """Run cases on the bench, all at once.

    Parameters
    ----------
    cases : sequence of Case
        n of them; they may differ in everything, length included.
    dt : float
        Time step; 10 s is what the lightest nodes bear well. [s]

    Returns
    -------
    list of History
        One a case, in order.
    """
    plan = schedule(cases, dt)
    bench = Bench(cases, plan.ambient[:, 0], dt)
    kept = _Kept(bench, plan.t.shape[1] - 1)
    kept.look(0, plan.ambient[:, 0])
    for k in range(plan.t.shape[1] - 1):
        outside = Outside(
            plan.ambient[:, k], plan.powered[:, k], plan.heater[:, k], plan.exchange[:, k]
        )
        kept.flows[:, :, k] = bench.step(plan.t[:, k], outside)
        kept.on[:, k] = bench.on
        kept.look(k + 1, plan.ambient[:, k + 1])
    return [
        kept.history(case, row, plan.t[row, : step_count(case, dt) + 1])
        for row, case in enumerate(cases)
    ]


class _Kept:
    """Arrays (what, case, instant) that fill up as time goes on; heat in double precision."""

    def __init__(self, bench: Bench, steps: int) -> None:
        n, water = bench.on.size, bench.loads.water.shape
        self.bench = bench
        self.places = np.empty((len(PLACES), n, steps + 1), dtype=np.float32)
        self.flows = np.empty((len(FLOWS), n, steps), dtype=np.float32)
        self.on = np.empty((n, steps), dtype=bool)
        self.loads = np.empty((3, *water, steps + 1), dtype=np.float32)
        self.heat = np.empty((*water, steps + 1))
        self.container_heat = np.empty((*water, steps + 1))
        self.dry_heat = np.empty((n, steps + 1))

    def look(self, k: int, room: np.ndarray) -> None:
        """Keep the states at one instant."""
        bench, loads = self.bench, self.bench.loads
        middle = bench.foam[:, 1]
        self.places[:, :, k] = (
            bench.air, bench.warm, bench.cold, room, middle, bench.plate, bench.hot,
        )  # fmt: skip
        self.loads[:, :, :, k] = loads.core_at, loads.shell_at, loads.ice
        self.heat[:, :, k] = loads.shell + loads.core
        self.container_heat[:, :, k] = loads.container * loads.shell_at
        self.dry_heat[:, k] = bench.dry_heat

    def history(self, case: Case, row: int, t: np.ndarray) -> History:
        """One case's part, cut to its own length."""
        instants, steps, count = t.size, t.size - 1, len(case.loads)
        states = {name: self.places[i, row, :instants] for i, name in enumerate(PLACES)}
        if case.machine is None:
            del states["cold_side"]
        if not isinstance(case.machine, Thermoelectric):
            del states["hot_side"]
        for load in range(count):
            ending = "" if load == 0 else f"_{load + 1}"
            for i, name in enumerate(("load", "load_shell", "ice")):
                states[name + ending] = self.loads[i, row, load, :instants]
        heat = self.heat[row, :count, :instants]
        container = self.container_heat[row, :count, :instants]
        water = heat - container
        nucleated = self.bench.loads.nucleated[row, :count]
        return History(
            t=t,
            states=states,
            flows={name: self.flows[i, row, :steps] for i, name in enumerate(FLOWS)},
            on=self.on[row, :steps],
            taken=water[:, :1] - water,
            taken_container=container[:, :1] - container,
            stored=self.dry_heat[row, :instants] + heat.sum(axis=0),
            # A shorter case is stepped on with the others; what then freezes is not its own.
            nucleated=np.where(nucleated <= t[-1], nucleated, np.nan),
            water=self.bench.loads.water[row, :count],
        )
