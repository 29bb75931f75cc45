"""What it costs a year to keep a cooler cold as it will be used: electricity, or ice."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import joined
from coldbench.compare.heat_taken import Known, of
from coldbench.compare.use import ALL_HOURS, Use, use_of
from coldbench.findings import Finding, find, measured
from coldbench.physics.water import CP_WATER, LATENT_HEAT
from coldbench.quantities import number
from coldbench.sheets import Campaign

KILO = 1000.0
WH = 3600.0  # joules
ICE = "ice"  # where a passive box is "metered"


@dataclass(frozen=True)
class Year:
    """What all coolers share: use, prices, footing, and what a pull-down is counted on."""

    use: Use
    tariff: float | None
    ice_price: float | None
    inside: float
    role: str


def running_cost(campaign: Campaign, rows: Sequence[Finding]) -> list[Finding]:
    """Cost of a year's electricity, or ice, of every cooler.

    Parameters
    ----------
    campaign : Campaign
        Its ``[money]``, ``[use]`` and ``[footing]``; silent without ``[money]``.
    rows : sequence of Finding
        One a cooler, finding and ``at``: ``daily_energy_footing``, pull-downs to the footing's
        inside, ``ice_needed``, ``load_heat``.

    Returns
    -------
    list of Finding
        ``running_cost`` [currency/yr] at the metering point, or at ``ice``. A cooler that cannot
        hold the footing has none.

    Notes
    -----
    A day from warm takes the energy of the pull-down, then the footing's mean power for the hours
    that are left. The pull-down is that of the load, since what is put in has to become cold
    too, where every cooler that holds the footing has one; else that of the air, for all alike.
    A pull-down longer than the day gives bounds: its whole energy at most, its share by time at
    least, since power is greatest at first. Ice of a passive box is counted for the same hours,
    and for the heat of the load.

    References
    ----------
    .. [1] This kit's own definitions.
    """
    money = campaign.sheet.money
    if money is None:
        return []
    footing = campaign.sheet.footing
    found: list[Finding] = []
    if footing is None:
        return [Finding(cooler=cooler, finding="running_cost", unit=f"{money.currency}/yr",
                        basis="not measured", note="needs [footing] in the campaign sheet")
                for cooler in campaign.coolers]
    inside = footing.inside.value
    year = Year(use_of(campaign.sheet.use), money.tariff and money.tariff.value,
                money.ice_price and money.ice_price.value, inside, _role(rows, inside))
    for cooler, sheet in campaign.coolers.items():
        passive = sheet.technology == "passive"
        name = "ice_needed" if passive else "daily_energy_footing"
        for row in find(rows, cooler=cooler, finding=name):
            base = replace(row, finding="running_cost", unit=f"{money.currency}/yr", draws=None,
                           value=None, low=None, high=None, at=ICE if passive else row.at)
            if row.basis in ("not reached", "not measured"):
                found.append(base)
            elif not _known(row):
                found.append(replace(base, basis="not measured", note="needs both bounds of "
                                     f"{row.kind.title.lower()}"))
            else:
                found += (_ice if passive else _electric)(base, row, rows, year)
    return found


def _role(rows: Sequence[Finding], inside: float) -> str:
    """On what pull-downs are counted: the load where each has one, else the air."""
    for row in find(rows, finding="daily_energy_footing"):
        if _known(row):
            energy = _pull_down(rows, row, "load", inside)[0]
            if energy is None or not _known(energy):
                return "air"
    return "load"


def _pull_down(
    rows: Sequence[Finding], row: Finding, role: str, inside: float
) -> tuple[Finding | None, Finding | None]:
    """Energy and time of a cooler's pull-down to the footing's inside, metered as the row was."""
    target = f"{role}<={inside:g} °C"
    energies = find(rows, cooler=row.cooler, finding="pull_down_energy",
                    at=f"{target} {row.at}".strip())
    times = find(rows, cooler=row.cooler, finding="pull_down_time", at=target)
    return next(iter(energies), None), next(iter(times), None)


def _known(row: Finding) -> bool:
    return row.value is not None or (row.low is not None and row.high is not None)


# --- electricity --------------------------------------------------------------------------------


def _electric(
    base: Finding, row: Finding, rows: Sequence[Finding], year: Year
) -> Iterator[Finding]:
    if year.tariff is None:
        yield replace(base, basis="not measured", note="needs tariff in [money]")
        return
    each = year.use.days * year.tariff / KILO  # money a year for each Wh a day
    point = f"metered at {row.at}" + ("" if row.at == "wall" else ", without an adapter's loss")
    base = replace(base, note=joined(year.use.text, point))
    if not year.use.warm:
        yield combined(base, lambda day: each * day * year.use.hours / ALL_HOURS, row)
        return
    energy, time = _pull_down(rows, row, year.role, year.inside)
    if energy is None or time is None or not (_known(energy) and _known(time)):
        yield replace(base, basis="not measured", note=(
            f"needs a pull-down to {year.inside:g} °C with power at {row.at}"))
        return
    mass = energy.conditions.get("load") if year.role == "load" else None
    load = f" of {number(float(mass), 2)} kg" if mass is not None else ""
    base = replace(base, runs=tuple(dict.fromkeys(base.runs + energy.runs)),
                   note=joined(
        base.note, f"each start cools the {year.role}{load} to {year.inside:g} °C"))
    if max(n for n in (time.value, time.high) if n is not None) > year.use.hours:
        yield _unfinished(base, energy, time, each, year.use.hours)
    else:
        yield combined(base, lambda day, start, hours: each * (
            start + day / ALL_HOURS * np.maximum(year.use.hours - hours, 0.0)), row, energy, time)


def _unfinished(
    base: Finding, energy: Finding, time: Finding, each: float, hours: float
) -> Finding:
    """Not cold when the day ends: between the pull-down's share by time, and all of it."""
    slowest = max(n for n in (time.value, time.high) if n is not None)
    least = energy.low if energy.low is not None else energy.value
    most = energy.high if energy.high is not None else energy.value
    return replace(base, basis="bounded", low=each * least * min(1.0, hours / slowest),
                   high=each * most, note=joined(base.note, f"not surely cold within {hours:g} h"))


