"""Limits and assumptions of the analyses, in one place; the report prints them all."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from coldbench.logs.levels import LEVEL_SHARE, LEVEL_WATTS
from coldbench.logs.sync import APART


def limit(value: float, what: str, unit: str) -> Any:
    """A limit with its default, as a field of a table of limits.

    Parameters
    ----------
    value : float
        Default. [unit]
    what : str
        What it is, for the report to print.
    unit : str
        Its unit, ``"-"`` for none.

    References
    ----------
    .. [1] This kit's own definition.
    """
    return field(default=value, metadata={"what": what, "unit": unit})


@dataclass(frozen=True)
class Limits:
    """Defaults of definitions, each this kit's own unless a source stands beside it.

    The steadiness rule follows the block idea of IEC 62552-3:2015; its limits here are this kit's
    own (the standard's were not at hand). Each field's metadata say what it is and its unit.
    """

    smoothing: float = limit(600.0, "Centred mean of a pull-down curve", "s")
    smoothing_points: float = limit(10.0, "… its points lie a sample apart, or as near to", "s")
    smoothing_step_most: float = limit(300.0, "Native samples are used above this step", "s")
    start_difference: float = limit(1.0, "Starts further apart are not compared", "K")
    level_watts: float = limit(LEVEL_WATTS, "Running and idle differ by at least", "W")
    level_share: float = limit(LEVEL_SHARE, "… and by this share of running", "-")
    bucket_shape: float = limit(300.0, "Longer intervals of energy tell no cycles", "s")
    count_line: float = limit(600.0, "A counter runs straight between readings closer than", "s")
    count_open: float = limit(0.2, "… and gives bounds where it leaves open more than", "-")
    run_in: float = limit(60.0, "First part of each spell, left out of running power", "s")
    block_cycles: int = limit(3, "Cycles in a block, at least", "-")
    block_inside: float = limit(0.3, "Neighbouring blocks: inside differs at most by", "K")
    block_power: float = limit(0.03, "… power, relative", "-")
    block_ambient: float = limit(0.5, "… ambient", "K")
    slope_inside: float = limit(0.1, "No break: (ambient − inside) drifts less than", "K/h")
    slope_power: float = limit(0.01, "… power, relative", "1/h")
    slope_ambient: float = limit(0.3, "… ambient", "K/h")
    slope_window: float = limit(2.0, "… over at least", "h")
    energy_per_kelvin: float = limit(0.065, "Energy a kelvin of ambient, short windows", "1/K")
    plateau_band: float = limit(0.5, "The freezing plateau begins within", "K")
    plateau_leave: float = limit(0.5, "The centre has left the freezing plateau by", "K")
    plateau_slope: float = limit(0.1, "A steeper plateau is called sloping", "K/h")
    jump: float = limit(0.4, "End of supercooling: a rise by at least", "K")
    surface_faster: float = limit(2.0, "Probe not at the centre: later falls exceed by", "-")
    surface_least: float = limit(1.0, "… and by", "K/h")
    surface_span: float = limit(1800.0, "… each over at least", "s")
    surface_share: float = limit(0.05, "… and this share of the plateau", "-")
    liquid_left: float = limit(0.03, "Share of water left from which a load is not frozen", "-")
    clocks: float = limit(APART, "Clocks of loggers that no mark ties together differ by", "s")
    coverage_doubt: float = limit(95.0, "Coverage is marked below", "%")
    coverage_bounds: float = limit(80.0, "Coverage gives bounds only below", "%")
    ambient_typed: float = limit(1.0, "Limit of a typed ambient, assumed", "K")
    bath_settling: float = limit(0.5, "Same-place check: share of a bath left for settling", "-")
    bath_leaving: float = limit(0.1, "… and its end, since clocks differ", "-")
    bath_blocks: int = limit(6, "… blocks of the rest, whose spread is its scatter", "-")
    bath_far: float = limit(3.0, "… a probe further off was not in the bath", "K")
    ice_bath: float = limit(0.1, "… limit of stirred ice water about 0 °C, assumed", "K")
    ice_places: float = limit(0.02, "… limit between places in it, assumed", "K")
    air_places: float = limit(0.05, "… limit between places in still air, assumed", "K")
    quiet_moved: float = limit(0.3, "… proposed windows: all probes change by less", "K")
    quiet_over: float = limit(300.0, "… over", "s")
    quiet_near: float = limit(1.5, "… near to 0 °C, or to their middle, within", "K")
    quiet_shortest: float = limit(480.0, "… for at least", "s")
    clock_step: float = limit(5.0, "… clocks are told by steps of at least", "K")
    clock_hand: float = limit(2.0, "… probes are moved together within, assumed", "s")
    filling: float = limit(0.03, "Limit of a nominal filling, assumed", "-")
    scale: float = limit(0.01, "Limit of a weighed mass, assumed", "-")
    tape: float = limit(2.0, "Limit of a taped length, assumed", "mm")
    can_across: float = limit(66.0, "Can that is counted, where none is stated: across", "mm")
    can_high: float = limit(115.0, "… and high (330 mL; from memory)", "mm")
    electrical: float = limit(0.02, "Limit of a typed electrical quantity, assumed", "-")
    leak_difference: float = limit(10.0, "Heater: a smaller difference is remarked", "K")
    warm_up_from: float = limit(7200.0, "Warm-up counts from switch-off plus", "s")
    warm_up_lost: float = limit(0.25, "… and needs this share of the difference lost", "-")
    loads_apart: float = limit(2.0, "Two loads: their heat differs at least by a factor", "-")
    model_heater: float = limit(0.02, "Heat leak: limit of the method, heater (from trial)", "-")
    model_warm_up: float = limit(0.03, "… warm-up", "-")
    model_ice: float = limit(0.02, "… ice melt", "-")
    model_two_loads: float = limit(0.06, "… two loads", "-")
    model_capacity: float = limit(0.02, "Cooling capacity: limit of one probe for all air", "-")
    load_unlogged: float = limit(0.10, "… of a load not logged, as a share of the heat leak", "-")
    auxiliary_most: float = limit(0.5, "Auxiliary not stated: at most this share of power", "-")
    fan_inside_most: float = limit(2.0, "Heat of a fan inside, where not stated, at most", "W")
    curve_from: float = limit(1800.0, "Capacity in a pull-down counts from power on plus", "s")
    curve_plateau: float = limit(1.0, "… and leaves out a load below, until it is frozen", "K")
    model_hold: float = limit(0.05, "Modelled hold time: limit of the method (from trial)", "-")
    load_film: float = limit(0.45, "… film at a load that no warm-up shows", "W/(K kg)")
    load_film_limit: float = limit(0.25, "… its limit (handbook films, 0.33 to 2 L)", "W/(K kg)")
    structure: float = limit(0.30, "Limit of modelled structure heat", "-")
    structure_assumed: float = limit(0.50, "… where the liner is not stated", "-")
    evaporator: float = limit(1.2, "… evaporator: 1.3 kg of aluminium, assumed", "kJ/K")
    evaporator_limit: float = limit(0.6, "… its limit", "kJ/K")
    cold_plate: float = limit(0.6, "… cold side of a module: fins and plate, assumed", "kJ/K")
    cold_plate_limit: float = limit(0.4, "… its limit", "kJ/K")
    foam_share: float = limit(0.8, "Heat leak: share that warms with the foam, assumed", "-")
    module_sheet: float = limit(0.15, "Conductance of a module by its data sheet, assumed", "-")
    cold_side_least: float = limit(0.2, "… inside air to the cold faces, assumed, from", "K/W")
    cold_side_most: float = limit(0.8, "… to", "K/W")
    hot_side_least: float = limit(0.3, "… hot faces to ambient, fans standing, from", "K/W")
    hot_side_most: float = limit(2.0, "… to", "K/W")
    bridge_leaves: float = limit(0.2, "… leaves the walls at least this share", "-")
    film_least: float = limit(5.0, "Film of air at a load, with radiation, assumed: from",
                              "W/(m² K)")
    film_most: float = limit(14.0, "… to, with a fan", "W/(m² K)")
    bottle_shape: float = limit(0.15, "Diameter of a bottle whose shape is not stated", "-")
    capacity_line: float = limit(0.12, "Running capacity on a line over the inside", "-")
    capacity_starts: float = limit(0.3, "… cycling flatters it by at most (from trial)", "-")
    label_start: float = limit(2.0, "Label's freezing figure: load starts at 25 °C within", "K")
    label_ambient: float = limit(1.0, "… ambient 25 °C within", "K")
    wet_ice: float = limit(0.02, "Share of ice that is water when weighed, at most", "-")
    end_told: float = limit(0.05, "Free end level: the later half tells it within", "-")
    told_apart: float = limit(0.98, "Fit: parameters are told apart below a correlation of", "-")
    inside_apart: float = limit(1.0, "Energies are not compared: insides further apart", "K")
    ambient_apart: float = limit(1.5, "… ambients", "K")
    load_apart: float = limit(0.05, "… loads, relative", "-")
    freedom: int = limit(4, "Degrees of freedom from which a seen spread stands alone", "-")
    law_exponent: float = limit(1.5, "Footing: power follows the difference to the power of", "-")
    law_switched: float = limit(0.85, "… modules at one voltage, switched on and off", "-")
    law_doubt: float = limit(0.25, "… standard uncertainty of either", "-")
    footing_machine: float = limit(6.0, "… machine curve: ambients at least apart", "K")
    footing_ambients: float = limit(3.0, "… two measured ambients: at least apart", "K")
    footing_inside: float = limit(3.0, "… both: insides off the footing's by at most", "K")
    footing_beyond: float = limit(2.0, "… both: the footing beyond them by at most", "K")
    footing_far: float = limit(10.0, "… power law: an interval only when moved by more than", "K")
    footing_near: float = limit(0.5, "… held as measured: within", "K")
    capacity_follows: float = limit(0.03, "… capacity a kelvin of inside, assumed", "1/K")
    capacity_doubt: float = limit(0.02, "… its limit", "1/K")
    coldest_follows: float = limit(0.8, "… coldest a kelvin of ambient (from trial)", "K/K")
    coldest_doubt: float = limit(0.35, "… its limit", "K/K")
    footing_difference: float = limit(5.0, "… moved from a difference of at least", "K")
    auxiliary_unknown: float = limit(0.2, "… auxiliary not stated: at most, of the power", "-")
    ice_holds: float = limit(0.5, "Ice holds no inside at or below", "°C")
    ice_maker: float = limit(1.0, "COP of an ice maker, assumed", "-")
    ice_maker_doubt: float = limit(0.4, "… its limit", "-")
    by_chance: float = limit(0.05, "Of all verdicts on one finding, wrong by chance at most", "-")
    sound_background: float = limit(1.0, "Sound: limit of a typed background, assumed", "dB")
    sound_spread: float = limit(1.0, "… spread of single readings, where few, assumed", "dB")
    sound_distance: float = limit(50.0, "… limit of the microphone's distance, assumed", "mm")
    sound_blocks: int = limit(6, "… blocks of a log, whose spread is its scatter", "-")
    sound_samples: int = limit(60, "… samples that tell L10, L50 and L90, at least", "-")
    cable_temperature: float = limit(30.0, "Temperature of a cable, assumed", "°C")
    cable_temperature_limit: float = limit(20.0, "… give or take", "K")
    supply_running: float = limit(
        0.3, "Supply volts: it runs above this share of its upper power", "-")
    cost_years: float = limit(10.0, "Chart of cost: years, where none are stated", "yr")
    sky_years: int = limit(20, "Supply from the sun: years of weather, drawn", "-")
    sky_dull: float = limit(0.25, "… a dull day brings of a clear one (Kasten 1980)", "-")
    sky_persists: float = limit(0.3, "… a day is like the one before (Graham 1988)", "-")
    day_swing: float = limit(5.0, "… air by day above the day's mean, assumed", "K")
    battery_restart: float = limit(0.2, "… it starts again at, of the usable charge", "-")
    panel_worth: float = limit(2.5, "… a watt of panel takes as much as, of battery", "Wh/W")
    spread_energy: float = limit(0.03, "Run to run, assumed standard uncertainty: energy", "-")
    spread_temperature: float = limit(0.3, "… temperature", "K")
    spread_time: float = limit(0.05, "… time", "-")


LIMITS = Limits()
