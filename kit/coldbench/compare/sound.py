"""Sound over a day: how often a cooler starts, and its mean level over running and idle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.settled_rows import joined
from coldbench.findings import Finding, find, measured
from coldbench.physics.sound import duty_level
from coldbench.quantities import number

CYCLE = "mean over the cycle"
NOT_A_LABEL = (
    "A level read beside a cooler is a sound pressure at one distance in one room. The decibels of "
    "a label are a sound power, found in a room made for it, and those of a data sheet often do "
    "not say which they are, nor at what distance: the two are not compared."
)


def sound_over_time(rows: Sequence[Finding]) -> list[Finding]:
    """Starts an hour, and mean levels over the duty cycle.

    Parameters
    ----------
    rows : sequence of Finding
        One a cooler, finding and ``at``.

    Returns
    -------
    list of Finding
        ``starts_per_hour`` [1/h], and ``sound_level`` [dB] at ``mean over the cycle 1 m``.

    References
    ----------
    .. [1] This kit's own definitions.
    """
    return [*starts_per_hour(rows), *duty_cycle_level(rows)]


def starts_per_hour(rows: Sequence[Finding]) -> list[Finding]:
    """How often the machine starts in the steady window of each setting.

    Parameters
    ----------
    rows : sequence of Finding
        Those named ``cycle_time``, and ``duty`` of machines that run without a break.

    Returns
    -------
    list of Finding
        [1/h]

    References
    ----------
    .. [1] This kit's own definition: 60 min over the mean cycle time.

    Examples
    --------
    >>> starts_per_hour([Finding(cooler="a", finding="cycle_time", value=20.0)])[0].value
    3.0
    """
    found = []
    for row in rows:
        base = replace(row, finding="starts_per_hour", unit="1/h")
        if row.finding == "cycle_time" and row.draws is not None:
            found.append(replace(base, **measured(60 / row.draws, 60 / row.value)))
        elif row.finding == "cycle_time":
            value, high, low = (60 / n if n else None for n in (row.value, row.low, row.high))
            found.append(replace(base, value=value, low=low, high=high))
        elif row.finding == "duty" and row.value == 1.0:
            found.append(replace(base, **measured(np.zeros(draws.DRAWS), 0.0)))
    return found


def duty_cycle_level(rows: Sequence[Finding]) -> list[Finding]:
    """Mean level over running and idle, weighted by the duty of the cooler's first setting.

    Parameters
    ----------
    rows : sequence of Finding
        One a cooler, finding and ``at``: ``duty``, and ``sound_level`` at ``running 1 m`` and
        ``idle 1 m``.

    Returns
    -------
    list of Finding
        [dB] A cooler whose level while running or whose duty is not known has none. Bounds where
        the idle level is a bound or was not read: it lies between silence and the running level.

    References
    ----------
    .. [1] :func:`coldbench.physics.sound.duty_level`.
    """
    found: list[Finding] = []
    for running in find(rows, finding="sound_level"):
        state, _, far = running.at.partition(" ")
        duties = [d for d in find(rows, finding="duty", cooler=running.cooler)
                  if d.value is not None]
        if state != "running" or " " not in far or far.count(" ") > 1 or not duties:
            continue
        idle = next(iter(find(rows, finding="sound_level", cooler=running.cooler,
                              at=f"idle {far}")), None)
        found += _mean(running, idle, duties[0], far)
    return found


def _mean(running: Finding, idle: Finding | None, duty: Finding, far: str) -> Iterator[Finding]:
    share = duty.draws if duty.draws is not None else np.full(draws.DRAWS, duty.value)
    at = f" at setting {duty.at}" if duty.at else ""
    note = f"runs {number(100 * duty.value, 0)} % of the time{at}"
    always = duty.value == 1.0
    read = [running] if idle is None or always else [running, idle]
    base = replace(
        running, at=f"{CYCLE} {far}", conditions=dict(duty.conditions), basis="modelled",
        runs=tuple(dict.fromkeys(run for row in [*read, duty] for run in row.runs)),
        coverage=None, note=note,
    )
    if running.value is None:
        # Idle is not louder than running.
        if running.high is not None:
            yield replace(base, basis="bounded", note=joined(note, running.note))
        return
    if always:
        yield base
        return
    if idle is not None and idle.value is not None:
        value = float(duty_level(duty.value, running.value, idle.value))
        if running.draws is None or idle.draws is None:
            yield replace(base, value=value, low=None, high=None, draws=None,
                          note=joined(note, "error not stated"))
        else:
            yield replace(base, **measured(duty_level(share, running.draws, idle.draws), value))
        return
    quiet = running.draws if running.draws is not None else np.full(draws.DRAWS, running.value)
    known = idle is not None and idle.high is not None
    loud = np.minimum(quiet, idle.high) if known else quiet
    low = draws.interval(duty_level(share, quiet, -np.inf))[0]
    high = draws.interval(duty_level(share, quiet, loud))[1]
    said = ("idle only bounded: between silence and its bound" if known
            else "idle not read: between silence and the running level")
    yield replace(base, basis="bounded", value=None, draws=None, low=low, high=high,
                  note=joined(note, said))
