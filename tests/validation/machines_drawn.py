"""Powered and passive boxes drawn by seed: what stands on the bench, and what is done with it.

Each gets a run for its heat leak and, with a machine, two steady runs of one setting in rooms some
kelvin apart. The footing lies 7 K above the cooler room; what the cooler draws there is simulated
too, and no log is kept of it. Some machines cannot hold what the footing asks.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from leaks import draw_room, heater_run, warm_up_runs

from coldbench.bench import (
    Box,
    Case,
    Compressor,
    History,
    Load,
    Room,
    Run,
    Thermoelectric,
    Thermostat,
    Truth,
    cans,
    foam_box,
    simulate,
)
from coldbench.bench.boxes import Machine

MOVED = 7.0  # from the cooler room to the footing [K]
LEAST_DIFFERENCE = 10.0  # inside below the cooler room, at least [K]
SHARES = {"compressor": 0.42, "thermoelectric": 0.46, "passive": 0.12}
CANNOT_HOLD = 0.12  # share of the powered boxes
WEAK = 0.4  # size of a machine that cannot, of that of others
CLEAR = 2.0  # coldest at the footing's ambient above its inside: surely not held [K]
SWING = 1.5  # of a thermostat's switching points about its setting [K]


@dataclass(frozen=True)
class Cooler:
    """One box before anything was simulated.

    ``leak`` says how its heat leak is measured: with the machine ``out``, ``off``, or without one.
    """

    number: int
    technology: str
    box: Box
    machine: Machine
    leak: Run
    room: float  # mean of the cooler room [°C]
    warmer: float  # the other room above it [K]
    cannot: bool
    rng: np.random.Generator

    @property
    def footing(self) -> float:
        """Ambient of the footing. [°C]"""
        return self.room + MOVED


@dataclass(frozen=True)
class Plan:
    """What is done with a powered box: its setting (None: the coldest), and what is to be held."""

    cooler: Cooler
    setting: float | None
    near: Case  # the steady run in the cooler room
    loads: list[dict[str, object]]
    far: Case | None = None  # the same in the warmer one
    at_footing: Case | None = None  # what it draws at the footing; None: it cannot hold that
    to_hold: float = np.nan  # inside of the footing, where it cannot hold it [°C]


def draw_cooler(number: int, seed: int) -> Cooler:
    """Box, machine and heat-leak run of a number."""
    rng = np.random.default_rng([seed, number])
    technology = str(rng.choice(list(SHARES), p=list(SHARES.values())))
    cannot = bool(rng.uniform() < CANNOT_HOLD)
    box = _box(rng, technology)
    machine = _machine(rng, technology, box, WEAK if cannot else 1.0)
    out = technology == "passive" or technology == "thermoelectric" and rng.uniform() < 0.6
    # The structure to whose heat a load is chosen: the machine's cold side is part of it.
    whole = box if out else replace(box, liner_heat=box.liner_heat + _cold_side(machine))
    leak = heater_run(rng, whole) if rng.uniform() < 0.5 else warm_up_runs(rng, whole)[0]
    if not out:
        case = replace(leak.case, box=box, machine=machine, power_off=0.0)
        leak = replace(leak, case=case, sheet=leak.sheet | {"machine": "off"})
    return Cooler(
        number, technology, box, machine, replace(leak, id="leak"),
        room=float(rng.uniform(16, 22)), warmer=float(rng.uniform(MOVED, 10.0)),
        cannot=cannot, rng=rng,
    )  # fmt: skip


def _cold_side(machine: Machine) -> float:
    """[J/K]"""
    if isinstance(machine, Compressor):
        return machine.evaporator_heat
    return machine.cold_heat


def _box(rng: np.random.Generator, technology: str) -> Box:
    litres, wall, conductivity = {
        "compressor": ((12, 60), (0.030, 0.055), (0.023, 0.030)),
        "thermoelectric": ((5, 35), (0.025, 0.050), (0.030, 0.036)),
        "passive": ((5, 60), (0.020, 0.055), (0.023, 0.034)),
    }[technology]
    return foam_box(
        float(rng.uniform(*litres)), float(rng.uniform(*wall)), float(rng.uniform(*conductivity)),
        seal=float(rng.uniform(0.03, 0.08)), mixing=float(rng.uniform(2.0, 4.0)),
    )  # fmt: skip


def _machine(rng: np.random.Generator, technology: str, box: Box, share: float) -> Machine:
    if technology == "compressor":
        return _compressor(rng, box, share)
    if technology == "passive":
        return None
    count = int(np.ceil(share * box.heat_leak * 25 / 11))
    return Thermoelectric(
        count=count,
        i_max=float(rng.uniform(5.0, 6.5)),
        v_max=float(rng.uniform(15.0, 16.5)),
        dt_max=float(rng.uniform(64, 69)),
        volts=float(rng.uniform(8.5, 12.5)),
        hot_resistance=float(rng.uniform(0.25, 0.45)) / count,
        hot_resistance_still=1.6 / count,
        hot_heat=600.0 * count,
        cold_film=float(rng.uniform(2.0, 3.0)) * count,
        cold_heat=float(rng.uniform(250, 500)) * count,
    )  # fmt: skip


def _compressor(rng: np.random.Generator, box: Box, share: float) -> Compressor:
    unit = Compressor()
    size = share * box.heat_leak * 45 / 20 * rng.uniform(0.9, 1.5)
    thirst = size**0.8 * rng.uniform(0.9, 1.15)
    return replace(
        unit,
        capacity=(*(c * size for c in unit.capacity[:3]), unit.capacity[3]),
        power=(*(c * thirst for c in unit.power[:3]), unit.power[3]),
        idle=float(rng.uniform(0.6, 2.5)),
        evaporator_heat=float(rng.uniform(600, 1800)),
        evaporator_film=3.8 * size,
    )


def plans(coolers: list[Cooler]) -> dict[int, Plan]:
    """What is done with each powered cooler, after how cold it gets in its rooms."""
    powered = [c for c in coolers if c.machine is not None]
    # The warmer room is not still: its warmest hours count.
    rooms = [(c.room, c.footing, c.room + c.warmer + SWING) for c in powered]
    cases = [Case(c.box, c.machine, room=still(t), start=t - 10, hours=18.0)
             for c, three in zip(powered, rooms, strict=True) for t in three]
    lowest = [Truth(history).lowest_mean("air") for history in simulate(cases)]
    return {c.number: _plan(c, *lowest[3 * i: 3 * i + 3]) for i, c in enumerate(powered)}


def _plan(cooler: Cooler, here: float, there: float, warmest: float) -> Plan:
    """Setting and runs; a machine too weak for any setting here is one that cannot hold.

    ``here``, ``there`` and ``warmest`` are the coldest in the cooler room, at the footing and in
    the warmer room. [°C]
    """
    rng = cooler.rng
    bounds = max(warmest + 2 * SWING, -18.0), cooler.room - LEAST_DIFFERENCE - 0.5
    if cooler.cannot or bounds[0] > bounds[1]:
        return _weak(cooler, here, there)
    setting = round(float(rng.uniform(*bounds)), 1)
    thermostat = thermostat_at(rng, setting)
    loads, sheet = _loads(rng, setting)
    start = setting + float(rng.uniform(0, 3))
    near, far = (
        Case(cooler.box, cooler.machine, loads, thermostat=thermostat, start=start, hours=28.0,
             room=replace(draw_room(rng), mean=mean, daily=float(1.2 * rng.uniform() ** 2)))
        for mean in (cooler.room, cooler.room + cooler.warmer)
    )
    # Nobody's setting is just the footing's inside.
    aside = float(rng.uniform(-1, 1))
    moved = replace(thermostat, on_at=thermostat.on_at + aside, off_at=thermostat.off_at + aside)
    truth = replace(near, thermostat=moved, room=still(cooler.footing), loads=(), hours=24.0)
    return Plan(cooler, setting, near, sheet, far, truth)


def _weak(cooler: Cooler, here: float, there: float) -> Plan:
    """One run in the cooler room, at the coldest or at a setting that is just held there."""
    rng = cooler.rng
    near = Case(cooler.box, cooler.machine, start=cooler.room - 8, hours=28.0,
                room=replace(draw_room(rng), mean=cooler.room))
    too_cold = there - float(rng.uniform(CLEAR + 0.5, 3 * CLEAR))
    if rng.uniform() < 0.5:
        return Plan(cooler, None, near, [], to_hold=too_cold)
    setting = round(here + SWING + float(rng.uniform(0.5, 1.5)), 1)
    return Plan(cooler, setting, replace(near, thermostat=thermostat_at(rng, setting)), [],
                to_hold=min(too_cold, setting))


def thermostat_at(rng: np.random.Generator, setting: float) -> Thermostat:
    """A thermostat with its own swing and lag."""
    half = float(rng.uniform(0.7, SWING))
    return Thermostat(setting + half, setting - half, lag=float(rng.uniform(100, 400)))


def _loads(
    rng: np.random.Generator, setting: float
) -> tuple[tuple[Load, ...], list[dict[str, object]]]:
    """A few cans where they do not freeze."""
    count = int(rng.integers(0, 5))
    if setting < 3 or not count:
        return (), []
    load, sheet = cans(count, 330.0, "aluminium", 13.0, setting + 1)
    return (load,), [sheet]


def still(mean: float) -> Room:
    """A room that keeps its temperature."""
    return Room(mean=mean, daily=0.0, drift=0.0)


def settled(history: History) -> tuple[float, float]:
    """Mean inside and mean power of the last half day, in whole cycles. [°C], [W]"""
    truth = Truth(history)
    span = last_cycles(history)
    return truth.mean("air", *span), truth.mean_power(*span)


def last_cycles(history: History) -> tuple[float, float]:
    """Whole cycles of the last half day; all of it without a break. [s]"""
    last = float(history.t[-1])
    starts = Truth(history).starts(last - 12 * 3600, last)
    return (starts[0], starts[-1]) if len(starts) > 2 else (last - 12 * 3600, last)
