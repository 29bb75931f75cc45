"""Sound levels of one run: energy average in a state at a distance, without the background."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.cycles import find_cycles
from coldbench.analysis.doubt import true_of
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import as_stated, joined
from coldbench.findings import Finding, measured
from coldbench.logs.record import Trace
from coldbench.physics.sound import (
    BACKGROUND_LEAST,
    BACKGROUND_NONE,
    background_correction,
    energy_mean,
    level_at,
    level_exceeded,
)
from coldbench.quantities import number

EXCEEDED = (10, 50, 90)  # percent of the time


@dataclass(frozen=True)
class Level:
    """A level as read, and its draws before the instrument's own error. [dB]"""

    value: float
    drawn: np.ndarray


def sound(context: Context) -> list[Finding]:
    """Sound levels of a run of kind ``sound``.

    Parameters
    ----------
    context : Context
        Run with readings or a log of role ``sound``; its ``[sound]`` says state, distance and
        background. Without a state, a logged power that cycles tells running from idle.

    Returns
    -------
    list of Finding
        ``sound_level`` [dB] at ``running 1 m`` and the like; of a log also the levels exceeded
        for 10, 50 and 90 % of the time, at ``running 1 m L10``, background included. An upper
        bound where the background is not known or less than 3 dB below.

    References
    ----------
    .. [1] :mod:`coldbench.physics.sound`; states, scatter and bounds are this kit's own
       definition.
    """
    if "sound" not in context.run.kind:
        return []
    record = context.record
    trace = record.trace("sound") or record.trace("sound by hand")
    if trace is None:
        return [Finding(cooler=record.cooler, finding="sound_level", unit="dB",
                        basis="not measured", runs=(record.run,), note="needs readings of sound")]
    back = _background(context, trace)
    return [row for state, used in _states(context, trace).items() if used.any()
            for row in _rows(context, trace, state, used, back)]


def switched_on(context: Context, trace: Trace) -> np.ndarray:
    """Samples between the marks that switch the cooler on and off.

    Parameters
    ----------
    context : Context
        Run with its marks.
    trace : Trace
        Of role ``sound``.

    Returns
    -------
    ndarray of bool, shape (n,)
        [-]

    References
    ----------
    .. [1] This kit's own definition.
    """
    marks = context.record.marks
    on = min((m.t for m in marks if m.what == "power on"), default=-np.inf)
    off = min((m.t for m in marks if m.what == "power off" and m.t > on), default=np.inf)
    return (trace.t >= on) & (trace.t < off)


def _states(context: Context, trace: Trace) -> dict[str, np.ndarray]:
    """Which samples are of which state; without any telling all are of one that is not named."""
    sheet, on = context.run.sound, switched_on(context, trace)
    state = sheet.state if sheet and sheet.state else ""
    power = context.record.trace("power")
    cycling = find_cycles(power, context.record.zero, context.end) if power is not None else None
    if cycling is None or state not in ("", "running", "idle"):
        return {state: on}
    at = np.searchsorted(cycling.t, trace.t, side="right") - 1
    runs = cycling.state[np.maximum(at, 0)] & (at >= 0)
    states = {"running": on & runs, "idle": on & ~runs}
    return {state: states[state]} if state else states


def _background(context: Context, trace: Trace) -> Level | None:
    """As typed, else from the part of the readings in which the cooler was switched off."""
    sheet, name = context.run.sound, f"{context.name} background"
    if sheet is not None and sheet.background is not None:
        typed = sheet.background
        limit = typed.limit if typed.limit is not None else LIMITS.sound_background
        return Level(typed.value, typed.value + draws.uniform(name, limit))
    off = ~switched_on(context, trace)
    return _level(name, trace, off) if off.any() else None


def _level(name: str, trace: Trace, used: np.ndarray) -> Level:
    """Energy average of some samples, with their scatter."""
    value = float(energy_mean(trace.y[used], _held(trace)[used]))
    return Level(value, value + _scatter(name, trace, trace.y[used]))


def _held(trace: Trace) -> np.ndarray:
    """Time each sample stands for; a reading by eye counts like any other. [s]"""
    if trace.by_hand or len(trace.t) < 2:
        return np.ones(len(trace.t))
    return np.append(np.where(trace.covered, np.diff(trace.t), trace.step), trace.step)


