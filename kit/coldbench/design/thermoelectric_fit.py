"""A thermoelectric machine fitted to its cooler's own run, and held against its other runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.limits import LIMITS
from coldbench.compare.heat_taken import Known
from coldbench.compare.leaks import leak_of
from coldbench.design.fitted import Check, Fitted
from coldbench.design.thermoelectric_shown import (
    KELVIN,
    Shown,
    auxiliary_of,
    drawn_modules,
    shown,
)
from coldbench.design.thermoelectric_solve import solve
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.findings import Finding
from coldbench.physics.thermoelectric import Module
from coldbench.sheets import CoolerSheet

SHEET = ("has no data sheet of its modules: i_max, v_max, dt_max and t_hot in [modules] tell what "
         "other volts or another hot side would do")
WALLS = ("has no heat leak of its walls with its error: a run with the module out, or one with the "
         "machine off, tells it")
RUN = ("has no steady run at full volts, set to the coldest or cycling, with inside, ambient and "
       "power before any adapter, errors stated")


@dataclass(frozen=True)
class _Try:
    """Machines that agree with a run, one a draw; ``believed`` where all of it is plausible."""

    module: Module
    volts: np.ndarray
    r_cold: np.ndarray
    r_hot: np.ndarray
    believed: np.ndarray


def fit(result: CampaignResult, rows: Sequence[Finding], cooler: str) -> Fitted:
    """Modules, volts and both sides' resistances of a cooler's machine.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with the machine's and the heat leaks.
    cooler : str
        Its id.

    Returns
    -------
    Fitted
        ``refused`` where a run, the modules' sheet or a heat leak is lacking, where no plausible
        machine shows what the run shows, or where the fit misses another run by far.

    Notes
    -----
    Each draw of what is hidden in one run at full volts (its heat, power, temperatures) is joined
    by modules drawn about their data sheet; current, cold faces, volts and resistances follow. A
    machine not to be believed is drawn anew, so that a row stays with the same row of everything
    else in the campaign. What the run itself shows is met by all of them: what they differ in is
    what another design would bring.

    References
    ----------
    .. [1] Rejection of what prior knowledge excludes, row by row: JCGM 101:2008, 6.4 and 7
       (from memory). Its use here is this kit's own.
    """
    sheet = result.campaign.coolers[cooler]
    if drawn_modules(cooler, sheet, 0) is None:
        return Fitted(cooler, refused=SHEET)
    leak = leak_of(rows, cooler)
    if leak is None or leak.draws is None:
        return Fitted(cooler, refused=WALLS)
    known = shown(result, rows, cooler)
    if not known or not known[0].full:
        return Fitted(cooler, refused=RUN)
    first = known[0]
    found = _drawn(cooler, sheet, first)
    share = float(found.believed.mean())
    if share < LIMITS.module_share:
        return Fitted(cooler, runs=first.runs, refused=_unbelieved(sheet, first, share))
    unit = _unit(cooler, sheet, known, found, _still(result, rows, cooler, first, found))
    checks = tuple(check for one in known[1:] if (check := _check(unit, one)) is not None)
    insides = [float(one.inside.value) for one in known]
    about = {"runs": first.runs, "checks": checks, "seen": (min(insides), max(insides)),
             "metered_at": "dc"}
    wrong = [c for c in checks if not c.agrees and abs(c.apart) > LIMITS.unit_misses]
    if wrong:
        worst = max(wrong, key=lambda c: abs(c.apart))
        return Fitted(cooler, **about, refused=(
            f"draws {worst.measured:.3g} W in {' and '.join(worst.runs)}; what it showed in "
            f"{' and '.join(first.runs)} makes it {worst.predicted:.3g} W"))
    return Fitted(cooler, unit, _central(unit, first), note=_note(sheet, known), **about)


# --- one run ------------------------------------------------------------------------------------


def _drawn(cooler: str, sheet: CoolerSheet, one: Shown) -> _Try:
    """Machines of all draws; a few that none was found for are taken from others."""
    kept = _tried(cooler, sheet, one, 0)
    for again in range(1, LIMITS.module_tries):
        if kept.believed.all():
            break
        other = _tried(cooler, sheet, one, again)
        kept = _chosen(other.believed & ~kept.believed, other, kept)
    if not kept.believed.any():
        return kept
    rows = np.flatnonzero(kept.believed)
    at = np.where(kept.believed, np.arange(draws.DRAWS), rows[np.arange(draws.DRAWS) % len(rows)])
    module = Module(*(getattr(kept.module, name)[at]
                      for name in ("seebeck", "resistance", "conductance")))
    return _Try(module, kept.volts[at], kept.r_cold[at], kept.r_hot[at], kept.believed)


def _chosen(where: np.ndarray, one: _Try, other: _Try) -> _Try:
    module = Module(*(np.where(where, getattr(one.module, name), getattr(other.module, name))
                      for name in ("seebeck", "resistance", "conductance")))
    return _Try(module, *(np.where(where, getattr(one, name), getattr(other, name))
                          for name in ("volts", "r_cold", "r_hot", "believed")))


def _tried(cooler: str, sheet: CoolerSheet, one: Shown, again: int) -> _Try:
    beside, fan = auxiliary_of(cooler, sheet, one).draws, fan_inside(cooler, sheet, one).draws
    module = drawn_modules(cooler, sheet, again)
    seen = [part.draws for part in (one.heat, one.running, one.duty, one.inside, one.ambient)]
    rise, r_hot = None, None
    if one.rise is not None:
        rise = one.rise.draws
    else:
        count = sheet.modules.count
        hidden = f"{cooler} hot side unlogged" + (f" {again}" if again else "")
        logs = np.log([LIMITS.module_hot_least / count, LIMITS.module_hot_most / count])
        r_hot = np.exp(draws.between(hidden, *logs))
    found = _solved(module, seen, beside, fan, rise, r_hot)
    believed = np.isfinite(found.volts) & (found.r_hot > 0)
    believed &= (found.r_cold >= LIMITS.module_cold_least)
    believed &= (found.r_cold <= LIMITS.module_cold_most)
    return replace(found, believed=believed & _volts_believed(sheet, one, found.volts))


def _solved(
    module: Module, seen: Sequence[ArrayLike], beside: ArrayLike, fan: ArrayLike,
    rise: ArrayLike | None, r_hot: ArrayLike | None,
) -> _Try:
    """The machine that shows what was seen, by the rise of its hot side or by its resistance.

    Sinks are taken to keep their means over a cycle, from which a switched machine is not far.
    """
    heat, running, duty, inside, ambient = seen
    power, heat = running - beside, heat + fan
    given = heat + duty * power
    rise, r_hot = (r_hot * given, r_hot) if rise is None else (rise, rise / given)
    with np.errstate(invalid="ignore", divide="ignore"):
        found = solve(module, heat, power, ambient + KELVIN + rise, duty)
        r_cold = (inside + KELVIN - found.t_cold) / heat
    return _Try(module, found.volts, r_cold, r_hot, power > 0)


def _volts_believed(sheet: CoolerSheet, one: Shown, volts: np.ndarray) -> np.ndarray:
    """Logged supply volts before stated ones; without either, any."""
    if one.volts is not None:
        supply = one.volts.draws
        return (volts <= supply * 1.02) & (volts >= supply * (1 - LIMITS.module_drop))
    if sheet.supply is None:
        return np.isfinite(volts)
    supply = sheet.supply.value
    return (volts >= LIMITS.module_volts_least * supply) & (
        volts <= LIMITS.module_volts_most * supply)


def fan_inside(cooler: str, sheet: CoolerSheet, one: Shown) -> Known:
    """Heat of a fan inside: not known, and no more than all that is drawn beside. [W]"""
    most = auxiliary_of(cooler, sheet, one).value * (1 if sheet.auxiliary is not None else 2)
    half = min(LIMITS.fan_inside_most, most) / 2
    return Known(half, half + draws.uniform(f"{cooler} fan inside", half))


# --- the whole machine --------------------------------------------------------------------------


def _unit(
    cooler: str, sheet: CoolerSheet, known: Sequence[Shown], found: _Try, r_still: np.ndarray
) -> ThermoelectricUnit:
    first = known[0]
    auxiliary = auxiliary_of(cooler, sheet, first).draws
    resting = [one.idle.draws for one in known if one.cycles]
    idle = (np.mean(resting, axis=0) if resting
            else draws.between(f"{cooler} idle share", 0.0, 1.0) * auxiliary)
    steady = any(not one.cycles and not one.coldest for one in known)
    return ThermoelectricUnit(
        found.module, found.volts, found.r_cold, found.r_hot, auxiliary, idle,
        fan_inside(cooler, sheet, first).draws, r_still, "steady" if steady else "switched",
        draws.between(f"{cooler} quick", LIMITS.module_quick, 1.0),
    )


def _still(
    result: CampaignResult, rows: Sequence[Finding], cooler: str, one: Shown, found: _Try
) -> np.ndarray:
    """From hot faces to ambient while the modules rest: from the bridge, where it is known."""
    walls, off = leak_of(rows, cooler, "walls"), leak_of(rows, cooler, "off")
    assumed = draws.between(f"{cooler} hot side", LIMITS.hot_side_least, LIMITS.hot_side_most)
    if off is None or off.draws is None:
        return assumed
    at = float(one.inside.value), float(one.ambient.value)
    bridge = off.at_temperatures(*at)[1] - walls.at_temperatures(*at)[1]
    inner = found.r_cold + 1 / found.module.conductance
    with np.errstate(divide="ignore"):
        r_still = 1 / bridge - inner
    # A bridge larger than what the modules themselves let through leaves nothing for the side.
    return np.where(bridge > 0, np.maximum(r_still, 0.0), assumed)


def _central(unit: ThermoelectricUnit, one: Shown) -> ThermoelectricUnit:
    """Medians of what is hidden; cold side and volts from the run again, with which they agree."""
    names = ("r_hot", "auxiliary", "idle", "fan_inside", "r_still", "quick")
    middle = {name: float(np.median(getattr(unit, name))) for name in names}
    module = Module(*(float(np.median(getattr(unit.module, name)))
                      for name in ("seebeck", "resistance", "conductance")))
    seen = [float(np.median(part.draws))
            for part in (one.heat, one.running, one.duty, one.inside, one.ambient)]
    found = _solved(module, seen, middle["auxiliary"], middle["fan_inside"], None, middle["r_hot"])
    return replace(unit, module=module, volts=float(found.volts), r_cold=float(found.r_cold),
                   **middle)


# --- its other runs -----------------------------------------------------------------------------


def _check(unit: ThermoelectricUnit, one: Shown) -> Check:
    """Mean power of a run that the fit has not seen, for the heat that it took there."""
    inside, ambient, heat = one.inside.draws, one.ambient.draws, one.heat.draws
    if one.full and not one.cycles:
        power = unit.power(inside, ambient)
    else:
        held = replace(unit, driven="switched" if one.cycles else "steady")
        power = held.hold(inside, ambient, heat).power
        # Where it cannot hold, it runs without a break.
        power = np.where(np.isnan(power), unit.power(inside, ambient), power)
    again = draws.normal(f"{' '.join(one.runs)} again", LIMITS.spread_energy)
    low, high = draws.interval(one.power.value + power * (1 + again) - one.power.draws)
    return Check(one.runs, "mean power", "W", float(one.inside.value), float(one.ambient.value),
                 float(one.power.value), float(np.median(power)), low, high)


# --- words --------------------------------------------------------------------------------------


def _unbelieved(sheet: CoolerSheet, one: Shown, share: float) -> str:
    volts = "" if sheet.supply is None and one.volts is None else " and volts near its supply's"
    return (f"takes {one.heat.value:.3g} W for {one.running.value:.3g} W in "
            f"{' and '.join(one.runs)}, which modules near their data sheet do only with cold "
            f"sides{volts} that are not to be believed ({100 * share:.0f} % of the draws)")


def _note(sheet: CoolerSheet, known: Sequence[Shown]) -> str:
    """What was assumed because no run shows it."""
    first, said = known[0], []
    if first.rise is None:
        said.append("its hot side was not logged: a range is assumed")
    if first.cycles:
        said.append("it was seen cycling only: its sinks are taken to keep their means")
    if sheet.auxiliary is None:
        said.append("what fans and pump draw is assumed")
    if not any(one.cycles for one in known):
        if all(one.coldest for one in known):
            said.append("no run shows how it holds a setting: switched on and off, assumed")
        said.append("power while the modules rest is assumed")
    return "; ".join(said)
