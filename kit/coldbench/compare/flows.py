"""Where the heat of a cooler comes from and where its electricity goes, in watts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.context import Context
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import conditions_of
from coldbench.compare.leaks import Leak, leak_of
from coldbench.findings import Finding
from coldbench.logs.cumulative import cumulative

WALLS, BEYOND, BOTH = "walls, by their sizes", "seal, lid, openings", "walls, seal and lid"
STORED = "load and structure still cooling"
LEAST, LOST = "least work for this heat", "lost in the machine"
IDLE, FANS, MACHINE = "electronics, always on", "fans and pump", "the machine"
SMALL = 0.01  # parts below this share of the whole are not told


@dataclass(frozen=True)
class Part:
    """One part of a flow.

    Parameters
    ----------
    what : str
        One of the names above.
    watts : float
        [W]
    basis : str
        ``measured``, ``modelled`` or ``sheet``.
    draws : ndarray, shape (4000,), or None
        None where an instrument states no error. [W]
    """

    what: str
    watts: float
    basis: str
    draws: np.ndarray | None = None


@dataclass(frozen=True)
class Flows:
    """Heat that comes in, and what taking it out costs, at one steady state.

    Parameters
    ----------
    cooler, run : str
        Ids.
    inside, ambient : float
        Means of the window. [°C]
    heat : tuple of Part
        Together the heat that the machine (or the ice) takes out.
    electricity : tuple of Part
        Together the mean power; empty for a passive box.
    cop, carnot_fraction : Finding or None
        Of the same window.
    leak : Leak
        The heat leak used.
    """

    cooler: str
    run: str
    inside: float
    ambient: float
    heat: tuple[Part, ...]
    electricity: tuple[Part, ...]
    cop: Finding | None
    carnot_fraction: Finding | None
    leak: Leak

    @property
    def heat_in(self) -> float:
        """All of the heat. [W]"""
        return sum(part.watts for part in self.heat)

    @property
    def power(self) -> float:
        """All of the electricity. [W]"""
        return sum(part.watts for part in self.electricity)


def flows(result: CampaignResult, rows: Sequence[Finding]) -> list[Flows]:
    """Flows of each cooler whose heat leak is known.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with those of the machine.

    Returns
    -------
    list of Flows
        One a cooler: at the steady window nearest the footing's inside; a passive box over its
        run with ice or cold load.

    References
    ----------
    .. [1] First law for the inside, and the least work Q (T_amb − T_in) / T_in of the second;
       the split is this kit's own.
    """
    found = []
    for cooler in result.campaign.coolers:
        leak = leak_of(rows, cooler)
        run = _run_of(result, cooler)
        if leak is not None and run is not None:
            told = _of(result, rows, run, leak)
            found += [told] if told is not None else []
    return found


def _run_of(result: CampaignResult, cooler: str) -> RunResult | None:
    """Run with a passed window and its inside nearest the footing's; of a passive box any run."""
    footing = result.campaign.sheet.footing
    wanted = footing.inside.value if footing is not None and footing.inside is not None else 4.0
    runs = [r for r in result.of(cooler) if r.record.trace("air") is not None]
    if result.campaign.coolers[cooler].technology == "passive":
        iced = [r for r in runs if result.campaign.runs[r.record.run].ice is not None]
        return next(iter(iced or runs), None)
    steady = [r for r in runs if r.steady is not None and r.steady.passed]
    return min(steady, default=None,
               key=lambda r: abs(r.steady.mean(r.record.trace("air")) - wanted))


def _of(
    result: CampaignResult, rows: Sequence[Finding], run: RunResult, leak: Leak
) -> Flows | None:
    context = Context(run.record, result.campaign)
    inside, ambient = _temperatures(context, run)
    if inside is None or ambient is None:
        return None
    cooler, name = run.record.cooler, run.record.run
    power = _row(run.findings, "mean_power", name)
    capacity, cop, fraction, ideal = (
        _row(rows, what, name)
        for what in ("cooling_capacity", "cop", "carnot_fraction", "carnot_cop"))
    value, true = leak.at_temperatures(inside, ambient)
    difference = ambient - inside
    through = Part(BOTH, value * difference, leak.finding.basis,
                   None if true is None else true * difference)
    heat = _split(through, _row(rows, "heat_leak_geometry", cooler=cooler), leak, inside, ambient)
    if capacity is not None and capacity.value is not None:
        stored = capacity.value - through.watts
        if abs(stored) > SMALL * abs(capacity.value):
            still = None if capacity.draws is None or true is None else (
                capacity.draws - true * difference)
            heat.append(Part(STORED, stored, "measured", still))
    electricity: list[Part] = []
    if power is not None and power.value is not None and power.value > 0:
        electricity = _electricity(context, run, power, capacity, ideal)
    return Flows(cooler, name, inside, ambient, tuple(heat), tuple(electricity), cop, fraction,
                 leak)


