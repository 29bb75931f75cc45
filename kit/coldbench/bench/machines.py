"""What moves heat out of a simulated box: a compressor unit by its map, thermoelectric modules.

Every function works on arrays over the cases. A case that has no such machine carries zeros and
so moves nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench.bench.boxes import Case, Compressor, Thermoelectric, column

KELVIN = 273.15
START = 3.0  # length of a start peak [s]


@dataclass(frozen=True)
class Machines:
    """Machines of all cases, one array an attribute; the cold node serves both kinds."""

    capacity: np.ndarray  # (n, 4)
    power: np.ndarray  # (n, 4)
    ramp: np.ndarray
    alpha: np.ndarray  # one module [V/K]
    resistance: np.ndarray  # one module [ohm]
    conductance: np.ndarray  # one module [W/K]
    count: np.ndarray
    volts: np.ndarray  # one module [V]
    hot: np.ndarray  # hot faces to room, fans running [W/K]
    hot_still: np.ndarray  # fans standing [W/K]
    hot_heat: np.ndarray  # [J/K]
    cold_film: np.ndarray  # cold node to cold air [W/K]
    cold_heat: np.ndarray  # [J/K]
    fan_inside: np.ndarray  # [W]
    fan_outside: np.ndarray  # [W]
    idle: np.ndarray  # [W]
    start_extra: np.ndarray  # electrical energy of a start beyond running [J]


def module_constants(
    i_max: np.ndarray, v_max: np.ndarray, dt_max: np.ndarray, t_hot: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Seebeck coefficient, resistance and heat conductance of a module from its data sheet.

    Parameters
    ----------
    i_max, v_max, dt_max, t_hot : ndarray
        Data-sheet values; current [A], voltage [V], difference [K], hot side [K].

    Returns
    -------
    alpha, resistance, conductance : ndarray
        [V/K], [ohm], [W/K]

    Notes
    -----
    ``alpha = Vm / Th``, ``R = Vm (Th − dTm) / (Im Th)``, ``K = Vm Im (Th − dTm) / (2 Th dTm)``;
    widely published, here from memory.
    """
    alpha = v_max / t_hot
    resistance = v_max * (t_hot - dt_max) / (i_max * t_hot)
    conductance = v_max * i_max * (t_hot - dt_max) / (2 * t_hot * dt_max)
    return alpha, resistance, conductance


def gather(cases: Sequence[Case]) -> Machines:
    """Machines of the cases as arrays.

    Parameters
    ----------
    cases : sequence of Case
        n of them.

    Returns
    -------
    Machines
    """
    cool = [c.machine if isinstance(c.machine, Compressor) else None for c in cases]
    peltier = [c.machine if isinstance(c.machine, Thermoelectric) else None for c in cases]
    has_modules = np.array([one is not None for one in peltier])
    sheet = [column(peltier, name, 1.0) for name in ("i_max", "v_max", "dt_max")]
    with np.errstate(divide="ignore"):
        constants = module_constants(*sheet, column(peltier, "t_hot", 27.0) + KELVIN)
    alpha, resistance, conductance = constants
    count = column(peltier, "count")
    return Machines(
        capacity=_map_columns(cool, "capacity"),
        power=_map_columns(cool, "power"),
        ramp=column(cool, "ramp", 1.0e9),
        alpha=alpha * has_modules,
        resistance=resistance,
        conductance=conductance * has_modules,
        count=count,
        volts=column(peltier, "volts") / column(peltier, "series", 1.0),
        hot=1 / column(peltier, "hot_resistance", 1.0),
        hot_still=1 / column(peltier, "hot_resistance_still", 1.0),
        hot_heat=column(peltier, "hot_heat", 1.0e6),
        cold_film=column(cool, "evaporator_film") + column(peltier, "cold_film"),
        cold_heat=np.maximum(column(cool, "evaporator_heat") + column(peltier, "cold_heat"), 1.0),
        fan_inside=column(peltier, "fan_inside"),
        fan_outside=column(peltier, "fan_outside"),
        idle=column(cool, "idle") + column(peltier, "idle"),
        start_extra=START * column(cool, "peak"),
    )


def _map_columns(units: list[Compressor | None], name: str) -> np.ndarray:
    return np.array([(0.0,) * 4 if one is None else getattr(one, name) for one in units])


def read_map(coefficients: np.ndarray, cold: np.ndarray, room: np.ndarray) -> np.ndarray:
    """Value of a compressor map.

    Parameters
    ----------
    coefficients : ndarray, shape (n, 4)
        See ``Compressor``.
    cold, room : ndarray, shape (n,)
        Evaporator and room. [°C]

    Returns
    -------
    ndarray, shape (n,)
        Never below zero. [W]
    """
    c0, c1, c2, c3 = coefficients.T
    value = (c0 + cold * (c1 + cold * c2)) * (1 + c3 * (room - 25.0))
    return np.maximum(value, 0.0)


def run_modules(
    machines: Machines, on: np.ndarray, cold: np.ndarray, hot: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Heat taken at the cold faces and electrical power of all modules of a case.

    Parameters
    ----------
    machines : Machines
        Of n cases.
    on : ndarray of bool, shape (n,)
        Modules powered; otherwise they are open and only conduct.
    cold, hot : ndarray, shape (n,)
        Faces. [°C]

    Returns
    -------
    heat, power : ndarray, shape (n,)
        [W]

    Notes
    -----
    ``I = (V − α ΔT) / R``, ``Qc = α I Tc − I² R / 2 − K ΔT``, ``P = V I``; widely published.
    """
    difference = hot - cold
    current = np.where(
        on, (machines.volts - machines.alpha * difference) / machines.resistance, 0.0
    )
    pumped = machines.alpha * current * (cold + KELVIN)
    joule = 0.5 * current * current * machines.resistance
    heat = machines.count * (pumped - joule - machines.conductance * difference)
    return heat, machines.count * machines.volts * current
