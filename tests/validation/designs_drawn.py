"""Coolers to be measured and boxes to be built after them, drawn by seed.

The present cooler has a run for its heat leak, one at its coldest and mostly one or two at a
setting. The new box has other litres, walls and often another foam. A compressor unit is moved
into it whole; modules keep their plates, and may become more or fewer, get another hot side or be
driven by less than their full volts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from leaks import draw_room, heater_run, warm_up_runs
from machines_drawn import LEAST_DIFFERENCE, SWING, still, thermostat_at

from coldbench.bench import (
    Box,
    Case,
    Compressor,
    Run,
    Thermoelectric,
    Truth,
    cans,
    foam_box,
    simulate,
)
from coldbench.bench.boxes import FOAM_PER_KELVIN, FOAM_REFERENCE
from coldbench.design.limits import DESIGN
from coldbench.physics.materials import FOAM_MEAN, FOAMS

SHAPE = np.array([1.7, 1.2, 1.0])  # sides of a box of the simulator
BOARDS = {"compressor": ("PUR", "PIR", "XPS"), "thermoelectric": ("XPS", "EPS", "PIR")}
SEAL = (0.02, 0.06)  # past the lid, for each metre of its rim [W/(m K)]
HAND = 0.3  # the same builder's next seal is better or worse by at most [-]
SAME_FOAM, SAME_LOT = 0.6, 0.5  # share of new boxes; of these, boards left over from before
SECOND_ROOM = 0.6  # share of compressor coolers that are also run in a warmer room
DECLARED = 0.75  # share of other foams with a declared conductivity, right within its limit
OUT = 0.75  # share of thermoelectric coolers whose modules are taken out for the heat leak
THAWED = 2.5  # coldest inside from which a load of water stands in with modules [°C]
HELD = 0.8  # share of thermoelectric coolers that have a run at a setting
LOGGED = 0.7  # … whose hot side is logged; and, independently, whose fans were metered
LOWERED = (0.45, 0.7)  # volts that hold the inside, of full ones
WARMEST = 8.0  # design ambient above that of the room, at most [K]


@dataclass(frozen=True)
class Wall:
    """Foam of a box: what its sheet says, and what it truly conducts."""

    foam: str
    thickness: float  # [m]
    conductivity: float  # at 24 °C [W/(m K)]
    declared: float | None = None  # [W/(m K)]
    left_over: bool = False  # known to be of the lot of the present box


@dataclass(frozen=True)
class Build:
    """A box that is to be built, and its machine.

    ``hot_side`` is what is stated of a new hot side [K/W]; ``driven`` is the share of full volts
    that holds the inside, where they are not switched.
    """

    litres: float
    wall: Wall
    box: Box
    machine: Compressor | Thermoelectric
    hot_side: float | None = None
    driven: float | None = None


@dataclass(frozen=True)
class Drawn:
    """A present cooler, its runs, and the box that is designed after it."""

    number: int
    technology: str
    litres: float
    wall: Wall
    box: Box
    machine: Compressor | Thermoelectric
    leak: Run
    coldest: Case
    loads: list[dict[str, object]]
    held: Case | None
    far: Case | None
    setting: float
    logged: bool
    metered: bool
    build: Build
    ambient: float  # of the design [°C]
    inside: float  # that it is to hold [°C]


def draw(numbers: range, seed: int) -> list[Drawn]:
    """Coolers of some numbers; each is the same whichever others are drawn."""
    firsts = [_First(number, np.random.default_rng([seed, number])) for number in numbers]
    cases = [Case(one.box, one.machine, room=still(t), start=t - 10, hours=18.0)
             for one in firsts for t in (one.room, one.room + one.warmer + SWING)]
    lowest = [Truth(history).lowest_mean("air") for history in simulate(cases, dt=20.0)]
    return [one.drawn(*lowest[2 * i: 2 * i + 2]) for i, one in enumerate(firsts)]


def sides(litres: float) -> np.ndarray:
    """Inside of a box: width, depth, height. [m]"""
    return SHAPE * (litres / 1000 / SHAPE.prod()) ** (1 / 3)


def rim(litres: float) -> float:
    """Of its lid. [m]"""
    return 2 * float(sides(litres)[:2].sum())


class _First:
    """What of a present cooler is drawn before anything is simulated."""

    def __init__(self, number: int, rng: np.random.Generator) -> None:
        self.number, self.rng = number, rng
        self.technology = str(rng.choice(["compressor", "thermoelectric"]))
        litres, walls = {"compressor": ((14, 50), (30, 60)),
                         "thermoelectric": ((7, 30), (30, 55))}[self.technology]
        self.litres = float(rng.uniform(*litres))
        self.wall = _wall(rng, str(rng.choice(BOARDS[self.technology])),
                          float(rng.uniform(*walls)) / 1000)
        self.seal = float(rng.uniform(*SEAL))
        self.box = _box(rng, self.litres, self.wall, self.seal)
        self.machine = (_compressor if self.technology == "compressor" else _modules)(
            rng, self.box)
        self.room, self.warmer = float(rng.uniform(17, 23)), float(rng.uniform(7, 10))

    def drawn(self, here: float, warmest: float) -> Drawn:
        """Its runs and the design; ``here`` and ``warmest`` are its coldest in its rooms. [°C]"""
        rng, room = self.rng, self.room
        lowest, highest = max(warmest + 2 * SWING, -18.0), room - LEAST_DIFFERENCE - 0.5
        can_hold = lowest <= highest
        setting = round(float(rng.uniform(lowest, max(lowest, highest))), 1)
        compressor = self.technology == "compressor"
        held = can_hold and (compressor or rng.uniform() < HELD)
        load, told = cans(int(rng.integers(1, 4)), 330.0, "PET", 24.0, room)
        # Water that stays half frozen for days tells nothing of the machine.
        loaded = compressor or here > THAWED
        coldest = Case(self.box, self.machine, (load,) if loaded else (), start=room, hours=34.0,
                       room=replace(draw_room(rng), mean=room,
                                    daily=float(1.2 * rng.uniform() ** 2)))
        near = replace(coldest, loads=(), thermostat=thermostat_at(rng, setting),
                       start=setting + float(rng.uniform(0, 3)), hours=28.0)
        far = replace(near, room=replace(near.room, mean=room + self.warmer))
        twice = compressor and held and rng.uniform() < SECOND_ROOM
        logged, metered = (bool(rng.uniform() < LOGGED) for _ in range(2))
        leak, build = self._leak(), self._build()
        ambient = room + float(rng.uniform(0, WARMEST))
        about = setting if can_hold else here + 3
        inside = min(about + float(rng.uniform(-3, 3)), ambient - LEAST_DIFFERENCE)
        return Drawn(
            self.number, self.technology, self.litres, self.wall, self.box, self.machine, leak,
            coldest, [told] if loaded else [], near if held else None, far if twice else None,
            setting, logged, metered, build, ambient, inside)

    def _leak(self) -> Run:
        """With the modules out, or with the machine off."""
        rng = self.rng
        out = self.technology == "thermoelectric" and rng.uniform() < OUT
        cold = (self.machine.evaporator_heat if self.technology == "compressor"
                else self.machine.cold_heat)
        whole = self.box if out else replace(self.box, liner_heat=self.box.liner_heat + cold)
        run = heater_run(rng, whole) if rng.uniform() < 0.5 else warm_up_runs(rng, whole)[0]
        if out:
            return replace(run, id="leak")
        case = replace(run.case, box=self.box, machine=self.machine, power_off=0.0)
        return replace(run, id="leak", case=case, sheet=run.sheet | {"machine": "off"})

    def _build(self) -> Build:
        rng = self.rng
        litres = self.litres * float(rng.uniform(0.6, 1.6))
        thickness = round(self.wall.thickness * float(rng.uniform(0.8, 1.8)) * 200) / 200
        if rng.uniform() < SAME_FOAM:
            wall = _wall(rng, self.wall.foam, thickness)
            if rng.uniform() < SAME_LOT:
                wall = replace(wall, conductivity=self.wall.conductivity, left_over=True)
        else:
            other = [foam for foam in BOARDS[self.technology] if foam != self.wall.foam]
            wall = _wall(rng, str(rng.choice(other)), thickness)
        if not wall.left_over and rng.uniform() < DECLARED:
            off = 1 + float(rng.uniform(-1, 1)) * DESIGN.foam_declared
            wall = replace(wall, declared=wall.conductivity * off)
        box = _box(rng, litres, wall, self.seal * float(rng.uniform(1 - HAND, 1 + HAND)))
        build = Build(litres, wall, box, self.machine)
        return build if self.technology == "compressor" else _other_drive(rng, build)


def _wall(rng: np.random.Generator, foam: str, thickness: float) -> Wall:
    kind = FOAMS[foam]
    return Wall(foam, thickness, float(rng.uniform(kind.lowest, kind.highest)))


def _box(rng: np.random.Generator, litres: float, wall: Wall, seal: float) -> Box:
    at_ten = wall.conductivity / (1 + FOAM_PER_KELVIN * (FOAM_MEAN - FOAM_REFERENCE))
    return foam_box(litres, wall.thickness, at_ten, seal=seal * rim(litres),
                    mixing=float(rng.uniform(2.0, 4.0)))


def _compressor(rng: np.random.Generator, box: Box) -> Compressor:
    unit = Compressor()
    size = box.heat_leak * 45 / 20 * float(rng.uniform(0.9, 1.5))
    thirst = size**0.8 * float(rng.uniform(0.9, 1.15))
    return replace(
        unit, capacity=(*(c * size for c in unit.capacity[:3]), unit.capacity[3]),
        power=(*(c * thirst for c in unit.power[:3]), unit.power[3]),
        idle=float(rng.uniform(0.6, 2.5)), evaporator_heat=float(rng.uniform(600, 1800)),
        evaporator_film=3.8 * size)


def _modules(rng: np.random.Generator, box: Box) -> Thermoelectric:
    """Single modules at full volts, or pairs in series at half of them.

    Sides of more modules are better, but not as many times as there are modules.
    """
    series = int(rng.choice([1, 2]))
    count = series * int(np.ceil(box.heat_leak * 25 / (11 if series == 1 else 14)))
    sides_better = float(np.sqrt(count))
    return Thermoelectric(
        count=count, series=series, i_max=float(rng.uniform(5.0, 6.5)),
        v_max=float(rng.uniform(15.0, 16.5)), dt_max=float(rng.uniform(64, 69)),
        volts=float(rng.uniform(10.8, 12.6)),
        hot_resistance=float(rng.uniform(0.25, 0.45)) / sides_better,
        hot_resistance_still=1.6 / sides_better, hot_heat=600.0 * count,
        cold_film=float(rng.uniform(2.0, 3.0)) * sides_better,
        cold_heat=float(rng.uniform(250, 500)) * count,
        fan_outside=float(rng.uniform(1.5, 3.0)) * count)


def _other_drive(rng: np.random.Generator, build: Build) -> Build:
    """A string more or less, another hot side, volts that are lowered: each of them or none."""
    unit, stated, driven = build.machine, None, None
    if rng.uniform() < 0.4:
        more = unit.series * int(rng.choice([-1, 1]))
        unit = replace(unit, count=max(unit.count + more, unit.series))
    if rng.uniform() < 0.4:
        stated = unit.hot_resistance * float(rng.uniform(0.5, 0.9))
        true = stated * (1 + float(rng.uniform(-1, 1)) * DESIGN.hot_side_stated)
        unit = replace(unit, hot_resistance=true,
                       fan_outside=unit.fan_outside * float(rng.uniform(0.8, 2.0)))
    if rng.uniform() < 0.3:
        driven = float(rng.uniform(*LOWERED))
    return replace(build, machine=unit, hot_side=stated, driven=driven)
