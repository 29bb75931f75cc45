"""What a cable leaves of the volts at each cooler, an estimate and no rule for choosing a wire."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import joined
from coldbench.findings import Finding, find, measured
from coldbench.physics.electric import (
    conductor_resistance,
    copper_resistance,
    volts_at_load,
    warmth_factor,
)
from coldbench.quantities import Quantity, number
from coldbench.sheets import Campaign

NOT_A_SIZE = (
    "Losses in a cable are estimates from its length and area. They choose neither a wire nor a "
    "fuse: heat, protection, joints and the rules of the place do. Volts measured at the cooler "
    "while it starts are worth more than any of this; a qualified electrician for the vehicle, "
    "boat or building has the last word."
)


@dataclass(frozen=True)
class Cable:
    """A cable and its source: nominal volts, resistance there and back with its draws, words."""

    volts: float
    resistance: float
    drawn: np.ndarray
    text: str


def cable(campaign: Campaign, rows: Sequence[Finding]) -> list[Finding]:
    """Share of the volts that the campaign's cable takes from each powered cooler.

    Parameters
    ----------
    campaign : Campaign
        Its ``[supply]`` with ``cable_length``, ``cable_area`` and ``volts``; silent without a
        cable.
    rows : sequence of Finding
        One a cooler, finding and ``at``: ``running_power``, ``peak_power`` at the cooler's
        terminals, and its ``cut_out_volts``.

    Returns
    -------
    list of Finding
        ``cable_drop`` [%] of the nominal volts at ``running`` and ``start``, modelled; the note
        has the volts left, against the measured cut-out. That at the start is a bound from below
        unless power was read each second.

    References
    ----------
    .. [1] Ohm's law at constant power. The conductor lies between copper that fills its area and
       the greatest resistance of IEC 60228:2004, class 5; its temperature is assumed.
    """
    supply = campaign.sheet.supply
    if supply is None or (supply.cable_length is None and supply.cable_area is None):
        return []
    found: list[Finding] = []
    for cooler, sheet in campaign.coolers.items():
        if sheet.technology == "passive":
            continue
        volts = supply.volts or sheet.supply
        missing = [key for key, value in (
            ("cable_length", supply.cable_length), ("cable_area", supply.cable_area),
            ("volts", volts)) if value is None]
        if missing:
            note = f"needs {' and '.join(missing)} in [supply]"
            found.append(Finding(cooler=cooler, finding="cable_drop", at="running", unit="%",
                                 basis="not measured", note=note))
        else:
            wire = _cable(volts, supply.cable_length, supply.cable_area)
            found += _of(cooler, wire, rows)
    return found


def _cable(volts: Quantity, length: Quantity, area: Quantity) -> Cable:
    """One cable for all coolers: its unknowns are drawn by one name each."""
    least, most = (float(of(area.value)) for of in (copper_resistance, conductor_resistance))
    metres, limit = length.value / 1000, length.limit if length.limit is not None else LIMITS.tape
    stretched = metres + draws.uniform("cable length", limit / 1000)
    each = (least + most) / 2 + draws.uniform("cable resistance", (most - least) / 2)
    warm = LIMITS.cable_temperature + draws.uniform("cable temperature",
                                                    LIMITS.cable_temperature_limit)
    value = 2 * metres * (least + most) / 2 * float(warmth_factor(LIMITS.cable_temperature))
    text = f"2 × {metres:g} m of {area.value:g} mm² copper"
    return Cable(volts.value, value, 2 * stretched * each * warmth_factor(warm), text)


def _of(cooler: str, wire: Cable, rows: Sequence[Finding]) -> Iterator[Finding]:
    base = Finding(cooler=cooler, finding="cable_drop", at="running", unit="%", basis="modelled")
    running = _at_cooler(rows, cooler, "running_power")
    if running is None:
        yield replace(base, basis="not measured",
                      note="needs power metered at the cooler (dc) while it runs")
        return
    cut_out = next(iter(find(rows, cooler=cooler, finding="cut_out_volts")), None)
    yield _drop(base, wire, running, cut_out)
    start = replace(base, at="start")
    peak = _at_cooler(rows, cooler, "peak_power")
    if peak is None:
        yield replace(start, basis="not measured",
                      note="needs power metered at the cooler each second while it starts")
        return
    row = _drop(start, wire, peak, cut_out)
    said = "shorter start peaks are not seen" if peak.value is not None else "start peak not seen"
    yield replace(row, note=joined(row.note, said))


def _at_cooler(rows: Sequence[Finding], cooler: str, name: str) -> Finding | None:
    """First row that was metered at the cooler, or at the battery, and says something."""
    for point in ("dc", "battery"):
        for row in find(rows, cooler=cooler, finding=name):
            if row.at.split(" ")[0] == point and (row.value, row.low) != (None, None):
                return row
    return None


def _drop(base: Finding, wire: Cable, power: Finding, cut_out: Finding | None) -> Finding:
    base = replace(base, conditions=dict(power.conditions), runs=power.runs)
    watts = power.value if power.value is not None else power.low
    left = float(volts_at_load(wire.volts, watts, wire.resistance))
    if np.isnan(left):
        # No more than half the volts can be lost while power still rises with the current.
        return replace(base, basis="bounded", low=50.0,
                       note=f"{number(watts, 0)} W cannot be drawn through {wire.text}")
    value = 100 * (1 - left / wire.volts)
    note = joined(
        f"{number(left, 1)} of {wire.volts:g} V left at {number(watts / left, 1)} A through "
        f"{wire.text}; plugs, fuses and switches take more", _against(left, cut_out))
    drawn = power.draws if power.draws is not None else watts
    of_draws = volts_at_load(wire.volts, drawn, wire.drawn)
    lost = np.where(np.isnan(of_draws), np.inf, 100 * (1 - of_draws / wire.volts))
    if power.value is None:
        return replace(base, basis="bounded", low=draws.interval(lost)[0], note=note)
    if power.draws is None:
        return replace(base, value=value, note=joined(note, "error not stated"))
    return replace(base, **measured(lost, value), note=note)


def _against(left: float, cut_out: Finding | None) -> str:
    """Volts left at the cooler, against those at which it was seen to cut out. [V]"""
    if cut_out is None or (cut_out.high is None and cut_out.value is None):
        return "its cut-out was not measured"
    if cut_out.basis == "bounded":
        ran = f"{number(cut_out.high, 1)} V"
        return f"it still ran at {ran} when measured" if left >= cut_out.high else (
            f"below {ran}, the least at which it was seen to run")
    highest = cut_out.high if cut_out.high is not None else cut_out.value
    lowest = cut_out.low if cut_out.low is not None else cut_out.value
    if left > highest:
        return f"{number(left - highest, 1)} V above its measured cut-out"
    if left < lowest:
        return f"{number(lowest - left, 1)} V below its measured cut-out: it would stop"
    return "at its measured cut-out: it may stop"
