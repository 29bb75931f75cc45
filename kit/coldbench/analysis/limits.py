"""Limits and assumptions of the analyses, in one place; the report prints them all."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """Defaults of definitions, each this kit's own unless a source stands beside it.

    The steadiness rule follows the block idea of IEC 62552-3:2015; its limits here are this kit's
    own (the standard's were not at hand).
    """

    smoothing: float = 600.0  # centred mean of a pull-down curve [s]
    smoothing_step_most: float = 300.0  # above this step native samples are used [s]
    start_difference: float = 1.0  # starts further apart are not comparable [K]
    level_watts: float = 3.0  # two levels differ by at least this [W]
    level_share: float = 0.20  # … and by this share of the upper level [-]
    run_in: float = 60.0  # first part of each run, left out of running power [s]
    block_cycles: int = 3  # cycles in a block, at least
    block_inside: float = 0.3  # neighbouring blocks differ at most by [K]
    block_power: float = 0.03  # … [-]
    block_ambient: float = 0.5  # … [K]
    slope_inside: float = 0.1  # continuous machine: (ambient − inside) drifts at most [K/h]
    slope_power: float = 0.01  # … power, relative [1/h]
    slope_ambient: float = 0.3  # … ambient [K/h]
    slope_window: float = 2.0  # … over at least [h]
    energy_per_kelvin: float = 0.065  # energy of a 4 °C box for a kelvin of ambient [1/K]
    plateau_leave: float = 0.5  # the centre has left the plateau by [K]
    plateau_slope: float = 0.1  # a steeper plateau is called sloping [K/h]
    jump: float = 0.4  # end of supercooling: a rise by at least [K]
    coverage_doubt: float = 95.0  # marked below [%]
    coverage_bounds: float = 80.0  # bounds only below [%]
    ambient_typed: float = 1.0  # limit of a typed ambient, assumed [K]
    filling: float = 0.03  # limit of a nominal filling, assumed [-]
    scale: float = 0.01  # limit of a weighed mass, assumed [-]
    tape: float = 2.0  # limit of a taped length, assumed [mm]
    electrical: float = 0.02  # limit of a typed electrical quantity, assumed [-]
    spread_energy: float = 0.03  # run to run, assumed, standard uncertainty [-]
    spread_temperature: float = 0.3  # … [K]
    spread_time: float = 0.05  # … [-]


LIMITS = Limits()
