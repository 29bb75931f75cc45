"""Heat leak of a box, by an inside heater, by warming up, by melting ice."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.balance import Balance, at_end, balance, end_span
from coldbench.analysis.context import Context
from coldbench.analysis.doubt import true_of
from coldbench.analysis.heat import load_heat, load_mass
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.structure import StructureHeat, modelled_structure
from coldbench.findings import Finding, measured
from coldbench.logs.cumulative import cumulative
from coldbench.physics.water import CP_ICE, LATENT_HEAT

HOUR = 3600.0
OPENED = {"power on", "load in", "load out", "lid opened"}
NO_SIZE = "the box's volume or sides, for the heat that its structure stores"


def heat_leak(context: Context) -> tuple[list[Finding], Balance | None]:
    """Heat leak findings of a run, by its kinds.

    Parameters
    ----------
    context : Context
        Run of kind ``heater``, ``warm-up`` or ``ice-melt``.

    Returns
    -------
    findings : list of Finding
        ``heat_leak`` [W/K]: a value, bounds where too little was lost, or what would be needed.
    balance : Balance or None
        What the value rests on, for pairs of two loads and the printed method.

    References
    ----------
    .. [1] This kit's own definitions; the first law for a closed box.
    """
    kinds = context.run.kind
    if "heater" in kinds:
        row, span = _by_heater(context)
        return [row], span
    if "ice-melt" in kinds:
        row, span = _by_ice(context)
        return [row], span
    if "warm-up" in kinds:
        return _by_warm_up(context)
    return [], None


def _which(context: Context) -> str:
    """``walls`` or ``off``: an unpowered thermoelectric machine lets heat back in."""
    cooler = context.campaign.coolers[context.record.cooler]
    bridged = cooler.technology == "thermoelectric" and context.run.machine != "out"
    return "off" if bridged else "walls"


def _row(context: Context, method: str, span: Balance | None) -> Finding:
    """The row of one method without its value."""
    record = context.record
    conditions: dict[str, float | str] = {}
    coverage = None
    if span is not None:
        conditions = context.conditions(span.t0, span.t1, inside=span.inside, wall=span.wall,
                                        window=(span.t1 - span.t0) / HOUR)
        coverage = span.coverage
    return Finding(
        cooler=record.cooler, finding="heat_leak", at=f"{_which(context)} {method}",
        unit="W/K", runs=(record.run,), conditions=conditions, coverage=coverage,
    )


def of_method(true: np.ndarray, row: Finding, limit: float) -> np.ndarray:
    """Draws of a heat leak, widened by what its method itself leaves open.

    Parameters
    ----------
    true : ndarray, shape (4000,)
        As the instruments allow. [W/K]
    row : Finding
        Names the hidden constant.
    limit : float
        Of the method: one probe for all of the inside, walls that still store or give heat. [-]

    Returns
    -------
    ndarray, shape (4000,)
        [W/K]

    References
    ----------
    .. [1] This kit's own definition; the limits come from trial on simulated boxes.
    """
    return true * (1 + draws.uniform(f"{row.runs[0]} {row.at} method", limit))


def _switched_off(context: Context) -> float:
    """When the cooler stopped: the mark ``power off``, else the run's time zero. [s]"""
    off = [mark.t for mark in context.record.marks if mark.what == "power off"]
    return off[0] if off else context.record.zero


def _closed_until(context: Context, off: float) -> float:
    """End of the stretch in which the box stood shut and off. [s]"""
    after = [m.t for m in context.record.marks if m.t > off and m.what in OPENED]
    return min([*after, context.record.end])


def _structure(context: Context) -> StructureHeat | None:
    """Structure heat of the run's cooler, as modelled."""
    record = context.record
    return modelled_structure(record.cooler, context.campaign.coolers[record.cooler],
                              context.run.machine == "out")


def _missing(row: Finding, needs: str) -> Finding:
    return replace(row, basis="not measured", note=f"needs {needs}")