def _scatter(name: str, trace: Trace, y: np.ndarray) -> np.ndarray:
    """Draws of what few readings, or few blocks of a log, leave open in their mean. [dB]"""
    rounding = draws.uniform(f"{name} rounding", trace.resolution / 2)
    blocks = y
    if not trace.by_hand and len(y) >= 2 * LIMITS.sound_blocks:
        # Neighbouring samples of a log hear the same: blocks are more nearly independent.
        blocks = np.array([energy_mean(b) for b in np.array_split(y, LIMITS.sound_blocks)])
    count = len(blocks)
    seen = float(blocks.std(ddof=1)) if count > 1 else 0.0
    if count <= LIMITS.freedom:
        return rounding + draws.normal(name, max(seen, LIMITS.sound_spread) / np.sqrt(count))
    wide = draws.student_scale(f"{name} freedom", count - 1)
    return rounding + wide * draws.normal(name, seen / np.sqrt(count))


def _rows(
    context: Context, trace: Trace, state: str, used: np.ndarray, back: Level | None
) -> Iterator[Finding]:
    name = f"{context.name} sound {state}".strip()
    t0, t1 = float(trace.t[used][0]), float(trace.t[used][-1])
    conditions = context.conditions(t0, t1)
    if back is not None:
        conditions["background"] = back.value
    covered = None if trace.by_hand else context.coverage(trace, t0, t1)
    base = Finding(
        cooler=context.record.cooler, finding="sound_level", at=_at(context, state), unit="dB",
        conditions=conditions, coverage=covered, runs=(context.record.run,),
        note=_unsaid(context, state),
    )
    level = _level(name, trace, used)
    yield _without(context, trace, base, level, back)
    if trace.by_hand or used.sum() < LIMITS.sound_samples:
        return
    for percent in EXCEEDED:
        value = float(level_exceeded(trace.y[used], percent, _held(trace)[used]))
        true = _true(context, trace, value + level.drawn - level.value)
        row = replace(base, at=f"{base.at} L{percent}".strip(),
                      note=joined(base.note, "as read, background included"))
        yield _with(trace, row, value, true)


def _at(context: Context, state: str) -> str:
    sheet = context.run.sound
    far = f"{sheet.distance.value / 1000:g} m" if sheet and sheet.distance else ""
    return f"{state} {far}".strip()


def _unsaid(context: Context, state: str) -> str:
    sheet = context.run.sound
    return joined("" if state else "state not stated",
                  "" if sheet and sheet.distance else "distance not stated")


def _true(context: Context, trace: Trace, drawn: np.ndarray) -> np.ndarray:
    """Draws of what was there: the instrument's error, and where the microphone stood. [dB]"""
    true = true_of(trace, drawn)
    true = drawn if true is None else true
    sheet = context.run.sound
    if sheet is None or sheet.distance is None:
        return true
    asked = sheet.distance
    limit = asked.limit if asked.limit is not None else LIMITS.sound_distance
    stood = asked.value + draws.uniform(f"{context.name} distance", min(limit, 0.5 * asked.value))
    return level_at(true, stood, asked.value)


def _with(trace: Trace, row: Finding, value: float, true: np.ndarray) -> Finding:
    return as_stated(replace(row, **measured(true, value)), trace)


def _without(
    context: Context, trace: Trace, base: Finding, level: Level, back: Level | None
) -> Finding:
    """The level without the background, or the reading as an upper bound."""
    if back is None:
        return _at_most(context, trace, base, level,
                        "background not known: at most this; needs a reading with it switched off")
    difference = level.value - back.value
    if difference < BACKGROUND_LEAST:
        heard = (f"only {number(difference, 1)} dB below" if difference > 0
                 else "as loud as the cooler")
        return _at_most(context, trace, base, level, f"background {heard}: at most this")
    correction = float(background_correction(difference))
    note = f"background {number(difference, 1)} dB below, {number(correction, 1)} dB taken out"
    if difference > BACKGROUND_NONE:
        note = f"background {number(difference, 1)} dB below, nothing to take out"
    # Both were read by one instrument: its error is that of what is left.
    left = level.drawn - background_correction(level.drawn - back.drawn)
    row = replace(base, note=joined(base.note, note))
    return _with(trace, row, level.value - correction, _true(context, trace, left))


def _at_most(
    context: Context, trace: Trace, base: Finding, level: Level, note: str
) -> Finding:
    high = draws.interval(_true(context, trace, level.drawn))[1]
    said = "" if trace.error is not None else "error not stated"
    return replace(base, basis="bounded", high=high if trace.error is not None else level.value,
                   note=joined(base.note, note, said))