def _temperatures(context: Context, run: RunResult) -> tuple[float | None, float | None]:
    """Mean inside and ambient of the steady window, else of the whole run. [°C]"""
    if run.steady is not None and run.steady.passed:
        told = conditions_of(context, run.steady)
        inside, ambient = told.get("inside"), told.get("ambient")
        return (None if inside is None else float(inside),
                None if ambient is None else float(ambient))
    zero, end = context.record.zero, context.end
    air = context.record.trace("air")
    mean = float(cumulative(air).mean(zero, end))
    return (mean if np.isfinite(mean) else None), context.ambient(zero, end)[0]


def _split(
    through: Part, geometry: Finding | None, leak: Leak, inside: float, ambient: float
) -> list[Part]:
    """What the walls alone let in, and the rest; one part where they cannot be told apart."""
    if geometry is None or geometry.draws is None or through.draws is None:
        return [through]
    own = Leak(geometry, float(geometry.value), geometry.draws, geometry.conditions.get("wall"))
    value, true = own.at_temperatures(inside, ambient)
    difference = ambient - inside
    beyond = through.draws - true * difference
    if draws.interval(beyond)[0] <= 0:
        return [through]
    walls = Part(WALLS, value * difference, "modelled", true * difference)
    return [walls, Part(BEYOND, through.watts - walls.watts, "modelled", beyond)]


def _electricity(
    context: Context, run: RunResult, power: Finding, capacity: Finding | None,
    ideal: Finding | None,
) -> list[Part]:
    """What is drawn beside the machine, the least work, and what the machine loses. [W]"""
    beside = _beside(context, run)
    parts = [beside] if beside is not None else []
    rest = power.value - sum(part.watts for part in parts)
    left = None if power.draws is None else power.draws - sum(_known(part) for part in parts)
    if capacity is None or ideal is None or capacity.value is None or ideal.value is None:
        return [*parts, Part(MACHINE, rest, power.basis, left)]
    least = capacity.value / ideal.value
    true = None
    if capacity.draws is not None and ideal.draws is not None:
        true = capacity.draws / ideal.draws
    return [*parts, Part(LEAST, least, "modelled", true),
            Part(LOST, rest - least, "modelled",
                 None if left is None or true is None else left - true)]


def _known(part: Part) -> np.ndarray | float:
    return part.watts if part.draws is None else part.draws


def _beside(context: Context, run: RunResult) -> Part | None:
    """What is drawn beside the machine: always-on electronics, fans and pump. [W]"""
    name = run.record.run
    idle, duty = _row(run.findings, "idle_power", name), _row(run.findings, "duty", name)
    share = duty.value if duty is not None and duty.value is not None else 1.0
    standing = idle.value if idle is not None and idle.value is not None else 0.0
    auxiliary = context.campaign.coolers[run.record.cooler].auxiliary
    if auxiliary is None:
        return Part(IDLE, standing, "measured", idle.draws) if standing > 0 else None
    # Beside a running machine the sheet's auxiliary is drawn, beside a standing one what it idles.
    running = max(auxiliary.value, standing)
    drawn = share * running + (1 - share) * standing
    limit = auxiliary.limit if auxiliary.limit is not None else LIMITS.electrical * auxiliary.value
    true = drawn + draws.uniform(f"{run.record.cooler} auxiliary", share * limit)
    return Part(FANS, drawn, "sheet", true)


def _row(
    rows: Iterable[Finding], name: str, run: str = "", cooler: str = ""
) -> Finding | None:
    return next((f for f in rows if f.finding == name and (not run or run in f.runs)
                 and (not cooler or f.cooler == cooler)), None)
