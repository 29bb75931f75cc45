"""Hot side of a thermoelectric machine: how far above its air for each watt it gives off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import joined, window_mean
from coldbench.analysis.steady import SteadyWindow
from coldbench.compare.heat_taken import Known, of
from coldbench.findings import Finding, measured

# Means over a cycle mix a hot side that is blown on with one that stands still.
SWITCHED = "a run without a break: while the modules rest the hot side cools, its fan perhaps off"


def hot_side_resistance(
    context: Context, window: SteadyWindow, base: Finding, taken: Known, power: Finding | None
) -> Finding | None:
    """Resistance from the hot side to the air that cools it.

    Parameters
    ----------
    context : Context
        Run and cooler.
    window : SteadyWindow
        Where the means are taken.
    base : Finding
        Row of the run's cooling capacity.
    taken : Known
        Net heat taken from the inside. [W]
    power : Finding or None
        Mean power of the same window. [W]

    Returns
    -------
    Finding or None
        ``hot_side_resistance`` [K/W]; None for other machines and where the hot side was not
        logged. Bounds where the sheet does not state what fans and pump draw.

    References
    ----------
    .. [1] Steady heat balance of the hot side: what it gives off is what the modules took in, the
       heat of a fan inside among it, and their own power. Its use is this kit's own.
    """
    hot = context.record.trace("hot_side")
    sheet = context.campaign.coolers[context.record.cooler]
    if hot is None or sheet.technology != "thermoelectric":
        return None
    row = replace(base, finding="hot_side_resistance", unit="K/W", value=None, low=None, high=None,
                  draws=None)
    intake = context.record.trace("ambient_intake") or context.record.trace("ambient")
    needs = _needs(window, intake is not None, power)
    if needs:
        return replace(row, basis="not measured", note=f"needs {needs}")
    row = replace(row, coverage=min(window.coverage(hot), row.coverage or 100.0))
    above = of(np.subtract, *(Known(*window_mean(context, window, t, f"{t.role} mean"))
                              for t in (hot, intake)))
    place = "" if intake.role == "ambient_intake" else "above the room, not the air at the intake"
    auxiliary = sheet.auxiliary
    most = LIMITS.auxiliary_most * power.value if auxiliary is None else auxiliary.value
    fan = _fan(context, most)
    note = joined(place, f"a fan inside taken to give {fan.value:.2g} W, or any between 0 and "
                         f"{2 * fan.value:.2g} W")
    all_power = Known(power.value, power.draws)
    if auxiliary is None:
        said = (f"auxiliary not stated: bounds, from none to {100 * LIMITS.auxiliary_most:g} % "
                "of the power")
        return _bounded(replace(row, note=joined(note, said)), above,
                        of(lambda q, p, f: q + p + f, taken, all_power, fan), most)
    limit = auxiliary.limit if auxiliary.limit is not None else LIMITS.electrical * auxiliary.value
    beside = Known(most, most + draws.uniform(f"{context.record.cooler} auxiliary", limit))
    heat = of(lambda q, p, f, x: q + p + f - x, taken, all_power, fan, beside)
    if heat.value <= 0 or (heat.draws is not None and (heat.draws <= 0).any()):
        said = "needs an auxiliary that is less than the power"
        return replace(row, basis="not measured", note=said)
    found = of(np.divide, above, heat)
    if found.draws is None:
        return replace(row, value=float(found.value), note=joined(note, "error not stated"))
    return replace(row, note=note, **measured(found.draws, float(found.value)))


def _needs(window: SteadyWindow, has_intake: bool, power: Finding | None) -> str:
    """What is missing, or nothing."""
    if window.cycling is not None:
        return SWITCHED
    if not has_intake:
        return "the ambient, logged where the hot side takes its air"
    if power is None or power.value is None:
        return "power"
    if power.at.startswith("wall"):
        return "power before the cooler, not before its adapter, whose loss warms no hot side"
    return ""


def _fan(context: Context, most: float) -> Known:
    """Heat of a fan inside: not known, and no more than all that is drawn beside. [W]"""
    half = min(LIMITS.fan_inside_most, most) / 2
    return Known(half, half + draws.uniform(f"{context.record.cooler} fan inside", half))


def _bounded(row: Finding, above: Known, heat: Known, most: float) -> Finding:
    """From no auxiliary at all to the largest share of the power it may have."""
    if above.draws is None or heat.draws is None:
        low, high = above.value / heat.value, above.value / (heat.value - most)
        row = replace(row, note=joined(row.note, "error not stated"))
    else:
        low = draws.interval(above.draws / heat.draws)[0]
        high = draws.interval(above.draws / (heat.draws - most))[1]
    return replace(row, basis="bounded", low=float(low), high=float(high))
