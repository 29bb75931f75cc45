"""Lab card: where the heat came from while a warm box was pulled down, and what that cost."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.analysis.balance import at_end
from coldbench.analysis.crossing import Crossing, find_crossing, smooth
from coldbench.analysis.doubt import true_of
from coldbench.analysis.heat import load_heat, load_mass, load_mass_draws
from coldbench.compare.leaks import leak_of
from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cautions import GENERAL, MAINS
from coldbench.course.closed_box import (
    HOUR,
    STRUCTURE_HINT,
    half_width,
    structure,
    within_twice,
)
from coldbench.course.questions import bank
from coldbench.errors import Fault, UserError
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Trace
from coldbench.quantities import number
from coldbench.report.display import KeyValue

if TYPE_CHECKING:
    from coldbench.course.work import Work

DRAWN = (4.0, 8.0, 16.0, 24.0, 48.0)  # [h]
TIME_WITHIN = 0.1  # a crossing read off a chart of some hours lies within this [h]


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's run gives; see :class:`coldbench.course.card.Card`."""
    steps, context = Steps(given), work.context()
    zero, crossing = context.record.zero, crossing_of(work)
    hours = _time(steps, crossing, zero, context.end)
    end = float(np.clip(zero + HOUR * hours, zero + HOUR / 6, context.record.end))
    energy = steps.add("energy", electrical(work, end))
    heat = steps.add("load_heat", from_load(work, crossing, end))
    air = work.trace("air")
    held = steps.add("structure_heat", structure(work))
    fall = _reading(air, _at(air, zero)) - _reading(air, at_end(air, end, -1))
    given_up = steps.add("structure_given", held * fall / 3.6)
    apart = steps.add("mean_difference", _difference(work, end))
    leak = steps.add("heat_leak", leak_at(work, end), "the group's other run, else by its walls")
    leaked = steps.add("leak_heat", leak * apart * hours)
    stated = all(len(one) > 1 for one in (heat, apart, energy))
    taken = heat + given_up + leaked
    taken = steps.add("heat_taken", taken if stated else taken[:1])
    steps.add("load_ratio", heat / energy)
    cop = taken / energy
    steps.add("cop", cop)
    doubt = half_width(cop)
    steps.put("cop_uncertainty", doubt, *within_twice(doubt))
    return steps.expected


def target_of(work: Work) -> float:
    """Target of the group: the roster's, else the campaign's food limit, else its warmest. [°C]

    Raises
    ------
    UserError
        None of them is stated.
    """
    context, given = work.context(), work.parameters.get("target")
    stated = [given.value] if given is not None else []
    stated += [context.food_limit] if context.food_limit is not None else []
    if not stated + context.targets:
        raise UserError(Fault("the pull-down has no target", "campaign.toml",
                              do='write [targets] temperatures = ["5 °C"]'))
    return (stated + context.targets)[0]


def target_told(work: Work) -> list[object]:
    """The target, for the data sheet."""
    return [KeyValue([("Target for the load", f"{number(target_of(work), 1)} °C")])]


def crossing_of(work: Work) -> Crossing:
    """When the load reached the target, if it did."""
    context, load = work.context(), load_of(work)
    curve = smooth(load, context.record.zero, context.end)
    return find_crossing(load, curve, target_of(work), f"{context.name} card")


def load_of(work: Work) -> Trace:
    """Readings of the first place in the load.

    Raises
    ------
    UserError
        There are none, or the sheet has no load.
    """
    context = work.context()
    places = context.record.loads()
    if not places or not context.run.load:
        raise UserError(Fault(
            "the card needs a load of known mass with a probe in it",
            f"runs/{context.record.run}.toml", do="add a [[load]] block and a column of role load",
        ))
    return places[0]


def electrical(work: Work, end: float) -> np.ndarray:
    """Energy from the switch to an instant; not a number where none was metered.

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        [Wh]
    """
    context = work.context()
    meter, zero = context.meter, context.record.zero
    energy = meter.between(zero, end) if meter is not None else None
    if energy is None or not energy.whole:
        return np.array([np.nan])
    edges = meter.switchings(zero, end)
    true = meter.true_energy(f"{context.name} card energy", energy.low, (end - zero) / HOUR,
                             energy.source, edges)
    return with_draws(float(energy.low[0]), true)


