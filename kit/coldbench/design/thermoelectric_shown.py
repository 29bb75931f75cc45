"""What a cooler's steady runs show of its thermoelectric machine, and what its sheet states."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.context import Context
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import window_mean
from coldbench.compare.bridge import strings_of
from coldbench.compare.heat_taken import Known, Missing, ambient_of, of
from coldbench.compare.states import State, states
from coldbench.design.limits import DESIGN
from coldbench.findings import Finding
from coldbench.physics.thermoelectric import Module, module_from_sheet
from coldbench.physics.thermoelectric_box import array_of
from coldbench.sheets import CoolerSheet

KELVIN = 273.15
STATED = ("i_max", "v_max", "dt_max")


@dataclass(frozen=True)
class Shown:
    """One steady state of the machine; means of repeats, every part with its draws.

    Attributes
    ----------
    runs : tuple of str
    coldest : bool
        Whether it was set to give all it has.
    cycles : bool
        Whether it is switched on and off.
    inside, ambient : Known
        [°C]
    heat : Known
        Mean net heat taken from the inside. [W]
    power : Known
        Mean of everything drawn. [W]
    running : Known
        Of everything drawn, while it runs. [W]
    idle : Known
        While it rests; of a machine that does not, what it draws beside the modules. [W]
    duty : Known
        [-]
    rise : Known or None
        Hot side over ambient, mean; None where not logged. [K]
    volts : Known or None
        At the cooler, logged. [V]
    """

    runs: tuple[str, ...]
    coldest: bool
    cycles: bool
    inside: Known
    ambient: Known
    heat: Known
    power: Known
    running: Known
    idle: Known
    duty: Known
    rise: Known | None
    volts: Known | None

    @property
    def full(self) -> bool:
        """Whether its modules get their full volts while they run."""
        return self.coldest or self.cycles


def shown(result: CampaignResult, rows: Sequence[Finding], cooler: str) -> list[Shown]:
    """Steady states of a cooler that were metered before any adapter, errors stated.

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
    list of Shown
        Those that tell most of the machine first: all it has, without a break, its hot side logged.

    References
    ----------
    .. [1] This kit's own definition.
    """
    found = [one for state in states(result, rows, cooler)
             if state.at != "wall" and (one := _shown(result, rows, state)) is not None]
    return sorted(found, key=lambda one: (not one.full, one.cycles, one.rise is None))


def _shown(result: CampaignResult, rows: Sequence[Finding], state: State) -> Shown | None:
    heats = [Known(float(f.value), f.draws) for f in rows
             if f.finding == "cooling_capacity" and f.value is not None
             and f.runs and set(f.runs) <= set(state.runs)]
    if not heats:
        return None
    heat = _mean(heats)
    parts = (state.inside, state.ambient, heat, state.power, state.idle, state.duty)
    if any(part.draws is None for part in parts):
        return None
    rises = [one for run in state.runs if (one := _rise(result, run)) is not None]
    volts = [one for run in state.runs if (one := _volts(result, run)) is not None]
    coldest = all(result.campaign.runs[run].setting == "coldest" for run in state.runs)
    return Shown(
        state.runs, coldest, state.settled, state.inside, state.ambient, heat, state.power,
        state.running if state.settled else state.power, state.idle, state.duty,
        _mean(rises) if rises else None, _mean(volts) if volts else None,
    )


def _mean(parts: list[Known]) -> Known:
    return of(lambda *x: np.mean(x, axis=0), *parts)


def _rise(result: CampaignResult, run: str) -> Known | None:
    """Hot side over the ambient, which it heats no more than its own intake did. [K]"""
    hot = _logged(result, run, "hot_side")
    if hot is None:
        return None
    context = Context(result.results[run].record, result.campaign)
    try:
        ambient = ambient_of(context, result.results[run].steady)
    except Missing:
        return None
    rise = of(np.subtract, hot, ambient)
    return rise if rise.draws is not None else None


def _volts(result: CampaignResult, run: str) -> Known | None:
    return _logged(result, run, "voltage")


def _logged(result: CampaignResult, run: str, role: str) -> Known | None:
    """Mean over the steady window; None where it was not logged there, error stated."""
    of_run = result.results[run]
    trace = of_run.record.trace(role)
    if trace is None:
        return None
    context = Context(of_run.record, result.campaign)
    mean = Known(*window_mean(context, of_run.steady, trace, f"{role} mean"))
    return mean if np.isfinite(mean.value) and mean.draws is not None else None


def drawn_modules(cooler: str, sheet: CoolerSheet, again: int) -> Module | None:
    """All modules of a cooler as one, drawn about their data sheet.

    Parameters
    ----------
    cooler : str
        Its id.
    sheet : CoolerSheet
    again : int
        Which set of draws.

    Returns
    -------
    Module or None
        None where the sheet does not state all four.

    References
    ----------
    .. [1] :func:`coldbench.physics.thermoelectric.module_from_sheet`; how far a sample lies from
       its sheet is assumed.
    """
    told = sheet.modules
    if told is None or None in (told.i_max, told.v_max, told.dt_max, told.t_hot):
        return None
    stated = []
    for name in STATED:
        hidden = f"{cooler} module {name}" + (f" {again}" if again else "")
        off = draws.uniform(hidden, DESIGN.module_stated)
        stated.append(getattr(told, name).value * (1 + off))
    one = module_from_sheet(*stated, told.t_hot.value + KELVIN)
    return array_of(one, *strings_of(told))


def auxiliary_of(cooler: str, sheet: CoolerSheet, one: Shown) -> Known:
    """What is drawn beside the modules while they run. [W]

    Parameters
    ----------
    cooler : str
        Its id.
    sheet : CoolerSheet
    one : Shown
        Its running power bounds what is not stated.

    Returns
    -------
    Known

    References
    ----------
    .. [1] This kit's own definition.
    """
    if sheet.auxiliary is not None:
        value, limit = sheet.auxiliary.value, sheet.auxiliary.limit
        limit = LIMITS.electrical * value if limit is None else limit
        return Known(value, value + draws.uniform(f"{cooler} auxiliary", limit))
    half = LIMITS.auxiliary_unknown * one.running.value / 2
    return Known(half, half + draws.uniform(f"{cooler} auxiliary", half))