# --- ice ----------------------------------------------------------------------------------------


def _ice(base: Finding, row: Finding, rows: Sequence[Finding], year: Year) -> Iterator[Finding]:
    if year.ice_price is None:
        yield replace(base, basis="not measured", note="needs ice_price in [money]")
        return
    each = year.use.days * year.ice_price
    a_kilogram = (LATENT_HEAT + CP_WATER * max(year.inside, 0.0)) / WH
    base = replace(base, note=year.use.text)
    heat = find(rows, cooler=row.cooler, finding="load_heat", at=f"load<={year.inside:g} °C")
    if not year.use.warm:
        yield combined(base, lambda day: each * day * year.use.hours / ALL_HOURS, row)
    elif year.role == "load" and heat and _known(heat[0]):
        mass = heat[0].conditions.get("load")
        load = f"a load of {number(float(mass), 2)} kg" if mass is not None else "the load"
        base = replace(base, runs=tuple(dict.fromkeys(base.runs + heat[0].runs)), note=joined(
            base.note, f"ice for the hours and to cool {load}, none for the box itself"))
        yield combined(base, lambda day, warm: each * (
            day * year.use.hours / ALL_HOURS + warm / a_kilogram), row, heat[0])
    else:
        base = replace(base, note=joined(base.note, "ice to cool what is put in warm not counted"))
        yield combined(base, lambda day: each * day * year.use.hours / ALL_HOURS, row)


# --- a value with its draws, or bounds ----------------------------------------------------------


def combined(base: Finding, formula: Callable[..., object], *parts: Finding) -> Finding:
    """A row out of others, along each of which it grows.

    Parameters
    ----------
    base : Finding
        Row without its value.
    formula : callable
        Takes values, draws, or ends of the parts.
    *parts : Finding
        Each with a value or bounds; an end that one of them leaves open stays open.

    Returns
    -------
    Finding
        With value and draws; bounds where a part is a bound; without an interval where one states
        no error. [unit of base]

    References
    ----------
    .. [1] JCGM 101:2008, 7.4, the model evaluated for each draw of its inputs.
    """
    if any(p.value is None for p in parts):
        low, high = (_at_ends(formula, [_end(p, name) for p in parts]) for name in ("low", "high"))
        return replace(base, basis="bounded", low=low, high=high,
                       note=joined(base.note, "from bounds"))
    known = of(formula, *(Known(p.value, p.draws) for p in parts))
    if known.draws is None:
        return replace(base, value=float(known.value), note=joined(base.note, "error not stated"))
    return replace(base, **measured(known.draws, float(known.value)))


def _end(part: Finding, name: str) -> float | None:
    end = getattr(part, name)
    return part.value if end is None else end


def _at_ends(formula: Callable[..., object], ends: Sequence[float | None]) -> float | None:
    return None if None in ends else float(formula(*ends))


def with_spread(row: Finding) -> np.ndarray | None:
    """Draws of a running cost with the assumed spread from run to run, as a comparison needs.

    Parameters
    ----------
    row : Finding
        A running cost.

    Returns
    -------
    ndarray, shape (4000,), or None
        The scatter has the name that differences draw it by. [currency/yr]

    References
    ----------
    .. [1] This kit's own limit.
    """
    if row.draws is None:
        return None
    size = LIMITS.spread_energy * abs(row.value) / np.sqrt(max(len(row.runs), 1))
    return row.draws + draws.normal(f"{row.cooler} {row.finding} {row.at} run to run", size)
