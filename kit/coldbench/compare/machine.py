"""What a machine takes from the inside, for how much electricity, and against the ideal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.context import Context
from coldbench.analysis.coverage import by_coverage, seen_bounds
from coldbench.analysis.settled_power import mean_power
from coldbench.analysis.settled_rows import base_row, joined, setting_of, valued
from coldbench.analysis.steady import SteadyWindow
from coldbench.compare.heat_taken import Missing, Taken, heat_taken, of
from coldbench.compare.hot_side import hot_side_resistance
from coldbench.compare.leaks import Leak, leak_of
from coldbench.findings import Finding, find, measured

KELVIN = 273.15
NEEDS_LEAK = "a heat leak: a heater, warm-up or ice-melt run"
# With its machine off, heat comes back through the modules: that heat leak would flatter them.
NEEDS_WALLS = ("the heat leak of the walls alone: a heater, warm-up or ice-melt run with the "
               "module out, or the module's data sheet")


def machine(result: CampaignResult, rows: Sequence[Finding]) -> list[Finding]:
    """Capacity, COP and Carnot of all runs with a steady window that passed.

    Parameters
    ----------
    result : CampaignResult
        All runs, analysed.
    rows : sequence of Finding
        Of the campaign: the heat leak of the walls is taken from them.

    Returns
    -------
    list of Finding
        ``cooling_capacity``, ``running_capacity`` [W], ``cop``, ``carnot_cop``,
        ``carnot_fraction`` [-], and ``hot_side_resistance`` [K/W] of a thermoelectric machine
        whose hot side was logged. None for a passive box.

    References
    ----------
    .. [1] First law for the inside; the COP of a reversible machine between two temperatures
       (Carnot) in any textbook of thermodynamics. Windows and names are this kit's own.
    """
    found: list[Finding] = []
    for of_run in result.results.values():
        context = Context(of_run.record, result.campaign)
        window = of_run.steady
        passive = context.campaign.coolers[context.record.cooler].technology == "passive"
        if window is None or not window.passed or passive or context.run.machine == "out":
            continue
        found += _of_run(context, window, of_run, rows)
    return [by_coverage(row) for row in found]


def _of_run(
    context: Context, window: SteadyWindow, of_run: RunResult, rows: Sequence[Finding]
) -> list[Finding]:
    capacity, taken = _capacity(context, window, rows)
    power = _power(context, window, of_run)
    at = power.at if power is not None else capacity.at
    bare = replace(capacity, note="", unit="-")
    running = replace(bare, finding="running_capacity", unit="W")
    cop, ideal = replace(bare, finding="cop", at=at), replace(bare, finding="carnot_cop")
    fraction = replace(cop, finding="carnot_fraction")
    if taken is None:
        empty = [replace(row, note=capacity.note) for row in (running, cop, ideal, fraction)]
        return [capacity, *empty]
    cop, ideal = _cop(cop, capacity, power), _ideal(ideal, taken)
    found = [capacity, _running(context, running, capacity, of_run), cop, ideal,
             quotient(replace(fraction, coverage=cop.coverage), cop, ideal)]
    resistance = hot_side_resistance(context, window, bare, taken.taken, power)
    return found if resistance is None else [*found, resistance]


def _capacity(
    context: Context, window: SteadyWindow, rows: Sequence[Finding]
) -> tuple[Finding, Taken | None]:
    """The heat taken, and what it is made of."""
    record = context.record
    traces = [t for role in ("air", "ambient") if (t := record.trace(role)) is not None]
    base = base_row(context, window, "cooling_capacity", *traces, unit="W", at=setting_of(context))
    leak = leak_of(rows, record.cooler, "walls")
    try:
        if leak is None:
            raise Missing(_needs_leak(context))
        taken = heat_taken(context, window, leak, rows)
    except Missing as missing:
        return replace(base, basis="not measured", note=f"needs {missing}"), None
    source = leak.finding
    conditions = {**base.conditions, "wall": taken.wall}
    said = joined(base.note, taken.note, f"heat leak: {source.at} ({' '.join(source.runs)})",
                  leak.note)
    modelled = source.basis == "modelled"
    base = replace(base, conditions=conditions, note=said,
                   basis="modelled" if modelled else "measured")
    unseen = _unseen(context, window, leak, taken)
    return valued(base, float(taken.taken.value), taken.taken.draws, unseen), taken


def _needs_leak(context: Context) -> str:
    technology = context.campaign.coolers[context.record.cooler].technology
    return NEEDS_WALLS if technology == "thermoelectric" else NEEDS_LEAK


def _unseen(
    context: Context, window: SteadyWindow, leak: Leak, taken: Taken
) -> tuple[float, float]:
    """What was taken while nothing was read: by the smallest and largest difference seen. [W]"""
    record, ambient = context.record, float(taken.ambient.value)
    coldest, warmest = seen_bounds(record.trace("air"), window.t0, window.t1)
    room, logged = (ambient, ambient), record.trace("ambient")
    if logged is not None:
        room = seen_bounds(logged, window.t0, window.t1)
    each = leak.at_wall(taken.wall)
    low, high = draws.interval(each[1]) if each[1] is not None else (each[0], each[0])
    given = float(taken.given.value)  # told by both ends of the window
    return low * (room[0] - warmest) + given, high * (room[1] - coldest) + given


def _power(context: Context, window: SteadyWindow, of_run: RunResult) -> Finding | None:
    """Mean power of this very window, None where nothing electrical was logged."""
    row = next(iter(find(of_run.findings, finding="mean_power")), None)
    if row is None or row.value is None or row.draws is None:
        return row
    # What a short window leaves open of a whole day is open for the heat alike.
    mean, true, _, _ = mean_power(context, replace(window, ambient_move=0.0))
    return replace(row, **measured(true, mean))


def _running(
    context: Context, base: Finding, capacity: Finding, of_run: RunResult
) -> Finding:
    duty = next(iter(find(of_run.findings, finding="duty")), None)
    if duty is None:
        return _missing(base, "power, for the share of time in which the machine runs")
    cooler = context.campaign.coolers[context.record.cooler]
    row = quotient(base, capacity, duty)
    bridged = cooler.technology == "thermoelectric" and duty.value is not None and duty.value < 1
    said = "heat let back in while the modules rest is taken off" if bridged else ""
    return replace(row, note=joined(row.note, said))


def _cop(base: Finding, capacity: Finding, power: Finding | None) -> Finding:
    if power is None:
        return _missing(base, "power or an energy counter")
    row = quotient(base, capacity, power)
    short = power.coverage is not None and power.coverage < (base.coverage or 100.0)
    return replace(row, coverage=power.coverage) if short else row


def _ideal(base: Finding, taken: Taken) -> Finding:
    """COP of a reversible machine between inside and ambient."""
    base = replace(base, value=None, low=None, high=None, draws=None)
    lift = of(lambda a, i: a - i, taken.ambient, taken.inside)
    least = lift.value if lift.draws is None else draws.interval(lift.draws)[0]
    if least <= 0:
        return _missing(base, "an inside that is colder than the ambient beyond doubt")
    ideal = of(lambda i, d: (i + KELVIN) / d, taken.inside, lift)
    # Both temperatures are measured, wherever the heat leak came from.
    return valued(replace(base, basis="measured"), float(ideal.value), ideal.draws)


def quotient(base: Finding, top: Finding, bottom: Finding) -> Finding:
    """One finding over another, draw by draw; bounds where one of them has bounds only.

    Parameters
    ----------
    base : Finding
        The row: identity, conditions and basis.
    top, bottom : Finding
        Both positive.

    Returns
    -------
    Finding
        Not measured where one of them is not. [top over bottom]

    References
    ----------
    .. [1] This kit's own definition; draw by draw after JCGM 101:2008, 7.4.

    Examples
    --------
    >>> heat = Finding(cooler="a", finding="cooling_capacity", value=12.0)
    >>> power = Finding(cooler="a", finding="mean_power", basis="bounded", low=8.0, high=10.0)
    >>> quotient(Finding(cooler="a", finding="cop"), heat, power).high
    1.5
    """
    base = replace(base, value=None, low=None, high=None, draws=None)
    for part in (top, bottom):
        if part.basis in ("not measured", "not applicable"):
            return replace(base, basis=part.basis, note=part.note)
    if top.value is None or bottom.value is None:
        low, high = _over(_low(top), _high(bottom)), _over(_high(top), _low(bottom))
        note = joined(base.note, *(part.note for part in (top, bottom) if part.value is None))
        return replace(base, basis="bounded", low=low, high=high, note=note)
    value = top.value / bottom.value
    if top.draws is None or bottom.draws is None:
        return replace(base, value=value, note=joined(base.note, "error not stated"))
    return replace(base, **measured(top.draws / bottom.draws, value))


def _low(row: Finding) -> float | None:
    return row.low if row.low is not None else row.value


def _high(row: Finding) -> float | None:
    return row.high if row.high is not None else row.value


def _over(top: float | None, bottom: float | None) -> float | None:
    return top / bottom if top is not None and bottom else None


def _missing(row: Finding, needs: str) -> Finding:
    return replace(row, basis="not measured", value=None, low=None, high=None, draws=None,
                   note=f"needs {needs}")
