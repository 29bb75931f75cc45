"""What stands on the simulated bench: boxes, machines, loads, rooms and how a run is set up.

Plain numbers, frozen. The physics that uses them is in ``simulate``; no law of the analyses is
known here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

FOAM_REFERENCE = 10.0  # mean wall temperature at which a foam resistance is stated [°C]
FOAM_PER_KELVIN = 0.004  # rise of foam conductivity; common practice, no source [1/K]
NEVER = float("inf")


@dataclass(frozen=True)
class Box:
    """A foam box as heat sees it, from the inside air outwards."""

    litres: float  # air space [L]
    liner_heat: float  # [J/K]
    foam_heat: float  # [J/K]
    foam_resistance: float  # liner to outer skin, wall at 10 °C [K/W]
    film_inside: float  # air to liner, whole area [W/K]
    film_outside: float  # outer skin to room, whole area [W/K]
    seal: float = 0.05  # lid seal and lead-throughs, straight from room to warm air [W/K]
    mixing: float = 2.0  # exchange between the warm and the cold air place [W/K]

    @property
    def heat_leak(self) -> float:
        """Steady heat leak with the wall at 10 °C, by series resistance. [W/K]"""
        wall = 1 / self.film_inside + self.foam_resistance + 1 / self.film_outside
        return 1 / wall + self.seal


def foam_box(
    litres: float, thickness: float, conductivity: float, seal: float = 0.05, mixing: float = 2.0
) -> Box:
    """A box of a common shape from its litres and its foam.

    Parameters
    ----------
    litres : float
        Inside volume. [L]
    thickness : float
        Foam. [m]
    conductivity : float
        Of the foam at 10 °C. [W/(m K)]
    seal : float
        Heat leak past the lid. [W/K]
    mixing : float
        Exchange between the two air places. [W/K]

    Returns
    -------
    Box
        With films of 6 (inside) and 8 W/(m² K) (outside), a 2 mm plastic liner, foam of 35 kg/m³.

    Notes
    -----
    The mean wall area is the geometric mean of inner and outer area of a box with sides
    1.7 : 1.2 : 1. This kit's own choice.
    """
    height = (litres / 1000 / (1.7 * 1.2)) ** (1 / 3)
    sides = np.array([1.7, 1.2, 1.0]) * height
    inner = 2 * (sides[0] * sides[1] + sides[1] * sides[2] + sides[0] * sides[2])
    outer_sides = sides + 2 * thickness
    outer = 2 * (
        outer_sides[0] * outer_sides[1]
        + outer_sides[1] * outer_sides[2]
        + outer_sides[0] * outer_sides[2]
    )
    foam_kg = 35.0 * (outer_sides.prod() - sides.prod())
    return Box(
        litres=litres,
        liner_heat=float(inner * 0.002 * 900 * 1900),
        foam_heat=float(foam_kg * 1400),
        foam_resistance=float(thickness / (conductivity * np.sqrt(inner * outer))),
        film_inside=float(6 * inner),
        film_outside=float(8 * outer),
        seal=seal,
        mixing=mixing,
    )


@dataclass(frozen=True)
class Compressor:
    """A compressor unit by its map: polynomials in the evaporator and the room temperature.

    ``capacity = (c0 + c1 Te + c2 Te²) (1 + c3 (Ta − 25))``, ``power`` alike. Invented values.
    """

    capacity: tuple[float, float, float, float] = (54.0, 1.85, 0.020, -0.008)  # [W], Te, Ta in °C
    power: tuple[float, float, float, float] = (51.5, 0.25, 0.001, 0.010)  # [W]
    ramp: float = 40.0  # time constant of the capacity after a start [s]
    idle: float = 1.5  # control electronics [W]
    peak: float = 60.0  # extra draw of a start, for three seconds [W]
    evaporator_heat: float = 1500.0  # [J/K]
    evaporator_film: float = 3.2  # evaporator to cold air [W/K]


@dataclass(frozen=True)
class Thermoelectric:
    """A thermoelectric unit from the data sheet of its modules."""

    count: int = 1
    series: int = 1  # modules in a string; the strings are in parallel
    i_max: float = 6.0  # [A]
    v_max: float = 15.4  # [V]
    dt_max: float = 67.0  # [K]
    t_hot: float = 27.0  # hot side of the data sheet [°C]
    volts: float = 12.0  # across a string [V]
    hot_resistance: float = 0.5  # hot faces to room, fans running [K/W]
    hot_resistance_still: float = 1.6  # fans standing [K/W]
    hot_heat: float = 500.0  # [J/K]
    cold_film: float = 2.2  # cold faces to cold air [W/K]
    cold_heat: float = 300.0  # [J/K]
    fan_inside: float = 0.8  # runs while powered; all of it warms the inside [W]
    fan_outside: float = 2.0  # fans and pump of the hot side, while the modules run [W]
    idle: float = 0.4  # controller, always on while powered [W]


Machine = Compressor | Thermoelectric | None


@dataclass(frozen=True)
class Thermostat:
    """On at or above one temperature, off at or below another; the default never switches off."""

    on_at: float = -300.0  # [°C]
    off_at: float = -300.0  # [°C]
    on_evaporator: bool = False  # senses the evaporator (cold plate) instead of the air
    rest: float = 180.0  # shortest standstill [s]
    lag: float = 60.0  # time constant of the sensor [s]


@dataclass(frozen=True)
class Load:
    """Water in containers, put in together."""

    water: float  # [kg]
    container_heat: float = 0.0  # [J/K]
    film: float = 0.8  # to the air [W/K]
    start: float = 24.0  # [°C]
    nucleation: float = -0.1  # first ice when some of the water is this cold [°C]
    warm_share: float = 0.5  # share of the film that sees the warm air
    frozen: bool = False  # ice at the start
    put_in: float = 0.0  # after power on; it waits outside till then [s]


@dataclass(frozen=True)
class Room:
    """Ambient: a mean, a daily sine and slow irregular drift."""

    mean: float = 24.5  # [°C]
    daily: float = 0.8  # amplitude [K]
    drift: float = 0.2  # standard deviation of the slow part [K]
    warmest: float = 6.0  # hours after power on at which the sine peaks [h]
    seed: int = 0

    def at(self, t: np.ndarray) -> np.ndarray:
        """Room temperature at times after power on.

        Parameters
        ----------
        t : ndarray
            [s]

        Returns
        -------
        ndarray
            [°C]
        """
        rng = np.random.default_rng([20310601, self.seed])
        periods = 3600 * np.array([3.1, 4.7, 7.3, 11.9, 17.3])
        phases = rng.uniform(0, 2 * np.pi, periods.size)
        waves = np.sin(2 * np.pi * t[:, None] / periods + phases)
        slow = waves.sum(axis=1) * self.drift * np.sqrt(2 / periods.size)
        day = self.daily * np.cos(2 * np.pi * (t / 3600 - self.warmest) / 24)
        return self.mean + day + slow


@dataclass(frozen=True)
class Case:
    """One run on the bench: a box with its machine, what is in it, and what is done."""

    box: Box
    machine: Machine = None
    loads: tuple[Load, ...] = ()
    thermostat: Thermostat = Thermostat()
    room: Room = Room()
    hours: float = 24.0  # after power on [h]
    lead: float = 1200.0  # logged before power on [s]
    start: float = 24.0  # inside, walls and machine at the beginning [°C]
    power_off: float = NEVER  # after power on [s]
    heater: float = 0.0  # inside heater, from power on [W]
    openings: tuple[tuple[float, float], ...] = ()  # (begin after power on [s], length [s])
    open_exchange: float = 4.0  # warm air to room while the lid is open [W/K]


def with_spread(case: Case, rng: np.random.Generator, spread: float = 0.025) -> Case:
    """The same run on another day: what nobody controls is a little different each time.

    Parameters
    ----------
    case : Case
        The nominal run.
    rng : Generator
        Source of the spread.
    spread : float
        Relative standard deviation of wall, films, capacity and sink. [-]

    Returns
    -------
    Case
    """

    def scaled(thing: object, *names: str) -> object:
        factors = 1 + spread * np.clip(rng.standard_normal(len(names)), -2.5, 2.5)
        changes = {n: getattr(thing, n) * float(f) for n, f in zip(names, factors, strict=True)}
        return replace(thing, **changes)

    box = scaled(case.box, "foam_resistance", "film_inside", "seal", "mixing")
    machine = case.machine
    if isinstance(machine, Compressor):
        factor = 1 + spread * float(np.clip(rng.standard_normal(), -2.5, 2.5))
        drawn = 1 + 0.5 * spread * float(np.clip(rng.standard_normal(), -2.5, 2.5))
        machine = replace(
            machine,
            capacity=(*(c * factor for c in machine.capacity[:3]), machine.capacity[3]),
            power=(*(c * drawn for c in machine.power[:3]), machine.power[3]),
        )
    elif isinstance(machine, Thermoelectric):
        machine = scaled(machine, "hot_resistance", "cold_film")
        machine = replace(machine, volts=machine.volts * (1 + 0.2 * spread * rng.uniform(-1, 1)))
    loads = tuple(scaled(load, "film") for load in case.loads)
    return replace(case, box=box, machine=machine, loads=loads)


def column(things: Sequence[object], name: str, missing: float = 0.0) -> np.ndarray:
    """One attribute of many things, as an array over the cases.

    Parameters
    ----------
    things : sequence
        One a case, or None where a case has no such thing.
    name : str
        Attribute.
    missing : float
        Where there is none. [as the attribute]

    Returns
    -------
    ndarray, shape (n_cases, …)
    """
    sample = next((getattr(one, name) for one in things if one is not None), missing)
    absent = tuple(missing for _ in sample) if isinstance(sample, tuple) else missing
    values = [absent if one is None else getattr(one, name) for one in things]
    return np.array(values, dtype=float)
