"""What a run's readings say of their own quality; every repair and doubt becomes a notice."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coldbench.findings import Notice
from coldbench.logs.agree import air_above_ambient, counter_against_power, tare_jumps
from coldbench.logs.counter import Counter, most_power, repaired_counter
from coldbench.logs.limits import QUALITY
from coldbench.logs.record import Trace
from coldbench.logs.spikes import spikes, stuck
from coldbench.logs.words import listed, many, often, told_time
from coldbench.quantities import number
from coldbench.sheets import Campaign
from coldbench.sheets.roles import ROLE_KINDS, base_role

COOLING = {"pull-down", "steady", "freeze"}
WORDS = {
    "reset": "it was reset", "return": "it found an old count again",
    "jump": "it rose by more than the power allows",
}


def quality(
    campaign: Campaign, run: str, traces: dict[str, Trace], zero: float
) -> tuple[dict[str, Trace], list[Notice]]:
    """Mend what can be mended in a run's traces, and tell what looks wrong.

    Parameters
    ----------
    campaign : Campaign
        Sheets.
    run : str
        Id of the run.
    traces : dict of str to Trace
        By role.
    zero : float
        Time zero, POSIX. [s]

    Returns
    -------
    traces : dict of str to Trace
        Energy counters only grow; all else is as it was.
    notices : list of Notice
        In the order of the roles.
    """
    cooler = campaign.runs[run].cooler
    mended, notices = {}, []
    for name, trace in traces.items():
        if base_role(trace.role) == "energy":
            trace, said = _counter(campaign, cooler, trace, traces)
            notices += said
        mended[name] = trace
    notices += [notice for trace in mended.values() if not trace.by_hand
                for notice in _trace_notices(campaign, cooler, trace)]
    notices += _between(campaign, run, mended, zero)
    return mended, notices


def _counter(
    campaign: Campaign, cooler: str, trace: Trace, traces: dict[str, Trace]
) -> tuple[Trace, list[Notice]]:
    power = traces.get(trace.role.replace("energy", "power", 1))
    claims = campaign.coolers[cooler].claims
    rated = claims.power.value if claims and claims.power else None
    most = most_power(power.y if power is not None else None, rated)
    step = trace.counter_step or trace.resolution
    found = repaired_counter(trace.t, trace.y, most, trace.counter_range or None, step)
    if found.y is trace.y:
        return trace, []
    return replace(trace, y=found.y, broken=found.breaks), list(
        _counter_notices(campaign, cooler, trace, found))


def _counter_notices(
    campaign: Campaign, cooler: str, trace: Trace, found: Counter
) -> Iterator[Notice]:
    if found.rollovers:
        when = listed(told_time(t, campaign.tz) for t in found.rollovers)
        yield Notice("LOG-COUNTER-ROLLED", "note", trace.file,
                     f"The energy counter rolled over {often(len(found.rollovers))} at its range: "
                     f"{when}. Its energy is counted on.", cooler)
    for broken in found.breaks[:3]:
        high = f"{number(broken.high, 0)} Wh" if np.isfinite(broken.high) else "an unknown amount"
        yield Notice(
            "LOG-COUNTER-BROKEN", "doubt", trace.file,
            f"The energy counter cannot be followed at {told_time(broken.t1, campaign.tz)}: "
            f"{WORDS[broken.what]}. Between {number(broken.low, 0)} Wh and {high} flowed there; an "
            "energy across it has bounds only.", cooler)
    if len(found.breaks) > 3:
        yield Notice("LOG-COUNTER-BROKEN", "doubt", trace.file,
                     f"… and {often(len(found.breaks) - 3)} more.", cooler)
    if found.rolls_at:
        yield Notice(
            "LOG-COUNTER-RANGE", "doubt", trace.file,
            "Does the energy counter roll over there? If so, add to its instrument in "
            f'campaign.toml: counter_range = "{found.rolls_at / 1000:g} kWh"', cooler)


def _trace_notices(campaign: Campaign, cooler: str, trace: Trace) -> Iterator[Notice]:
    if ROLE_KINDS[base_role(trace.role)] == "temperature":
        at = spikes(trace.y)
        if len(at):
            when = listed(f"{told_time(trace.t[i], campaign.tz)} "
                          f"({number(float(trace.y[i]), 1)} °C)" for i in at)
            yield Notice("LOG-SPIKE", "doubt", trace.file,
                         f"{many(len(at), 'reading')} of {trace.role} far from both neighbours: "
                         f"{when}. Nothing was removed or smoothed.", cooler)
        held = stuck(trace.t, trace.y)
        if held is not None:
            hours = (held[1] - held[0]) / 3600
            yield Notice(
                "LOG-STUCK", "doubt", trace.file,
                f"{trace.role} shows one and the same value for {number(hours, 1)} h from "
                f"{told_time(held[0], campaign.tz)} on: a probe that is stuck, in melting ice, or "
                "read in coarse steps.", cooler)
    if base_role(trace.role) == "mass" and len(at := tare_jumps(trace.y)):
        when = listed(f"{told_time(trace.t[i], campaign.tz)} "
                      f"({number(1000 * float(trace.y[i] - trace.y[i - 1]), 0)} g)" for i in at)
        yield Notice("LOG-TARE", "doubt", trace.file,
                     f"The scale jumps {often(len(at))}: {when}: emptied, tared, or something was "
                     "put on it.", cooler)


def _between(
    campaign: Campaign, run: str, traces: dict[str, Trace], zero: float
) -> Iterator[Notice]:
    sheet = campaign.runs[run]
    power, counter = traces.get("power"), traces.get("energy")
    if power is not None and counter is not None and power.metered_at == counter.metered_at:
        both = counter_against_power(power, counter)
        if both and abs(both[1] / both[0] - 1) > QUALITY.counter_apart:
            yield Notice(
                "LOG-COUNTER-APART", "doubt", counter.file,
                f"Power sums up to {number(both[0], 1)} Wh where the counter says "
                f"{number(both[1], 1)} Wh: {number(100 * (both[1] / both[0] - 1), 1)} % apart. One "
                "of the two is wrong.", sheet.cooler)
    air, ambient = traces.get("air"), traces.get("ambient")
    running = sheet.machine in (None, "running") and COOLING & set(sheet.kind)
    if air is not None and ambient is not None and running:
        above = air_above_ambient(air, ambient, zero)
        if above > QUALITY.swapped:
            yield Notice(
                "LOG-SWAPPED", "doubt", run,
                f"The inside is {number(above, 1)} K warmer than the room while the cooler runs: "
                "were the probes of air and ambient swapped? If so, change their roles in the run "
                "sheet.", sheet.cooler)
