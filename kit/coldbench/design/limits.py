"""Limits and assumptions of designs, in one place; the design page prints them all."""

from __future__ import annotations

from dataclasses import dataclass

from coldbench.analysis.limits import limit


@dataclass(frozen=True)
class DesignLimits:
    """Defaults of predictions, each this kit's own unless a source stands beside it."""

    unit_stretch: float = limit(5.0, "Unit fitted: pull-down counts once for each", "K")
    unit_shape: float = limit(0.03, "… its curve passes a point within, standard uncertainty", "-")
    unit_bend: float = limit(-0.0003, "… capacity bends over the inside, assumed", "1/K²")
    unit_bend_limit: float = limit(0.0005, "… its limit", "1/K²")
    unit_ambient: float = limit(-0.008, "… capacity a kelvin of ambient, assumed", "1/K")
    unit_ambient_limit: float = limit(0.008, "… its limit", "1/K")
    unit_starts: float = limit(0.2, "… cycling flatters its capacity by, give or take as much",
                                "-")
    unit_power_follows: float = limit(0.010, "… power a kelvin of inside, assumed", "1/K")
    unit_power_doubt: float = limit(0.015, "… its limit", "1/K")
    unit_power_bend: float = limit(-0.0002, "… power bends over the inside, assumed", "1/K²")
    unit_power_bend_limit: float = limit(0.0004, "… its limit", "1/K²")
    unit_power_ambient: float = limit(0.008, "… power a kelvin of ambient, assumed", "1/K")
    unit_power_ambient_limit: float = limit(0.010, "… its limit", "1/K")
    unit_power_starts: float = limit(0.08, "… starts add to its power, give or take as much", "-")
    unit_idle: float = limit(1.5, "… power at rest, unseen: give or take as much, assumed", "W")
    unit_misses: float = limit(0.15, "… a run left out is missed by at most, else no fit", "-")
    unit_misses_inside: float = limit(3.0, "… its coldest inside by at most", "K")
    module_stated: float = limit(0.05, "Thermoelectric unit fitted: a module is off its sheet's "
                                  "current, voltage and difference, each, by", "-")
    module_place: float = limit(0.05, "… hot faces rise more or less than their probe by", "-")
    module_hot_least: float = limit(0.15, "… hot side not logged: from, over the modules", "K/W")
    module_hot_most: float = limit(1.2, "… to (from memory)", "K/W")
    module_cold_least: float = limit(0.02, "… inside air to cold faces, believed from", "K/W")
    module_cold_most: float = limit(1.5, "… to", "K/W")
    module_volts_least: float = limit(0.75, "… volts at the modules, of the stated supply: from",
                                       "-")
    module_volts_most: float = limit(1.25, "… to", "-")
    module_drop: float = limit(0.10, "… of logged supply volts, lost before the modules: up to",
                                "-")
    module_quick: float = limit(0.5, "… switched: sinks keep their mean, 1, or follow, 0: from",
                                 "-")
    module_duty: float = limit(0.01, "… its share of time on is off by (from trial)", "-")
    module_tries: int = limit(20, "… machines tried for each draw, up to", "-")
    module_share: float = limit(0.2, "… share of draws that must be believed, else no fit", "-")
    unit_place: float = limit(2.0, "Unit moved: air at its plate, warmer or colder by", "K")
    unit_gap: float = limit(20.0, "… gap between its bay and the wall", "mm")
    unit_plate: float = limit(0.5, "… plate for the inner faces, against its own box", "-")
    unit_grille: float = limit(0.5, "… a grille leaves open, of its area", "-")
    unit_film: float = limit(0.25, "… film of a load in other containers than were logged", "-")
    model_pull_down: float = limit(0.06, "Predicted pull-down: limit of the method (from trial)",
                                    "-")
    foam_declared: float = limit(0.10, "New box: limit of a declared conductivity", "-")
    excess_least: float = limit(1.1, "… leaks of its walls by their sizes, unmeasured: from", "-")
    excess_most: float = limit(1.8, "… to (common practice, no source)", "-")
    excess_again: float = limit(0.3, "… what leaks beyond its walls, built again by the same "
                                      "hands: give or take (assumed)", "-")
    seal_least: float = limit(0.2, "… a new seal stops of what passes the rim: from", "-")
    seal_most: float = limit(0.8, "… to (assumed)", "-")
    hot_side_stated: float = limit(0.25, "… a hot side differs from what is stated by", "-")
    regulator: float = limit(0.90, "… efficiency of a regulator, assumed", "-")
    regulator_limit: float = limit(0.04, "… its limit", "-")
    usable_share: float = limit(0.93, "… share of its inside that can be filled, assumed", "-")
    usable_share_limit: float = limit(0.05, "… its limit", "-")
    wall_least: float = limit(20.0, "… its walls, searched from (no source)", "mm")
    wall_most: float = limit(150.0, "… to (common practice for freezers, no source)", "mm")
    inside_shortest: float = limit(100.0, "… no inside length below (no source)", "mm")
    board_cut_off: float = limit(0.15, "… board bought beyond its walls (no source)", "-")
    store_apart: float = limit(2.0, "Store: it melts below the inside by at least", "K")
    beside_open: float = limit(0.5, "A design beside its measurement: agreement tells nothing "
                                     "where open by more", "-")


DESIGN = DesignLimits()
