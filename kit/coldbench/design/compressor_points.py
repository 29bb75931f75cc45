"""What runs show of a compressor unit while it runs: heat taken and power, and where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.doubt import true_of
from coldbench.analysis.limits import LIMITS
from coldbench.compare.capacity_curve import CapacityCurve, capacity_curve
from coldbench.compare.heat_taken import Known
from coldbench.compare.leaks import Leak
from coldbench.compare.states import State, states
from coldbench.design.limits import DESIGN
from coldbench.findings import Finding

KINDS = ("pull-down", "steady", "freeze")


@dataclass(frozen=True)
class Point:
    """Running capacity and running power at one inside and one ambient.

    Parameters
    ----------
    name : str
        Of what is hidden in it alone.
    runs : tuple of str
        Repeats of one test.
    inside, ambient : Known
        [°C]
    duty : Known
        One where it runs without a break. [-]
    capacity : Known
        While running. [W]
    power : Known or None
        While running, everything the cooler draws. [W]
    """

    name: str
    runs: tuple[str, ...]
    inside: Known
    ambient: Known
    duty: Known
    capacity: Known
    power: Known | None


def points(
    result: CampaignResult, rows: Sequence[Finding], cooler: str, leak: Leak
) -> tuple[list[Point], list[State], str]:
    """Steady states and stretches of pull-down of a cooler, those with known errors.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with the machine's.
    cooler : str
        Its id.
    leak : Leak
        Of its walls.

    Returns
    -------
    points : list of Point
    known : list of State
        The steady states among them.
    metered_at : str
        The one place at which their power was metered: ``dc`` before others.

    References
    ----------
    .. [1] Capacity while running, never the mean over cycles: this kit's own definition.
    """
    known = [one for one in states(result, rows, cooler) if _stated(one)]
    found = [curve for run in result.of(cooler) if (curve := _curve(result, run, leak)) is not None]
    metered = sorted({one.at for one in known} | {c.metered_at for c in found if c.metered_at},
                     key=lambda at: (at != "dc", at))
    at = metered[0] if metered else ""
    steady = [Point(f"{' '.join(one.runs)} steady", one.runs, one.inside, one.ambient, one.duty,
                    one.capacity, one.running if one.at == at else None) for one in known]
    falling = [point for curve in found for point in _stretches(result, curve, at)]
    return [*steady, *falling], [one for one in known if one.at == at], at


def _stated(one: State) -> bool:
    parts = (one.capacity, one.inside, one.ambient, one.power, one.idle, one.duty)
    return all(part is not None and part.draws is not None for part in parts)


def _curve(result: CampaignResult, run: RunResult, leak: Leak) -> CapacityCurve | None:
    """Through a pull-down in which it surely ran without a break."""
    sheet = result.campaign.runs[run.record.run]
    if not set(run.kinds) & set(KINDS) or sheet.machine == "out":
        return None
    if run.record.trace("power") is None and sheet.setting != "coldest":
        return None
    curve = capacity_curve(result, run.record.run, leak)
    return curve if curve is not None and curve.draws is not None else None


def _stretches(result: CampaignResult, curve: CapacityCurve, at: str) -> Iterator[Point]:
    """One point for each few kelvin of the way down, until the load may begin to freeze.

    A probe in one container does not tell when the others are frozen through.
    """
    record = result.results[curve.run].record
    air, ambient, power = (record.trace(role) for role in ("air", "ambient", "power"))
    known = np.isfinite(curve.capacity) & (curve.capacity > 0)
    if result.campaign.runs[curve.run].load:
        freezing = [load.t[load.y <= LIMITS.curve_plateau] for load in record.loads()]
        first = min((t[0] for t in freezing if len(t)), default=np.inf)
        known &= curve.t + curve.block / 2 <= first
    steps = np.floor(curve.inside / DESIGN.unit_stretch)
    for step in np.unique(steps[known]):
        here = known & (steps == step)
        name = f"{curve.run} at {step * DESIGN.unit_stretch:g} °C"
        inside, outside = float(curve.inside[here].mean()), float(curve.ambient[here].mean())
        watts = None
        metered = float(curve.power[here].mean())
        if np.isfinite(metered) and metered > 0 and curve.metered_at == at:
            watts = Known(metered, true_of(power, metered))
        yield Point(
            name, (curve.run,), Known(inside, true_of(air, inside)),
            Known(outside, true_of(ambient, outside)), Known(1.0, np.ones(draws.DRAWS)),
            Known(float(curve.capacity[here].mean()), curve.draws[here].mean(axis=0)),
            watts if watts is None or watts.draws is not None else None)
