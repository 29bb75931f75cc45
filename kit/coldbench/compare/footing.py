"""Daily energy of all coolers at one ambient and one inside temperature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import joined
from coldbench.compare.footing_ice import ice
from coldbench.compare.heat_taken import Known, of
from coldbench.compare.holds import holds
from coldbench.compare.leaks import Leak, leak_of
from coldbench.compare.states import State, states
from coldbench.findings import Finding, measured
from coldbench.quantities import number

DAY = 24.0
NEEDS = "needs a steady run with power or a counter, inside and ambient"


@dataclass(frozen=True)
class Moved:
    """Mean power at the footing, how it was found, and how far it is from what was measured."""

    power: Known
    how: str
    kelvins: float = 0.0
    runs: tuple[str, ...] = ()


def footing(result: CampaignResult, rows: Sequence[Finding]) -> list[Finding]:
    """Daily energy at the campaign's footing, for each litre too; ice of a passive box.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with the machine's and the heat leaks.

    Returns
    -------
    list of Finding
        ``daily_energy_footing`` [Wh/d], ``daily_energy_per_litre`` [Wh/(d·L)], ``ice_needed``
        [kg/d], ``ice_energy`` [Wh/d]. Nothing without a footing.

    References
    ----------
    .. [1] This kit's own definitions: machine curve, two measured ambients, power law.
    """
    sheet = result.campaign.sheet.footing
    if sheet is None:
        return []
    inside, ambient = sheet.inside.value, sheet.ambient.value
    found: list[Finding] = []
    for cooler, told in result.campaign.coolers.items():
        if told.technology == "passive":
            found += ice(rows, cooler, inside, ambient)
        else:
            found += _of(result, rows, cooler, inside, ambient)
    return found


def _of(
    result: CampaignResult, rows: Sequence[Finding], cooler: str, inside: float, ambient: float
) -> Iterator[Finding]:
    row = Finding(
        cooler=cooler, finding="daily_energy_footing", unit="Wh/d", basis="normalised",
        conditions={"ambient": ambient, "inside": inside},
    )
    known = states(result, rows, cooler)
    judged = holds(known, rows, cooler, inside, ambient)
    points = list(dict.fromkeys(one.at for one in known))
    if not points or judged.can is False:
        at = next(iter(points), "")
        energy = _by_bounds(row, rows)
        if judged.can is False:
            energy = replace(row, at=at, basis="not reached", note=judged.note,
                             runs=tuple(run for one in known for run in one.runs))
        yield energy
        yield replace(energy, finding="daily_energy_per_litre", unit="Wh/(d·L)")
        return
    for at in points:
        here = [one for one in known if one.at == at]
        moved = move(here, leak_of(rows, cooler), cooler, inside, ambient)
        energy = _row(replace(row, at=at), moved, judged.note)
        yield energy
        yield _each_litre(energy, rows)


def _by_bounds(row: Finding, rows: Sequence[Finding]) -> Finding:
    """Of a cooler that was not steady: its bounds, moved by the law at both ends of its doubt."""
    raw = next((f for f in rows if f.cooler == row.cooler and f.finding == "daily_energy"
                and f.basis == "bounded" and f.low is not None and f.high is not None), None)
    told = raw.conditions if raw is not None else {}
    if raw is None or not {"inside", "ambient"} <= set(told):
        return replace(row, basis="not measured", note=NEEDS)
    difference = float(told["ambient"]) - float(told["inside"])
    if difference < LIMITS.footing_difference:
        return replace(row, basis="not measured", note=NEEDS)
    ratio = (float(row.conditions["ambient"]) - float(row.conditions["inside"])) / difference
    reach = ratio ** (LIMITS.law_exponent + 2 * LIMITS.law_doubt * np.array([-1.0, 1.0]))
    return replace(row, at=raw.at.split(" ", 1)[0], basis="bounded", runs=raw.runs,
                   low=float(raw.low * reach.min()),
                   high=float(raw.high * reach.max()), note=f"{raw.note}; moved by the power law")


def move(
    known: Sequence[State], leak: Leak | None, cooler: str, inside: float, ambient: float
) -> Moved:
    """Mean power of a cooler at other temperatures than it was measured at.

    Parameters
    ----------
    known : sequence of State
        At one metering point, at least one.
    leak : Leak or None
        Of the walls.
    cooler : str
        Its id: the doubt in the law is its own.
    inside, ambient : float
        Wanted. [°C]

    Returns
    -------
    Moved
        By the first that serves of: running capacity and power at two ambients with the heat
        leak; two measured ambients; the power law on (ambient − inside).

    References
    ----------
    .. [1] This kit's own definition.
    """
    near = [one for one in known if abs(one.inside.value - inside) <= LIMITS.footing_inside]
    pairs = [sorted(pair, key=lambda one: one.ambient.value) for pair in combinations(near, 2)]
    pairs = [(a, b) for a, b in pairs if a.ambient.value - LIMITS.footing_beyond <= ambient
             <= b.ambient.value + LIMITS.footing_beyond]
    # The pair that lies nearest tells most of the way between.
    pairs.sort(key=lambda pair: sum(abs(one.ambient.value - ambient) for one in pair))
    for a, b in pairs:
        full = a.capacity is not None and b.capacity is not None and a.settled and b.settled
        if full and leak is not None and _gap(a, b) >= LIMITS.footing_machine:
            return _by_machine(a, b, leak, cooler, inside, ambient)
    for a, b in pairs:
        if _gap(a, b) >= LIMITS.footing_ambients:
            return _by_two(a, b, cooler, inside, ambient)
    one = min(known, key=lambda s: abs(s.ambient.value - ambient) + abs(s.inside.value - inside))
    return _by_law(one, cooler, inside, ambient)


def _gap(a: State, b: State) -> float:
    return float(b.ambient.value - a.ambient.value)


def _between(a: State, b: State, ambient: float, x: Known, y: Known) -> Known:
    """On the straight line between two ambients."""
    return of(lambda p, q, s, t: p + (q - p) * (ambient - s) / (t - s), x, y, a.ambient, b.ambient)


def _by_machine(
    a: State, b: State, leak: Leak, cooler: str, inside: float, ambient: float
) -> Moved:
    """Heat leak over running capacity gives the duty, duty and running power the energy."""
    per_kelvin = _follows_inside(a, b, cooler)
    capacity = _between(a, b, ambient, *(
        of(lambda q, s, i: q * (1 + s * (inside - i)), one.capacity, per_kelvin, one.inside)
        for one in (a, b)))
    running, idle = (_between(a, b, ambient, getattr(a, name), getattr(b, name))
                     for name in ("running", "idle"))
    heat = Known(*leak.at_temperatures(inside, ambient))
    duty = of(lambda k, q: k * (ambient - inside) / q, heat, capacity)
    power = of(lambda d, p, i: i + d * (p - i), duty, running, idle)
    how = (f"machine curve of {number(a.ambient.value, 1)} and {number(b.ambient.value, 1)} °C "
           f"ambient and the heat leak: duty {number(100 * float(duty.value), 0)} %")
    return Moved(power, how, _outside(a, b, ambient), a.runs + b.runs)


def _follows_inside(a: State, b: State, cooler: str) -> Known:
    """Relative rise of the running capacity for each kelvin of a warmer inside. [1/K]

    Modules see the difference of both sides, whichever moves, and with heat let back while they
    rest two states tell how they follow it; of an evaporator it is assumed.
    """
    doubt = Known(0.0, draws.uniform(f"{cooler} capacity follows inside", LIMITS.capacity_doubt))
    if a.law == LIMITS.law_switched == b.law:
        return of(lambda p, q, s, t, d: 2 * (p - q) / (p + q) / (t - s) + d, a.capacity,
                  b.capacity, a.difference, b.difference, doubt)
    return of(lambda d: LIMITS.capacity_follows + d, doubt)


def _by_two(a: State, b: State, cooler: str, inside: float, ambient: float) -> Moved:
    """Each moved to the wanted inside, and then to the ambient, by the law that both give."""
    above = [of(lambda p, i: p - i, one.power, one.idle) for one in (a, b)]
    # What an inside does to the power is not just what an ambient does: it moves the capacity.
    apart = draws.uniform(f"{cooler} capacity follows inside", LIMITS.capacity_doubt)
    law = of(lambda p, q, s, t, doubt, d: np.log(q / p) / np.log(t / s) + doubt + d * t, *above,
             a.difference, b.difference, _doubt(cooler), Known(0.0, apart))
    alike = [_law(one, law, inside, one.ambient) for one in (a, b)]
    active = [of(lambda p, i: p - i, p, one.idle) for p, one in zip(alike, (a, b), strict=True)]
    share = of(lambda s, t: np.log((ambient - inside) / (s - inside))
               / np.log((t - inside) / (s - inside)), a.ambient, b.ambient)
    idle = _between(a, b, ambient, a.idle, b.idle)
    power = of(lambda p, q, w, i: i + p * (q / p) ** w, *active, share, idle)
    how = (f"between {number(a.ambient.value, 1)} and {number(b.ambient.value, 1)} °C ambient, "
           f"both measured; {a.said}")
    return Moved(power, how, _outside(a, b, ambient), a.runs + b.runs)


def _by_law(one: State, cooler: str, inside: float, ambient: float) -> Moved:
    law = of(lambda doubt: one.law + doubt, _doubt(cooler))
    power = _law(one, law, inside, Known(ambient, np.full(draws.DRAWS, ambient)))
    kelvins = abs(one.ambient.value - ambient) + abs(one.inside.value - inside)
    how = (f"power law on the difference, exponent {one.law:g} ± "
           f"{LIMITS.law_doubt:g} (standard uncertainty), moved {number(kelvins, 1)} K; {one.said}")
    return Moved(power, how, float(kelvins), one.runs)


def _doubt(cooler: str) -> Known:
    """Of the power law's exponent: what a machine's curve is, nobody knows unmeasured. [-]"""
    return Known(0.0, draws.normal(f"{cooler} ambient law", LIMITS.law_doubt))


def _law(one: State, law: Known, inside: float, ambient: Known) -> Known:
    return of(lambda p, i, n, d, a: i + (p - i) * (np.maximum(a - inside, 0.0) / d) ** n,
              one.power, one.idle, law, one.difference, ambient)


def _outside(a: State, b: State, ambient: float) -> float:
    """How far an ambient lies outside of two. [K]"""
    return float(max(a.ambient.value - ambient, ambient - b.ambient.value, 0.0))


def _row(row: Finding, moved: Moved, doubt: str) -> Finding:
    row = replace(row, runs=moved.runs, note=joined(moved.how, doubt))
    energy = of(lambda p: DAY * p, moved.power)
    far = moved.kelvins > LIMITS.footing_far
    if energy.draws is None and (far or doubt):
        return replace(row, basis="not measured",
                       note=joined(row.note, "needs the instruments' errors for an interval"))
    if energy.draws is None:
        return replace(row, value=float(energy.value), note=joined(row.note, "error not stated"))
    if far or doubt:
        low, high = draws.interval(energy.draws)
        note = row.note if doubt else joined(
            row.note, f"moved by more than {LIMITS.footing_far:g} K: an interval only")
        return replace(row, basis="bounded", low=low, high=high, note=note)
    return replace(row, **measured(energy.draws, float(energy.value)))


def _each_litre(energy: Finding, rows: Sequence[Finding]) -> Finding:
    row = replace(energy, finding="daily_energy_per_litre", unit="Wh/(d·L)", draws=None,
                  note=energy.note if energy.value is None else "")
    by = {f.finding: f for f in reversed(rows) if f.cooler == energy.cooler}
    litres = by.get("usable_volume") or by.get("inside_volume")
    if litres is None or not litres.value:
        return replace(row, basis="not measured", value=None, low=None, high=None,
                       note="needs the usable or the inside volume")
    said = "" if litres.finding == "usable_volume" else "inside litres, usable ones not stated"
    row = replace(row, note=joined(row.note, said))
    if energy.value is None:
        return replace(row, **{end: None if (x := getattr(energy, end)) is None
                               else x / litres.value for end in ("low", "high")})
    value = energy.value / litres.value
    if energy.draws is None or litres.draws is None:
        return replace(row, value=value, low=None, high=None,
                       note=joined(row.note, "error not stated"))
    return replace(row, **measured(energy.draws / litres.draws, value))
