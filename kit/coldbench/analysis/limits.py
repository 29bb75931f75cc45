"""Limits and assumptions of the analyses, in one place; the report prints them all."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from coldbench.logs.levels import LEVEL_SHARE, LEVEL_WATTS
from coldbench.logs.sync import APART


def _limit(value: float, what: str, unit: str) -> Any:
    return field(default=value, metadata={"what": what, "unit": unit})


@dataclass(frozen=True)
class Limits:
    """Defaults of definitions, each this kit's own unless a source stands beside it.

    The steadiness rule follows the block idea of IEC 62552-3:2015; its limits here are this kit's
    own (the standard's were not at hand). Each field's metadata say what it is and its unit.
    """

    smoothing: float = _limit(600.0, "Centred mean of a pull-down curve", "s")
    smoothing_points: float = _limit(10.0, "… its points lie a sample apart, or as near to", "s")
    smoothing_step_most: float = _limit(300.0, "Native samples are used above this step", "s")
    start_difference: float = _limit(1.0, "Starts further apart are not compared", "K")
    level_watts: float = _limit(LEVEL_WATTS, "Running and idle differ by at least", "W")
    level_share: float = _limit(LEVEL_SHARE, "… and by this share of running", "-")
    bucket_shape: float = _limit(300.0, "Longer intervals of energy tell no cycles", "s")
    count_line: float = _limit(600.0, "A counter runs straight between readings closer than", "s")
    count_open: float = _limit(0.2, "… and gives bounds where it leaves open more than", "-")
    run_in: float = _limit(60.0, "First part of each spell, left out of running power", "s")
    block_cycles: int = _limit(3, "Cycles in a block, at least", "-")
    block_inside: float = _limit(0.3, "Neighbouring blocks: inside differs at most by", "K")
    block_power: float = _limit(0.03, "… power, relative", "-")
    block_ambient: float = _limit(0.5, "… ambient", "K")
    slope_inside: float = _limit(0.1, "No break: (ambient − inside) drifts less than", "K/h")
    slope_power: float = _limit(0.01, "… power, relative", "1/h")
    slope_ambient: float = _limit(0.3, "… ambient", "K/h")
    slope_window: float = _limit(2.0, "… over at least", "h")
    energy_per_kelvin: float = _limit(0.065, "Energy a kelvin of ambient, short windows", "1/K")
    plateau_band: float = _limit(0.5, "The freezing plateau begins within", "K")
    plateau_leave: float = _limit(0.5, "The centre has left the freezing plateau by", "K")
    plateau_slope: float = _limit(0.1, "A steeper plateau is called sloping", "K/h")
    jump: float = _limit(0.4, "End of supercooling: a rise by at least", "K")
    clocks: float = _limit(APART, "Clocks of loggers that no mark ties together differ by", "s")
    coverage_doubt: float = _limit(95.0, "Coverage is marked below", "%")
    coverage_bounds: float = _limit(80.0, "Coverage gives bounds only below", "%")
    ambient_typed: float = _limit(1.0, "Limit of a typed ambient, assumed", "K")
    bath_settling: float = _limit(0.5, "Same-place check: share of a bath left for settling", "-")
    bath_leaving: float = _limit(0.1, "… and its end, since clocks differ", "-")
    bath_blocks: int = _limit(6, "… blocks of the rest, whose spread is its scatter", "-")
    bath_far: float = _limit(3.0, "… a probe further off was not in the bath", "K")
    ice_bath: float = _limit(0.1, "… limit of stirred ice water about 0 °C, assumed", "K")
    ice_places: float = _limit(0.02, "… limit between places in it, assumed", "K")
    air_places: float = _limit(0.05, "… limit between places in still air, assumed", "K")
    quiet_moved: float = _limit(0.3, "… proposed windows: all probes change by less", "K")
    quiet_over: float = _limit(300.0, "… over", "s")
    quiet_near: float = _limit(1.5, "… near to 0 °C, or to their middle, within", "K")
    quiet_shortest: float = _limit(480.0, "… for at least", "s")
    clock_step: float = _limit(5.0, "… clocks are told by steps of at least", "K")
    clock_hand: float = _limit(2.0, "… probes are moved together within, assumed", "s")
    filling: float = _limit(0.03, "Limit of a nominal filling, assumed", "-")
    scale: float = _limit(0.01, "Limit of a weighed mass, assumed", "-")
    tape: float = _limit(2.0, "Limit of a taped length, assumed", "mm")
    electrical: float = _limit(0.02, "Limit of a typed electrical quantity, assumed", "-")
    leak_difference: float = _limit(10.0, "Heater: a smaller difference is remarked", "K")
    warm_up_from: float = _limit(7200.0, "Warm-up counts from switch-off plus", "s")
    warm_up_lost: float = _limit(0.25, "… and needs this share of the difference lost", "-")
    loads_apart: float = _limit(2.0, "Two loads: their heat differs at least by a factor", "-")
    model_heater: float = _limit(0.02, "Heat leak: limit of the method, heater (from trial)", "-")
    model_warm_up: float = _limit(0.03, "… warm-up", "-")
    model_ice: float = _limit(0.02, "… ice melt", "-")
    model_two_loads: float = _limit(0.06, "… two loads", "-")
    model_capacity: float = _limit(0.02, "Cooling capacity: limit of one probe for all air", "-")
    load_unlogged: float = _limit(0.10, "… of a load not logged, as a share of the heat leak", "-")
    auxiliary_most: float = _limit(0.5, "Auxiliary not stated: at most this share of power", "-")
    fan_inside_most: float = _limit(2.0, "Heat of a fan inside, where not stated, at most", "W")
    model_hold: float = _limit(0.05, "Modelled hold time: limit of the method (from trial)", "-")
    load_film: float = _limit(0.45, "… film at a load that no warm-up shows", "W/(K kg)")
    load_film_limit: float = _limit(0.25, "… its limit (handbook films, 0.33 to 2 L)", "W/(K kg)")
    structure: float = _limit(0.30, "Limit of modelled structure heat", "-")
    structure_assumed: float = _limit(0.50, "… where the liner is not stated", "-")
    module_sheet: float = _limit(0.15, "Conductance of a module by its data sheet, assumed", "-")
    cold_side_least: float = _limit(0.2, "… inside air to the cold faces, assumed, from", "K/W")
    cold_side_most: float = _limit(0.8, "… to", "K/W")
    hot_side_least: float = _limit(0.3, "… hot faces to ambient, fans standing, from", "K/W")
    hot_side_most: float = _limit(2.0, "… to", "K/W")
    bridge_leaves: float = _limit(0.2, "… leaves the walls at least this share", "-")
    wet_ice: float = _limit(0.02, "Share of ice that is water when weighed, at most", "-")
    end_told: float = _limit(0.05, "Free end level: the later half tells it within", "-")
    told_apart: float = _limit(0.98, "Fit: parameters are told apart below a correlation of", "-")
    inside_apart: float = _limit(1.0, "Energies are not compared: insides further apart", "K")
    ambient_apart: float = _limit(1.5, "… ambients", "K")
    load_apart: float = _limit(0.05, "… loads, relative", "-")
    freedom: int = _limit(4, "Degrees of freedom from which a seen spread stands alone", "-")
    law_exponent: float = _limit(1.5, "Footing: power follows the difference to the power of", "-")
    law_doubt: float = _limit(0.25, "… standard uncertainty", "-")
    footing_machine: float = _limit(6.0, "… machine curve: ambients at least apart", "K")
    footing_ambients: float = _limit(3.0, "… two measured ambients: at least apart", "K")
    footing_inside: float = _limit(3.0, "… both: insides off the footing's by at most", "K")
    footing_beyond: float = _limit(2.0, "… both: the footing beyond them by at most", "K")
    footing_far: float = _limit(10.0, "… power law: an interval only when moved by more than", "K")
    footing_near: float = _limit(0.5, "… held as measured: within", "K")
    capacity_follows: float = _limit(0.03, "… capacity a kelvin of inside, assumed", "1/K")
    capacity_doubt: float = _limit(0.02, "… its limit", "1/K")
    coldest_follows: float = _limit(0.3, "… coldest a kelvin of ambient: one, within", "-")
    auxiliary_unknown: float = _limit(0.2, "… auxiliary not stated: at most, of the power", "-")
    ice_holds: float = _limit(0.5, "Ice holds no inside at or below", "°C")
    ice_maker: float = _limit(2.0, "COP of an ice maker, assumed", "-")
    ice_maker_doubt: float = _limit(0.7, "… its limit", "-")
    by_chance: float = _limit(0.05, "Of all verdicts on one finding, wrong by chance at most", "-")
    spread_energy: float = _limit(0.03, "Run to run, assumed standard uncertainty: energy", "-")
    spread_temperature: float = _limit(0.3, "… temperature", "K")
    spread_time: float = _limit(0.05, "… time", "-")


LIMITS = Limits()
