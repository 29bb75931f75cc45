"""What each cooler asks of a battery and a panel at the footing: charge, storage, peak power."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.context import Context
from coldbench.analysis.settled_rows import joined, window_mean
from coldbench.compare.heat_taken import Known, of
from coldbench.findings import Finding, find, measured
from coldbench.quantities import Quantity, number
from coldbench.sheets import CoolerSheet
from coldbench.sheets.campaign import SupplySheet

UNITS = {"daily_charge": "Ah/d", "battery_needed": "Wh", "panel_needed": "W"}
NEEDED = {
    "battery_needed": ("days", "depth_of_discharge", "battery_efficiency"),
    "panel_needed": ("sun_hours", "performance_ratio"),
}
WORDS = {
    "days": "d to bridge", "depth_of_discharge": "depth", "battery_efficiency": "efficiency",
    "sun_hours": "of sun a day", "performance_ratio": "performance ratio",
}
HOUR = 3600.0
BEFORE_ADAPTER = "metered at the wall only: adapter loss unknown, so at most this"
DRAWS_NOTHING = "draws nothing"


def supply(result: CampaignResult, rows: Sequence[Finding]) -> list[Finding]:
    """Charge a day, battery and panel of every cooler at the footing.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed; their logs tell the volts.
    rows : sequence of Finding
        Of the campaign, with the footing's.

    Returns
    -------
    list of Finding
        ``daily_charge`` [Ah/d], ``battery_needed`` [Wh], ``panel_needed`` [W]. Nothing without
        ``[supply]``. What was metered at the wall only gives bounds from above.

    References
    ----------
    .. [1] This kit's own definitions: daily energy × days / (depth × efficiency), and daily
       energy / (sun hours × performance ratio).
    """
    sheet = result.campaign.sheet.supply
    if sheet is None:
        return []
    found: list[Finding] = []
    for cooler, told in result.campaign.coolers.items():
        if told.technology == "passive":
            found += [Finding(cooler=cooler, finding=name, unit=unit, basis="not applicable",
                              note=DRAWS_NOTHING) for name, unit in UNITS.items()]
        else:
            energy = energy_at_cooler(rows, cooler)
            found += _of(result, sheet, told, energy)
    return found


def energy_at_cooler(rows: Sequence[Finding], cooler: str) -> Finding:
    """A cooler's daily energy at the footing, as near to its terminals as it was metered.

    Parameters
    ----------
    rows : sequence of Finding
        Of the campaign.
    cooler : str
        Its id.

    Returns
    -------
    Finding
        ``daily_energy_footing`` at ``dc``, else at ``battery``; what was metered at the wall is a
        bound from above at ``dc``. [Wh/d]

    References
    ----------
    .. [1] This kit's own definition.
    """
    at = {row.at: row for row in reversed(find(rows, cooler=cooler,
                                               finding="daily_energy_footing"))}
    for point in ("dc", "battery"):
        if point in at:
            return at[point]
    if "wall" in at:
        wall = replace(at["wall"], at="dc")
        if wall.basis == "not reached":
            return wall
        most = wall.high if wall.high is not None else wall.value
        basis = "not measured" if most is None else "bounded"
        return replace(wall, basis=basis, value=None, low=None, high=most, draws=None,
                       note=joined(BEFORE_ADAPTER, wall.note))
    absent = Finding(cooler=cooler, finding="daily_energy_footing", unit="Wh/d",
                     basis="not measured", note="needs a [footing]")
    return at.get("", absent)


def _of(
    result: CampaignResult, sheet: SupplySheet, told: CoolerSheet, energy: Finding
) -> Iterator[Finding]:
    volts, said = _volts(result, sheet, told, energy)
    yield _row(energy, "daily_charge", None if volts is None else of(lambda u: 1 / u, volts), said)
    for name, keys in NEEDED.items():
        stated = {key: _stated(key, getattr(sheet, key)) for key in keys}
        missing = [key for key, value in stated.items() if value is None]
        if missing:
            yield _row(energy, name, None, f"needs {_listed(missing)} in [supply]")
        else:
            yield _row(energy, name, _factor(name, stated), _said(sheet, keys))


def _factor(name: str, stated: Mapping[str, Known]) -> Known:
    """By what a daily energy is multiplied."""
    if name == "battery_needed":
        return of(lambda days, depth, out: days / (depth * out), *stated.values())
    return of(lambda sun, ratio: HOUR / (sun * ratio), *stated.values())


def _stated(key: str, quantity: Quantity | float | None) -> Known | None:
    """A key of the sheet, and its limit where it states one."""
    if quantity is None:
        return None
    value = quantity.value if isinstance(quantity, Quantity) else quantity
    limit = (quantity.limit or 0.0) if isinstance(quantity, Quantity) else 0.0
    if not value:
        return None
    return Known(value, value + draws.uniform(f"supply {key}", limit))


def _said(sheet: SupplySheet, keys: Sequence[str]) -> str:
    parts = []
    for key in keys:
        value = getattr(sheet, key)
        text = value.text if isinstance(value, Quantity) else f"{value:g}"
        parts.append(f"{text} {WORDS[key]}")
    return ", ".join(parts)


def _listed(keys: Sequence[str]) -> str:
    *front, last = keys
    return f"{', '.join(front)} and {last}" if front else last


def _volts(
    result: CampaignResult, sheet: SupplySheet, told: CoolerSheet, energy: Finding
) -> tuple[Known | None, str]:
    """Mean volts of the windows the energy comes from, else the nominal ones."""
    logged = [_logged(result, run) for run in result.of(energy.cooler)
              if run.record.run in energy.runs]
    known = [volts for volts in logged if volts is not None]
    if known:
        mean = of(lambda *u: np.mean(u, axis=0), *known)
        return mean, f"at {number(float(mean.value), 1)} V, mean of the window"
    nominal = sheet.volts or told.supply
    if nominal is None:
        return None, "needs volts in [supply], or volts logged in the steady window"
    return (_stated("volts", nominal),
            f"at {nominal.value:g} V, nominal: volts were not logged")


def _logged(result: CampaignResult, run: RunResult) -> Known | None:
    volts, window = run.record.trace("voltage"), run.steady
    if volts is None or window is None or not window.passed:
        return None
    mean, true = window_mean(Context(run.record, result.campaign), window, volts, "mean volts")
    return Known(mean, true) if np.isfinite(mean) and mean > 0 else None


def _row(energy: Finding, name: str, factor: Known | None, said: str) -> Finding:
    """The energy times a factor: value, bounds, or why there is none."""
    row = replace(
        energy, finding=name, unit=UNITS[name], basis="modelled", value=None, low=None, high=None,
        draws=None, coverage=None,
    )
    if energy.basis in ("not reached", "not measured"):
        return replace(row, basis=energy.basis)
    if factor is None:
        return replace(row, basis="not measured", note=said)
    if energy.value is None:
        least, most = (float(factor.value),) * 2 if factor.draws is None else (
            draws.interval(factor.draws))
        why = BEFORE_ADAPTER if energy.note.startswith(BEFORE_ADAPTER) else "daily energy bounded"
        return replace(
            row, basis="bounded", low=None if energy.low is None else energy.low * least,
            high=None if energy.high is None else energy.high * most, note=joined(said, why))
    value = energy.value * float(factor.value)
    if energy.draws is None or factor.draws is None:
        return replace(row, value=value, note=joined(said, "error not stated"))
    return replace(row, **measured(energy.draws * factor.draws, value), note=said)