def _by_heater(context: Context) -> tuple[Finding, Balance | None]:
    """Power in, over the difference; what is still being stored is taken off."""
    row = _row(context, "heater", None)
    span = balance(context, _settled_from(context), context.end)
    if span is None:
        return _missing(row, "inside air and ambient, and the temperature of any load"), span
    row = _row(context, "heater", span)
    power, power_true, said = heater_power(context, span)
    if power is None:
        return _missing(row, "the heater's power, logged or typed"), span
    structure = _structure(context)
    if structure is None:
        return _missing(row, NO_SIZE), span
    seconds = span.t1 - span.t0
    stored = span.load + structure.value * span.rise
    value = (power * seconds - stored) / -span.drive
    notes = [said, structure.note, f"{stored / seconds:.2g} W still being stored"]
    if -span.drive / seconds < LIMITS.leak_difference:
        notes.append(f"inside only {-span.drive / seconds:.1f} K above ambient")
    row = replace(row, note="; ".join(note for note in notes if note))
    if not span.stated or power_true is None:
        return replace(row, value=value, note=f"{row.note}; error not stated"), span
    stored_true = span.load_true + structure.draws * span.rise_true
    true = (power_true * seconds - stored_true) / -span.drive_true
    true = of_method(true, row, LIMITS.model_heater)
    return replace(row, **measured(true, value)), span


def _settled_from(context: Context) -> float:
    """Where the last part of a heater run begins: its last third, at least two hours."""
    end, zero = context.end, context.record.zero
    return max(zero, end - max(LIMITS.slope_window * HOUR, (end - zero) / 3))


def heater_power(
    context: Context, span: Balance
) -> tuple[float | None, np.ndarray | None, str]:
    """Mean heat put in: logged, else typed, else volts times amperes of the heater.

    Parameters
    ----------
    context : Context
        Run of kind ``heater``.
    span : Balance
        Where the mean is taken; readings by eye count alike, whenever they were made.

    Returns
    -------
    mean : float or None
        None where nothing of it was read. [W]
    draws : ndarray, shape (4000,), or None
        None where an instrument states no error. [W]
    said : str
        How it is known, where the reader has to know.

    References
    ----------
    .. [1] This kit's own definition.
    """
    trace, typed = context.record.trace("heater"), context.run.heater
    if trace is not None:
        mean = float(cumulative(trace).mean(span.t0, span.t1))
        return mean, true_of(trace, mean), ""
    if typed is None:
        return _volts_times_amperes(context, span)
    limit, said = typed.power.limit, ""
    if limit is None:
        limit = LIMITS.electrical * typed.power.value
        said = f"limit of {100 * LIMITS.electrical:g} % assumed for the heater's power"
    name = f"{context.record.run} heater"
    return typed.power.value, typed.power.value + draws.uniform(name, limit), said


def _volts_times_amperes(
    context: Context, span: Balance
) -> tuple[float | None, np.ndarray | None, str]:
    """With the machine off, what volts and amperes were read of is the heater."""
    power, true = 1.0, np.ones(draws.DRAWS)
    for role in ("voltage", "current"):
        trace = context.record.trace(role)
        if trace is None:
            return None, None, ""
        mean = float(np.mean(trace.y))
        if not trace.by_hand:
            mean = float(cumulative(trace).mean(span.t0, span.t1))
        one = true_of(trace, mean)
        power, true = power * mean, None if true is None or one is None else true * one
    return power, true, "heater's power from volts and amperes"


