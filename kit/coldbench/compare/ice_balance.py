"""Ice in a load by heat balance: what the machine took, less what came in and what else cooled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.balance import at_end
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.context import Context
from coldbench.analysis.heat import load_heat, load_mass
from coldbench.analysis.limits import LIMITS
from coldbench.compare.heat_taken import Missing, structure_heat
from coldbench.compare.leaks import leak_of
from coldbench.compare.repeats import one_row_each
from coldbench.compare.states import State, states
from coldbench.findings import Finding, measured
from coldbench.logs.cumulative import cumulative
from coldbench.physics.water import CP_ICE, LATENT_HEAT

NEEDS = ("needs running capacities at two insides on both sides of the freezing air's (steady runs "
         "with a heat leak), power, air and ambient")


def ice_by_balance(result: CampaignResult, rows: Sequence[Finding]) -> list[Finding]:
    """Share of the load that was ice at the end of each freeze run, by heat balance.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with the machine's.

    Returns
    -------
    list of Finding
        ``ice_fraction`` [-] at ``heat balance``, modelled.

    Notes
    -----
    Running capacity on a straight line through two steady states at their inside temperatures,
    over the time the machine ran, makes the heat taken; the walls let some in; structure and
    water cooled; the rest froze. Small differences of large heats: the interval is wide.

    References
    ----------
    .. [1] First law for the inside; this kit's own definition.
    """
    found = [row for run in result.results.values()
             if "freeze" in run.kinds and (row := _of_run(result, rows, run)) is not None]
    return one_row_each(found, result.campaign)[0]


def _of_run(
    result: CampaignResult, rows: Sequence[Finding], run: RunResult
) -> Finding | None:
    context = Context(run.record, result.campaign)
    record = run.record
    row = Finding(cooler=record.cooler, finding="ice_fraction", at="heat balance", unit="-",
                  runs=(record.run,), basis="modelled",
                  conditions=context.conditions(record.zero, context.end))
    air, power = record.trace("air"), record.trace("power")
    leak = leak_of(rows, record.cooler)
    if run.freezing is None or not context.run.load:
        return None
    if air is None or power is None or leak is None:
        return replace(row, basis="not measured", note=NEEDS)
    begin, end = run.freezing.zero, context.end
    inside = float(cumulative(air).mean(run.freezing.start, end))
    ambient, ambient_true = context.ambient(begin, end)
    pair = _bracket(states(result, rows, record.cooler), inside, ambient)
    if pair is None or ambient_true is None:
        return replace(row, basis="not measured", note=NEEDS)
    try:
        structure, _ = structure_heat(context, rows)
    except Missing as missing:
        return replace(row, basis="not measured", note=f"needs {missing}")
    # Doubt in the line between and beyond the two states, in the air's place and the foam's heat.
    follows = 1 + draws.uniform(f"{context.name} capacity line", LIMITS.capacity_line)
    weights = _running_weights(context, pair, begin, end)
    taken = sum(_steadily(record.cooler, one) * w for one, w in zip(pair, weights, strict=True))
    taken = taken * follows
    mean = float(cumulative(air).mean(begin, end))
    came = leak.at_temperatures(mean, ambient)[1] * (ambient_true - mean) * (end - begin)
    first = float(np.interp(begin, air.t, air.y))  # ten minutes on, the air is far below it
    cooled = structure.draws * (first - at_end(air, end, -1))
    start, last = (at_end(record.loads()[0], t, side) for t, side in ((begin, +1), (end, -1)))
    mass = load_mass(context.run)
    sensible = 3600 * float(load_heat(context.run, mass, start, min(max(last, 0.05), start)))
    # What froze went on to cool; of ice the centre probe shows it, of a mixture nothing cooled.
    each = LATENT_HEAT + CP_ICE * max(-last, 0.0)
    share = (taken - came - cooled - sensible) / (mass * each)
    share = np.clip(share, 0.0, 1.0)
    value = float(np.median(share))
    note = (f"capacity on a line between {' and '.join(run for one in pair for run in one.runs)}; "
            f"heat leak {leak.finding.at}")
    return replace(row, note=note, **measured(share, value))


def _steadily(cooler: str, one: State) -> np.ndarray:
    """Capacity of a machine that runs on and on: each new start finds a warmer evaporator. [W]"""
    if not one.settled:
        return one.capacity.draws
    half = LIMITS.capacity_starts / 2
    return one.capacity.draws * (1 - half - draws.uniform(f"{cooler} starts", half))


def _bracket(
    known: Sequence[State], inside: float, ambient: float | None
) -> tuple[State, State] | None:
    """Two states at this ambient whose insides lie on both sides of the wanted one."""
    if ambient is None:
        return None
    near = [one for one in known if one.capacity is not None and one.capacity.draws is not None
            and abs(one.ambient.value - ambient) <= LIMITS.ambient_apart]
    reach = LIMITS.footing_inside
    colder = [one for one in near if one.inside.value <= inside + reach]
    warmer = [one for one in near if one.inside.value >= inside - reach and one not in colder[:1]]
    if not colder or not warmer:
        return None
    low = min(colder, key=lambda one: one.inside.value)
    high = max(warmer, key=lambda one: one.inside.value)
    return None if low is high else (low, high)


def _running_weights(
    context: Context, pair: tuple[State, State], begin: float, end: float
) -> tuple[float, float]:
    """Seconds that each state's capacity counts for: its share on the line while running. [s]"""
    air, power = context.record.trace("air"), context.record.trace("power")
    t = power.t[(power.t >= begin) & (power.t <= end)]
    watts = power.y[(power.t >= begin) & (power.t <= end)]
    running = watts > np.quantile(watts, 0.95) / 2
    low, high = (one.inside.value for one in pair)
    way = (np.interp(t, air.t, air.y) - low) / (high - low)
    step = np.diff(t, append=end)
    step = np.where(step > power.gap, power.step, step)
    return (float((step * running * (1 - way)).sum()), float((step * running * way).sum()))
