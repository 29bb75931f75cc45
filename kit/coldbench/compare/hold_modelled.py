"""Hold time of every cooler at one ambient and with one load, from its heat leak."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.context import Context
from coldbench.analysis.doubt import true_of
from coldbench.analysis.heat import load_heat, load_mass
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.structure import modelled_structure
from coldbench.compare.leaks import leak_of
from coldbench.findings import Finding, find, measured
from coldbench.logs.cumulative import cumulative
from coldbench.physics.cooling import time_to_reach
from coldbench.physics.water import LATENT_HEAT
from coldbench.sheets import RunSheet

HOUR = 3600.0
JUST_FROZEN = -1e-9  # ice at its melting point, none of it melted [°C]
Number = float | np.ndarray


@dataclass(frozen=True)
class Held:
    """What stands in the box, the same for all coolers.

    Parameters
    ----------
    run : RunSheet or None
        Whose containers are meant; None where no run had a load.
    mass : float
        Water or ice in them. [kg]
    ambient : float
        [°C]
    """

    run: RunSheet | None
    mass: float
    ambient: float

    def sensible(self, first: float, second: float) -> float:
        """Heat that warms the load between two temperatures on one side of 0 °C. [J/K]"""
        if self.run is None:
            return 0.0
        mass = self.mass
        return 3600 * float(load_heat(self.run, mass, second, first)) / (second - first)


def hold_modelled(result: CampaignResult, rows: Sequence[Finding]) -> list[Finding]:
    """Time in which the load warms from the first to the second temperature of each hold pair.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        ``heat_leak`` and ``structure_heat`` of the coolers.

    Returns
    -------
    list of Finding
        ``hold_time`` [h], *modelled*, at ``load 4 to 8 °C modelled``, at the footing's ambient;
        ``not measured`` for a cooler without a heat leak. Empty without a footing or hold pairs.

    Notes
    -----
    One load for all coolers: the heaviest that each of them had in some run. Between two
    temperatures on one side of 0 °C the time is ``(C + r C_s)/(r UA) · ln((Ta − T₁)/(Ta − T₂))``,
    C the load's heat capacity and C_s the structure's; ice that melts takes ``m L/(r UA Ta)``.
    r is (ambient − air)/(ambient − load): the air is warmer than what it warms.

    References
    ----------
    .. [1] :func:`coldbench.physics.cooling.time_to_reach` for each stage; r and its use are this
       kit's own.
    """
    sheet = result.campaign.sheet
    if sheet.footing is None or sheet.targets is None:
        return []
    held = _held(result, sheet.footing.ambient.value)
    pairs = [(first.value, second.value) for first, second in sheet.targets.hold]
    return [one_hold(result, rows, cooler, held, *pair)
            for cooler in result.campaign.coolers for pair in pairs]


def _held(result: CampaignResult, ambient: float) -> Held:
    """The heaviest load that every cooler with a load had, or a lighter one than its heaviest."""
    heaviest: dict[str, RunSheet] = {}
    for run in result.campaign.runs.values():
        best = heaviest.get(run.cooler)
        if run.load and (best is None or load_mass(run) > load_mass(best)):
            heaviest[run.cooler] = run
    if not heaviest:
        return Held(None, 0.0, ambient)
    run = min(heaviest.values(), key=load_mass)
    return Held(run, load_mass(run), ambient)


def one_hold(
    result: CampaignResult, rows: Sequence[Finding], cooler: str, held: Held,
    first: float, second: float,
) -> Finding:
    """Hold time of one cooler for one pair of temperatures.

    Parameters
    ----------
    result, rows
        As in :func:`hold_modelled`.
    cooler : str
        Its id.
    held : Held
        Load and ambient.
    first, second : float
        [°C]

    Returns
    -------
    Finding
        [h]

    References
    ----------
    .. [1] As :func:`hold_modelled`.
    """
    place = "load" if held.run is not None else "air"
    conditions = {"ambient": held.ambient} | ({"load": held.mass} if held.mass else {})
    base = dict(cooler=cooler, finding="hold_time", unit="h", conditions=conditions,
                at=f"{place} {first:g} to {second:g} °C modelled")
    leak = leak_of(rows, cooler, "off") or leak_of(rows, cooler, "walls")
    if held.ambient <= second:
        return Finding(**base, basis="not applicable", note="the ambient is not above it")
    if leak is None:
        return Finding(**base, basis="not measured", note="needs a heat leak")
    structure = _structure(result, rows, cooler)
    if structure is None:
        return Finding(**base, basis="not measured",
                       note="needs the box's volume or sides, for the heat of its structure")
    ua, ua_true = leak.at_temperatures((first + second) / 2, held.ambient)
    share, share_true, lag_note = _share(result, cooler, held, ua, ua_true)
    heat, heat_true, structure_note = structure
    value = float(_seconds(held, first, second, share * ua, share * heat)) / HOUR
    bridged = result.campaign.coolers[cooler].technology == "thermoelectric"
    notes = [f"from {leak.finding.at}", structure_note, lag_note, leak.note]
    if bridged and leak.finding.at.startswith("walls"):
        notes.append("what its machine lets in when off is not in it: it holds less long")
    note = "; ".join(part for part in notes if part)
    runs = leak.finding.runs
    if ua_true is None or heat_true is None or share_true is None:
        return Finding(**base, basis="modelled", runs=runs, value=value,
                       note=f"{note}; error not stated")
    true = _seconds(held, first, second, share_true * ua_true, share_true * heat_true) / HOUR
    true = true * (1 + draws.uniform(f"{cooler} hold method", LIMITS.model_hold))
    return Finding(**base, basis="modelled", runs=runs, note=note, **measured(true, value))


def _seconds(held: Held, first: float, second: float, ua: Number, structure: Number) -> Number:
    """Time from one temperature to a warmer one, stage by stage. [s]"""
    time = sum(
        time_to_reach(low, held.ambient, high, (held.sensible(low, high) + structure) / ua)
        for low, high in _stages(first, second)
    )
    if first < 0 < second:
        time = time + held.mass * LATENT_HEAT / (ua * held.ambient)
    return time


def _stages(first: float, second: float) -> Iterator[tuple[float, float]]:
    if first < 0:
        yield first, min(second, JUST_FROZEN)
    if second > 0:
        yield max(first, 0.0), second


def _structure(
    result: CampaignResult, rows: Sequence[Finding], cooler: str
) -> tuple[float, np.ndarray | None, str] | None:
    """Structure heat, measured before modelled. [J/K]"""
    for row in find(rows, cooler=cooler, finding="structure_heat"):
        if row.value is not None and row.value > 0:
            true = None if row.draws is None else 1000 * np.maximum(row.draws, 0.0)
            return 1000 * row.value, true, f"structure heat from {row.at}"
    modelled = modelled_structure(cooler, result.campaign.coolers[cooler])
    return modelled and (modelled.value, modelled.draws, modelled.note)


def _share(
    result: CampaignResult, cooler: str, held: Held, ua: float, ua_true: np.ndarray | None
) -> tuple[float, np.ndarray | None, str]:
    """(Ambient − air)/(ambient − load), moved to the load that is meant. [-]"""
    if held.run is None:
        return 1.0, np.ones(draws.DRAWS), "air and structure only: no run had a load"
    for run in result.of(cooler, "warm-up"):
        seen = _seen_share(result, run)
        if seen is not None:
            mass = load_mass(result.campaign.runs[run.record.run])
            return (*(_moved(share, mass / held.mass) for share in seen),
                    f"air and load apart as in {run.record.run}")
    films = LIMITS.load_film + draws.uniform(f"{cooler} load film", LIMITS.load_film_limit)
    value = 1 / (1 + ua / (LIMITS.load_film * held.mass))
    true = None if ua_true is None else 1 / (1 + ua_true / (films * held.mass))
    return value, true, "film at the load assumed"


def _moved(share: Number | None, lighter: float) -> Number | None:
    """A load of half the mass has half the surface: its lag is twice as large."""
    return None if share is None else 1 / (1 + (1 / share - 1) * lighter)


def _seen_share(
    result: CampaignResult, run: RunResult
) -> tuple[float, np.ndarray | None] | None:
    """Share of a warm-up with air, load and ambient, and its draws."""
    span, record = run.balance, run.record
    context = Context(record, result.campaign)
    if span is None or not record.loads() or not context.run.load:
        return None
    ambient, ambient_true = context.ambient(span.t0, span.t1)
    loads = [(p, float(cumulative(p).mean(span.t0, span.t1))) for p in record.loads()]
    load = float(np.mean([mean for _, mean in loads]))
    share = (ambient - span.inside) / (ambient - load) if ambient != load else np.nan
    if not np.isfinite(share) or not 0 < share <= 1.1:
        return None
    trues = [true_of(place, mean) for place, mean in loads]
    if span.drive_true is None or ambient_true is None or any(t is None for t in trues):
        return min(share, 1.0), None
    seconds = span.t1 - span.t0
    true = span.drive_true / seconds / (ambient_true - np.mean(trues, axis=0))
    return min(share, 1.0), np.clip(true, 0.05, 1.0)