def _by_ice(context: Context) -> tuple[Finding, Balance | None]:
    """Heat that melted a weighed part of the ice."""
    ice = context.run.ice
    zero, end = context.record.zero, context.end
    span = balance(context, zero, end, by_weight=True)
    row = _row(context, "ice melt", span)
    if ice is None or ice.mass is None or ice.drained is None:
        return _missing(row, "the mass of the ice and of the water poured off at the end"), span
    if span is None:
        return _missing(row, "inside air and ambient, and the temperature of any load"), span
    structure = _structure(context)
    if structure is None:
        return _missing(row, NO_SIZE), span
    start = ice.start.value if ice.start is not None else 0.0
    each = LATENT_HEAT
    chilled = CP_ICE * max(-start, 0.0) * ice.mass.value
    # Ice is wet when it is weighed: that water never melted.
    wet = LIMITS.wet_ice / 2 * ice.mass.value
    heat = (ice.drained.value - wet) * each + chilled + span.load + structure.value * span.rise
    value = heat / span.drive
    notes = [structure.note]
    if ice.start is None:
        notes.append("ice taken to be at 0 °C at the start")
    if ice.drained.value > 0.95 * ice.mass.value:
        notes.append("nearly all ice had melted, when is not known: a lower bound")
    row = replace(row, note="; ".join(notes))
    if not span.stated:
        return replace(row, value=value, note=f"{row.note}; error not stated"), span
    run = context.record.run
    limit = ice.drained.limit if ice.drained.limit is not None else LIMITS.scale * ice.drained.value
    drained = ice.drained.value + draws.uniform(f"{run} drained", limit)
    melted = drained - wet + draws.uniform(f"{run} wet ice", wet)
    true = (melted * each + chilled + span.load_true + structure.draws * span.rise_true)
    true = of_method(true / span.drive_true, row, LIMITS.model_ice)
    if ice.drained.value > 0.95 * ice.mass.value:
        return replace(row, basis="bounded", low=draws.interval(true)[0]), span
    return replace(row, **measured(true, value)), span


def _by_warm_up(context: Context) -> tuple[list[Finding], Balance | None]:
    """Heat regained by load and structure over the time integral of the difference."""
    off = _switched_off(context)
    end = _closed_until(context, off)
    span = balance(context, min(off + LIMITS.warm_up_from, end - HOUR), end)
    row = _row(context, "warm-up", span)
    if context.run.ice is not None:
        return [_missing(row, "a run without ice, or one of kind ice-melt with the water weighed")
                ], None
    if not context.run.load:
        return [_missing(row, "a load of known mass with a probe in it")], None
    if span is None:
        return [_one_sided(context, row, off, end)], None
    structure = _structure(context)
    if structure is None:
        return [_missing(row, NO_SIZE)], span
    value = (span.load + structure.value * span.rise) / span.drive
    lost = _lost(context, off, end)
    row = replace(row, note=f"{structure.note}; {100 * lost:.0f} % of the start difference lost")
    if not span.stated:
        return [replace(row, value=value, note=f"{row.note}; error not stated")], span
    true = (span.load_true + structure.draws * span.rise_true) / span.drive_true
    true = of_method(true, row, LIMITS.model_warm_up)
    if lost < LIMITS.warm_up_lost:
        low, high = draws.interval(true)
        note = f"{row.note}: under {100 * LIMITS.warm_up_lost:g} %, bounds only"
        return [replace(row, basis="bounded", low=low, high=high, note=note)], span
    return [replace(row, **measured(true, value))], span


def _lost(context: Context, off: float, end: float) -> float:
    """Share of the difference to ambient that was lost since the switch-off. [-]"""
    first = balance(context, off, off + HOUR)
    last = balance(context, end - HOUR, end)
    if first is None or last is None or first.drive <= 0:
        return 0.0
    return 1 - last.drive / first.drive


def _one_sided(context: Context, row: Finding, off: float, end: float) -> Finding:
    """A load alone: its slope in the logarithm takes the water for the air, and is too low."""
    places = context.record.loads()
    ambient, _ = context.ambient(off, end)
    air = context.record.trace("air")
    if air is not None or not places or ambient is None:
        return _missing(row, "inside air, ambient and the temperature of the load, clear of 0 °C")
    load = places[0]
    begin = off + LIMITS.warm_up_from
    first, last = at_end(load, begin, +1), at_end(load, end, -1)
    seconds = end - begin - end_span(load)
    ratio = (ambient - first) / (ambient - last) if ambient != last else 0.0
    if not np.isfinite(ratio) or ratio <= 1 or seconds <= 0:
        return _missing(row, "inside air, ambient and the temperature of the load")
    heat = 3600 * float(load_heat(context.run, load_mass(context.run), last, first))
    low = heat / (last - first) * np.log(ratio) / seconds
    return replace(
        row, basis="bounded", low=float(low),
        note="a load alone, without the inside air: its slope reads 14 to 51 % low in trial, so "
             "this is a lower bound only",
    )
