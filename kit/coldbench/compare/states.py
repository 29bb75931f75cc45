"""Steady states of a cooler: what it held, where, and for how much power; repeats as one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.context import Context
from coldbench.analysis.limits import LIMITS
from coldbench.compare.heat_taken import Known, Missing, ambient_of, inside_of, of
from coldbench.compare.repeats import first_run
from coldbench.findings import Finding


@dataclass(frozen=True)
class State:
    """One steady state; means of repeats.

    Parameters
    ----------
    runs : tuple of str
        Of one test.
    at : str
        Metering point.
    inside, ambient : Known
        Means of the window. [°C]
    power, idle : Known
        Mean power, and what of it does not follow the cold: electronics, fans. [W]
    duty : Known
        [-]
    capacity : Known or None
        While running; None without a heat leak. [W]
    settled : bool
        Whether a thermostat cycles, so that there is something left to give.
    said : str
        How ``idle`` is known.
    law : float
        Exponent by which the power follows the difference, where nothing tells it. [-]
    """

    runs: tuple[str, ...]
    at: str
    inside: Known
    ambient: Known
    power: Known
    idle: Known
    duty: Known
    capacity: Known | None
    settled: bool
    said: str
    law: float = LIMITS.law_exponent

    @property
    def difference(self) -> Known:
        """Ambient above inside. [K]"""
        return of(lambda a, i: a - i, self.ambient, self.inside)

    @property
    def running(self) -> Known:
        """Mean power while running, so that idle and duty make the mean. [W]"""
        return of(lambda p, i, d: i + (p - i) / d, self.power, self.idle, self.duty)


def states(result: CampaignResult, rows: Sequence[Finding], cooler: str) -> list[State]:
    """All steady states of a cooler whose power is known and whose inside is truly cold.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with the machine's.
    cooler : str
        Its id.

    Returns
    -------
    list of State

    References
    ----------
    .. [1] This kit's own definition.
    """
    found: dict[tuple[str, str], list[State]] = {}
    for run in result.of(cooler):
        if run.steady is not None and run.steady.passed:
            one = _state(result, rows, run)
            if one is not None and one.difference.value >= LIMITS.footing_difference:
                first = first_run(one.runs[0], result.campaign)
                found.setdefault((first, one.at), []).append(one)
    return [_mean(group) for group in found.values()]


def _state(
    result: CampaignResult, rows: Sequence[Finding], run: RunResult
) -> State | None:
    context = Context(run.record, result.campaign)
    name, by = run.record.run, {f.finding: f for f in run.findings}
    power = by.get("mean_power")
    if power is None or power.value is None:
        return None
    try:
        inside, ambient = inside_of(context, run.steady), ambient_of(context, run.steady)
    except Missing:
        return None
    idle, said = _idle(context, by, power)
    duty = by.get("duty")
    share = (_known(duty) if duty is not None and duty.value is not None
             else Known(1.0, np.ones(draws.DRAWS)))
    capacity = next((f for f in rows if f.finding == "running_capacity" and name in f.runs
                     and f.value is not None), None)
    return State(
        (name,), power.at.split(" ", 1)[0], inside, ambient, _known(power), idle, share,
        None if capacity is None else _known(capacity), run.steady.cycling is not None, said,
        _law(context, run),
    )


def _law(context: Context, run: RunResult) -> float:
    """Modules that are switched at one voltage follow the heat leak, no more.

    Their power while running hardly changes, and heat that comes back through them while they
    rest grows as the leak does. A thermostat that lowers their voltage instead shows no cycles.
    """
    technology = context.campaign.coolers[context.record.cooler].technology
    switched = technology == "thermoelectric" and run.steady.cycling is not None
    return LIMITS.law_switched if switched else LIMITS.law_exponent


def _known(row: Finding) -> Known:
    return Known(float(row.value), row.draws)


def _idle(context: Context, by: dict[str, Finding], power: Finding) -> tuple[Known, str]:
    """What does not follow the cold. [W]"""
    idle = by.get("idle_power")
    if idle is not None and idle.value is not None:
        return _known(idle), "above its idle power"
    cooler = context.record.cooler
    auxiliary = context.campaign.coolers[cooler].auxiliary
    if auxiliary is not None:
        limit = auxiliary.limit
        limit = LIMITS.electrical * auxiliary.value if limit is None else limit
        true = auxiliary.value + draws.uniform(f"{cooler} auxiliary", limit)
        return Known(auxiliary.value, true), "above its auxiliary"
    half = LIMITS.auxiliary_unknown * power.value / 2
    return Known(half, half + draws.uniform(f"{cooler} auxiliary", half)), (
        f"auxiliary not stated: up to {100 * LIMITS.auxiliary_unknown:g} % of the power")


def _mean(group: list[State]) -> State:
    if len(group) == 1:
        return group[0]
    first = group[0]
    means = {
        name: of(lambda *x: np.mean(x, axis=0), *(getattr(one, name) for one in group))
        for name in ("inside", "ambient", "power", "idle", "duty")
    }
    capacities = [one.capacity for one in group if one.capacity is not None]
    return State(
        tuple(run for one in group for run in one.runs), first.at, **means,
        capacity=of(lambda *x: np.mean(x, axis=0), *capacities) if capacities else None,
        settled=all(one.settled for one in group), said=first.said, law=first.law,
    )