def from_load(work: Work, crossing: Crossing, end: float) -> np.ndarray:
    """Heat given up by load and containers, to the target or to the end of the run. [Wh]"""
    context, load = work.context(), load_of(work)
    run, start = context.run, _at(load, context.record.zero)
    reached = crossing.state == "reached"
    last = crossing.target if reached else at_end(load, end, -1)
    value = float(load_heat(run, load_mass(run), start, last))
    if load.error is None:
        return np.array([value])
    true_last = last if reached else true_of(load, last)
    mass = load_mass_draws(context.record.run, run)
    return with_draws(value, load_heat(run, mass, true_of(load, start), true_last))


def leak_at(work: Work, end: float) -> np.ndarray:
    """Heat leak of the cooler at the run's temperatures, measured, else by its walls. [W/K]"""
    record = work.run().record
    found = leak_of(work.book.rows, record.cooler)
    if found is not None:
        ambient, _ = work.context().ambient(record.zero, end)
        inside = float(cumulative(work.trace("air")).mean(record.zero, end))
        return with_draws(*found.at_temperatures(inside, ambient))
    walls = work.book.one(record.cooler, "heat_leak_geometry")
    return np.array([np.nan]) if walls is None else with_draws(walls.value, walls.draws)


def _time(steps: Steps, crossing: Crossing, zero: float, end: float) -> float:
    """Time to the target, else that of the run, which is not asked for then. [h]"""
    if crossing.state != "reached":
        return (end - zero) / HOUR
    value, ends = (crossing.t - zero) / HOUR, [TIME_WITHIN, TIME_WITHIN]
    if crossing.early is not None:
        low, high = draws.interval((crossing.early + crossing.late) / 2)
        apart = (crossing.t - low) / HOUR, (high - crossing.t) / HOUR
        ends = [max(TIME_WITHIN, one) for one in apart]
    return float(steps.put("pull_down_time", value, value - ends[0], value + ends[1])[0])


def _difference(work: Work, end: float) -> np.ndarray:
    """Mean of ambient less inside air. [K]"""
    air, context = work.trace("air"), work.context()
    mean = float(cumulative(air).mean(context.record.zero, end))
    ambient, true = context.ambient(context.record.zero, end)
    if ambient is None:
        raise UserError(Fault("the card needs the ambient", f"runs/{context.record.run}.toml",
                              do='log it, or type ambient = "24.5 °C"'))
    inside = true_of(air, mean)
    known = true is not None and inside is not None
    return with_draws(ambient - mean, true - inside if known else None)


def _at(trace: Trace, when: float) -> float:
    return float(np.interp(when, trace.t, trace.y))


def _reading(trace: Trace, value: float) -> np.ndarray:
    return with_draws(value, true_of(trace, value))


def windows(work: Work) -> dict[str, tuple[float, float]]:
    """Where the target was not reached, the balance runs to the end of the run. [h]"""
    context, crossing = work.context(), crossing_of(work)
    if crossing.state == "reached":
        return {}
    return {"balance, the target not being reached": (0.0, (context.end - context.record.zero)
                                                      / HOUR)}


def until(work: Work) -> float:
    """Hours that are drawn: coarse, so that they do not tell when the target was reached. [h]"""
    context, crossing = work.context(), crossing_of(work)
    end = (context.end - context.record.zero) / HOUR
    if crossing.state != "reached":
        return end
    wanted = 1.3 * (crossing.t - context.record.zero) / HOUR
    return min(end, next((hours for hours in DRAWN if hours >= wanted), end))


