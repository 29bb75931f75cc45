"""Freezing capacity by the arithmetic of the European label, only for a run that allows it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.crossing import first_below, smooth
from coldbench.analysis.doubt import noise_sd, reading_of
from coldbench.analysis.heat import load_mass, load_mass_draws
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import as_stated
from coldbench.findings import Finding, measured

START, END, AMBIENT = 25.0, -18.0, 25.0
HOURS = 12.0
SCOPE = ("12 h × load / time from +25 to −18 °C at 25 °C ambient, (EU) 2019/2016, Annex IV 1(i); "
         "bottles of water, not the light load of its test: informative")


def freezing_capacity_eu(context: Context) -> list[Finding]:
    """The label's freezing capacity.

    Parameters
    ----------
    context : Context
        Run of kind ``freeze``.

    Returns
    -------
    list of Finding
        ``freezing_capacity_eu`` [kg/12 h]; nothing unless load and ambient were at 25 °C and the
        warmest load place reached −18 °C.

    References
    ----------
    .. [1] Commission Delegated Regulation (EU) 2019/2016, Annex IV 1(h), (i); the limits within
       which a run counts are this kit's own.
    """
    record, loads = context.record, context.record.loads()
    if "freeze" not in context.run.kind or not loads or not context.run.load:
        return []
    put_in = [m.t for m in record.marks if m.what == "load in"]
    zero = put_in[0] if put_in else record.zero
    trace = max(loads, key=lambda place: float(place.y[-1]))
    start = float(np.interp(zero, trace.t, trace.y))
    ambient, _ = context.ambient(zero, context.end)
    curve = smooth(trace, zero, context.end)
    near = ambient is not None and abs(ambient - AMBIENT) <= LIMITS.label_ambient
    if not near or abs(start - START) > LIMITS.label_start or len(curve.t) < 2:
        return []
    at = float(first_below(curve, np.array([END]))[1][0])
    if not np.isfinite(at):
        return []
    mass, hours = load_mass(context.run), (at - zero) / 3600
    row = Finding(
        cooler=record.cooler, finding="freezing_capacity_eu", unit="kg/12 h", runs=(record.run,),
        conditions=context.conditions(zero, at, start=start), note=SCOPE,
        coverage=context.coverage(trace, zero, at),
    )
    reading = reading_of(trace, END)
    true = np.full(draws.DRAWS, at)
    if reading is not None:
        noise = draws.normal(f"{context.name} label noise", noise_sd(trace))
        true = first_below(curve, reading + noise)[1]
        true = np.where(np.isfinite(true), true, np.inf)
    drawn = HOURS * 3600 * load_mass_draws(record.run, context.run) / (true - zero)
    return [as_stated(replace(row, **measured(drawn, HOURS * mass / hours)), trace)]
