"""A thermoelectric machine fitted to its cooler's own run, and held against its other runs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.limits import LIMITS
from coldbench.compare.heat_taken import Known
from coldbench.compare.leaks import leak_of
from coldbench.design.fitted import Check, Fitted
from coldbench.design.limits import DESIGN
from coldbench.design.thermoelectric_shown import Shown, drawn_modules, shown
from coldbench.design.thermoelectric_tries import (
    OF_MODULE,
    Seen,
    Tries,
    machine_of,
    seen_in,
    tries,
)
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
    machine not to be believed is drawn anew (where the hot side was not logged, one of several is
    taken by how likely both sides' sizes are), so that a row stays with the same row of everything
    else in the campaign. What the run itself shows is met by all of them: what they differ in is
    what another design would bring.

    References
    ----------
    .. [1] JCGM 101:2008, 7.4, the model evaluated for each draw; prior knowledge of what cannot
       be excludes some. Its use here is this kit's own.
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
    seen = seen_in(rows, cooler, sheet, first)
    found = tries(cooler, sheet, first, seen)
    share = float((found.weight > 0).mean())
    if share < DESIGN.module_share:
        return Fitted(cooler, runs=first.runs, refused=_unbelieved(sheet, first, share))
    unit = _unit(cooler, known, seen, found)
    checks = tuple(check for one in known[1:] for check in _checks(unit, one))
    insides = [float(one.inside.value) for one in known]
    about = {"runs": first.runs, "checks": checks, "seen": (min(insides), max(insides)),
             "metered_at": "dc"}
    wrong = [check for check in checks if check.misses]
    if wrong:
        return Fitted(cooler, **about, refused=_missed(wrong[0], first))
    return Fitted(cooler, unit, _central(unit, seen), note=_note(sheet, known), **about)


# --- the whole machine --------------------------------------------------------------------------


def _unit(
    cooler: str, known: Sequence[Shown], seen: Seen, found: Tries
) -> ThermoelectricUnit:
    resting = [one.idle.draws for one in known if one.cycles]
    idle = (np.mean(resting, axis=0) if resting
            else draws.between(f"{cooler} idle share", 0.0, 1.0) * seen.beside)
    steady = any(not one.full for one in known)
    return ThermoelectricUnit(
        found.module, found.volts, found.r_cold, found.r_hot, seen.beside, idle, seen.fan,
        found.r_still, "steady" if steady else "switched", seen.quick,
    )


def _central(unit: ThermoelectricUnit, seen: Seen) -> ThermoelectricUnit:
    """Medians of what is hidden; cold side and volts from the run again, with which they agree."""
    middle = Seen(*(None if part is None else float(np.median(part))
                    for part in (getattr(seen, name.name) for name in fields(Seen))))
    module = Module(*(float(np.median(getattr(unit.module, name))) for name in OF_MODULE))
    found = machine_of(module, middle, r_hot=float(np.median(unit.r_hot)))
    return ThermoelectricUnit(
        module, *(float(getattr(found, name)) for name in ("volts", "r_cold", "r_hot")),
        middle.beside, float(np.median(unit.idle)), middle.fan, float(found.r_still),
        unit.driven, middle.quick,
    )


# --- its other runs -----------------------------------------------------------------------------


def _checks(unit: ThermoelectricUnit, one: Shown) -> Iterator[Check]:
    """A run that the fit has not seen: its power, and its inside where that was all it had."""
    inside, ambient, heat = one.inside.draws, one.ambient.draws, one.heat.draws
    full = unit.power(inside, ambient)
    if one.coldest and not one.cycles:
        yield _check(one, "mean power", "W", one.power, full)
        coldest = unit.coldest(heat / (ambient - inside), ambient)
        yield _check(one, "coldest inside", "°C", one.inside, coldest)
        return
    held = replace(unit, driven="switched" if one.cycles else "steady")
    power = held.hold(inside, ambient, heat).power
    # Where it cannot hold, it runs without a break.
    yield _check(one, "mean power", "W", one.power, np.where(np.isnan(power), full, power))


def _check(one: Shown, what: str, unit: str, measured: Known, true: np.ndarray) -> Check:
    again = f"{' '.join(one.runs)} again"
    other = (true + draws.normal(again, LIMITS.spread_temperature) if unit == "°C"
             else true * (1 + draws.normal(again, LIMITS.spread_energy)))
    low, high = draws.interval(measured.value + other - measured.draws)
    return Check(one.runs, what, unit, float(one.inside.value), float(one.ambient.value),
                 float(measured.value), float(np.median(true)), low, high)


# --- words --------------------------------------------------------------------------------------


def _missed(check: Check, first: Shown) -> str:
    return (f"shows a {check.what} of {check.measured:.3g} {check.unit} in "
            f"{' and '.join(check.runs)}; by what it showed in {' and '.join(first.runs)} it is "
            f"{check.predicted:.3g} {check.unit}")


def _unbelieved(sheet: CoolerSheet, one: Shown, share: float) -> str:
    volts = "" if sheet.supply is None and one.volts is None else " and volts near its supply's"
    return (f"takes {one.heat.value:.3g} W for {one.running.value:.3g} W in "
            f"{' and '.join(one.runs)}, which modules near their data sheet do only with cold "
            f"sides{volts} that are not to be believed ({100 * share:.0f} % of the draws)")


def _note(sheet: CoolerSheet, known: Sequence[Shown]) -> str:
    """What was assumed because no run shows it."""
    first = known[0]
    said = [f"its modules are taken to lie within {100 * DESIGN.module_stated:g} % of their sheet"]
    if first.rise is None:
        said.append("its hot side was not logged: a range is assumed")
    if first.cycles:
        said.append("it was seen cycling only: how far its sinks follow is assumed")
    if sheet.auxiliary is None:
        said.append("what fans and pump draw is assumed")
    if not any(one.cycles for one in known):
        if all(one.coldest for one in known):
            said.append("no run shows how it holds a setting: switched on and off, assumed")
        said.append("power while the modules rest is assumed")
    return "; ".join(said)
