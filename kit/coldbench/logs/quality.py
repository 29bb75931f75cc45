"""What a run's readings say of their own quality; every repair and doubt becomes a notice."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coldbench.findings import Notice
from coldbench.logs.agree import air_above_ambient, counter_against_power, tare_jumps
from coldbench.logs.codes import suspected_codes
from coldbench.logs.counter import Counter, most_power, repaired_counter
from coldbench.logs.limits import QUALITY
from coldbench.logs.record import Trace
from coldbench.logs.spikes import moves_within, spikes, stuck
from coldbench.logs.words import listed, many, often, told_time
from coldbench.quantities import number
from coldbench.sheets import Campaign
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.run import ColumnSheet, LogSheet

SAME_PLACE = "same-place"  # there probes are put into ice water by hand
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
    logged = [trace for trace in mended.values() if not trace.by_hand]
    for trace in logged:
        if ROLE_KINDS[base_role(trace.role)] == "temperature":
            notices += _temperature_notices(campaign, run, trace, logged)
        elif base_role(trace.role) == "mass":
            notices += _scale_notice(campaign, cooler, trace)
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
    if found.falls:
        yield Notice(
            "LOG-COUNTER-FALLS", "doubt", trace.file,
            f"The energy counter falls {often(found.falls)}: is it the energy of each interval? If "
            'so, say how long one is in its column: bucket = "1 h". As a counter it gives bounds '
            "only.", cooler)
        return
    for broken in found.breaks[:3]:
        high = f"{number(broken.high, 0)} Wh" if np.isfinite(broken.high) else "an unknown amount"
        yield Notice(
            "LOG-COUNTER-BROKEN", "doubt", trace.file,
            f"The energy counter cannot be followed at {told_time(broken.t1, campaign.tz)}: "
            f"{WORDS[broken.what]}. Between {number(broken.low, 0)} Wh and {high} flowed there; an "
            "energy across it has bounds only.", cooler)
    if len(found.breaks) > 3:
        yield Notice("LOG-COUNTER-BROKEN", "doubt", trace.file,
                     f"The energy counter cannot be followed {often(len(found.breaks) - 3)} more.",
                     cooler)
    if found.rolls_at:
        yield Notice(
            "LOG-COUNTER-RANGE", "doubt", trace.file,
            "Does the energy counter roll over there? If so, add to its instrument in "
            f'campaign.toml: counter_range = "{found.rolls_at / 1000:.10g} kWh"', cooler)


def _temperature_notices(
    campaign: Campaign, run: str, trace: Trace, logged: list[Trace]
) -> Iterator[Notice]:
    cooler, role = campaign.runs[run].cooler, trace.role
    at = spikes(trace.y)
    if len(at):
        when = listed(f"{told_time(trace.t[i], campaign.tz)} "
                      f"({number(float(trace.y[i]), 1)} °C)" for i in at)
        yield Notice("LOG-SPIKE", "doubt", trace.file,
                     f"{many(len(at), 'reading')} of {role} far from both neighbours: {when}. "
                     "Nothing was removed or smoothed.", cooler)
    suspected = [] if SAME_PLACE in campaign.runs[run].kind else suspected_codes(trace.y)
    if suspected:
        when = listed(f"{told_time(trace.t[i], campaign.tz)} ({many(j - i, 'reading')} of "
                      f"{number(float(trace.y[i]), 0)} °C)" for i, j in suspected)
        yield Notice(
            "LOG-CODE-KEPT", "doubt", trace.file,
            f"Was {role} in a bath, or are these an error code of the instrument? It jumps to one "
            f"and the same value and back: {when}. They were kept. If they are a code, blank them "
            "in a copy of the log.", cooler)
    held = stuck(trace.t, trace.y, trace.gap)
    if held is not None and any(moves_within(other.t, other.y, *held) for other in logged
                                if other is not trace):
        hours = (held[1] - held[0]) / 3600
        yield Notice(
            "LOG-STUCK", "doubt", trace.file,
            f"{role} shows one and the same value for {number(hours, 1)} h from "
            f"{told_time(held[0], campaign.tz)} on, while other readings move: a probe that is "
            "stuck, in melting ice, or read in coarse steps.", cooler)


def _scale_notice(campaign: Campaign, cooler: str, trace: Trace) -> Iterator[Notice]:
    first, size = tare_jumps(trace.y, trace.resolution)
    if len(first):
        when = listed(f"{told_time(trace.t[i], campaign.tz)} ({number(1000 * jump, 0)} g)"
                      for i, jump in zip(first, size.tolist(), strict=True))
        yield Notice("LOG-TARE", "doubt", trace.file,
                     f"The scale jumps {often(len(first))}: {when}: emptied, tared, or something "
                     "was put on it.", cooler)


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
            lines = _exchanged(sheet.log)
            yield Notice(
                "LOG-SWAPPED", "doubt", run,
                f"Were the probes of air and ambient swapped? The inside is {number(above, 1)} K "
                f"warmer than the room while the cooler runs. If so, write in the run sheet: "
                f"{lines}", sheet.cooler)


def _exchanged(logs: list[LogSheet]) -> str:
    """The columns of air and ambient with each other's role, as lines to paste."""
    to = {"air": "ambient", "ambient": "air"}
    return " and ".join(
        f"{_key(heading)} = {_value(column, to[column.role])}" for log in logs
        for heading, column in log.columns.items() if column.role in to)


def _value(column: ColumnSheet, role: str) -> str:
    """A column's new role; what else its table says stays as it is."""
    alone = set(column.model_fields_set) == {"role"}
    return f'"{role}"' if alone else f'{{ role = "{role}", … }}'


def _key(heading: str) -> str:
    plain = heading.isascii() and heading.replace("-", "").replace("_", "").isalnum()
    return heading if plain else json.dumps(heading, ensure_ascii=False)