CARD = Card(
    name="pull_down_balance",
    title="Balance of a pull-down",
    runs=("pull-down",),
    roles=("air", "load", "ambient", "power"),
    asked=(
        Asked("pull_down_time", "Time until the load is at the target", "duration", "h", 0.1, 72,
              "off the curve of the load, from the switch on", reading="chart"),
        Asked("energy", "Electrical energy until then", "energy", "Wh", 2, 5000,
              "area under the power, or a counter's difference", needs=("pull_down_time",)),
        Asked("load_heat", "Heat taken from load and containers", "energy", "Wh", 1, 2000,
              "Σ mass × heat capacity × fall (water 4.19 kJ/(kg K), PET 1.2 kJ/(kg K))"),
        Asked("structure_heat", "Heat capacity of liner and inner foam", "heat_capacity", "kJ/K",
              0.2, 50, STRUCTURE_HINT),
        Asked("structure_given", "Heat that they gave up", "energy", "Wh", 0.5, 500,
              "heat capacity × (air at the start − mean air of the last ten minutes)",
              needs=("structure_heat", "pull_down_time")),
        Asked("mean_difference", "Mean difference, ambient − inside air", "difference", "K",
              1, 60, "area between the curves / time", needs=("pull_down_time",)),
        Asked("heat_leak", "Heat leak of the box", "heat_leak", "W/K", 0.05, 5,
              "from your own heat leak card, else foam conductivity × area / thickness",
              reading="chart"),
        Asked("leak_heat", "Heat that leaked in meanwhile", "energy", "Wh", 1, 5000,
              "heat leak × mean difference × time",
              needs=("heat_leak", "mean_difference", "pull_down_time"),
              part="balance and closure"),
        Asked("heat_taken", "All heat taken from the inside", "energy", "Wh", 2, 6000,
              "load + structure + leak", needs=("load_heat", "structure_given", "leak_heat"),
              part="balance and closure"),
        Asked("load_ratio", "Load heat for each unit of electrical energy", "ratio", "-",
              0.01, 5, "load heat / energy", needs=("load_heat", "energy")),
        Asked("cop", "COP, net, over the pull-down", "ratio", "-", 0.05, 6,
              "all heat taken / energy", needs=("heat_taken", "energy"),
              part="comparison with the ideal and between groups"),
        Asked("cop_uncertainty", "Its uncertainty (95 %, half of the interval)", "ratio", "-",
              0.001, 2, "root of the sum of squares of what each input moves it by",
              part="uncertainty"),
    ),
    headline="cop",
    solve=solve,
    windows=windows,
    until=until,
    safety=(*GENERAL, MAINS,
            "Bottles are closed and dry outside before they go in; nothing blocks the air vents."),
    questions=bank("customer", "missing heat", "luck", "ambient", "empty box", "largest", "class",
                   "sign", "once more"),
    guide=Guide(
        usual={
            "pull_down_time": "1 to 6 h to 5 °C in the load with a compressor, 4 to 20 h with "
                              "modules, if at all",
            "load_heat": "25 Wh for each kilogram of water from 27 to 5 °C",
            "structure_given": "10 to 40 Wh: as much as one or two bottles",
            "leak_heat": "a tenth to a half of all heat; most where it takes longest",
            "load_ratio": "0.2 to 0.8 with a compressor, 0.05 to 0.3 with modules",
            "cop": "0.8 to 1.8 with a compressor, 0.2 to 0.6 with modules",
            "cop_uncertainty": "5 to 15 %; structure heat and heat leak are most of it",
        },
        slips=(
            "m c ΔT of the water over kWh, called the COP.",
            "Air at the target taken for the load at the target.",
            "kJ and Wh in one sum.",
            "Structure forgotten: the balance then fits an empty box worst.",
            "The switch-on not marked, so that time counts from the first row of the log.",
        ),
        plan=(
            ("15 min", "safety, load weighed, probes, switch on at a mark"),
            ("2 to 4 h", "pull-down; heat leak and sizes are worked out meanwhile"),
            ("45 min", "balance, ratio, COP"),
            ("20 min", "budget, question, conclusion"),
        ),
        shopping=(
            "cooler of 10 to 40 L, lid open over night so that it starts at ambient",
            "weighed bottles of water, 0.15 to 0.25 kg for each litre",
            "kitchen scale, 1 g", "logger with three probes", "power logger or meter with counter",
        ),
    ),
)
