"""Lab card: duty, mean power and a day's energy, by a power log and by a plug meter."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.analysis.doubt import gain
from coldbench.analysis.steady import SteadyWindow
from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cautions import GENERAL, MAINS
from coldbench.course.questions import bank
from coldbench.errors import Fault, UserError
from coldbench.figures import Drawn, raw_curves
from coldbench.findings import Finding
from coldbench.logs.record import Trace

if TYPE_CHECKING:
    from coldbench.course.work import Work

HOUR = 3600.0
# A level read off a power log lies within this of its median, and a small share is rounded by as
# much; this kit's own definition. [W], [-]
LEVEL_WITHIN, SHARE_WITHIN = 0.3, 0.005
CLOSE_UP = 5  # cycles drawn large


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's run gives; see :class:`coldbench.course.card.Card`."""
    steps = Steps(given)
    window_of(work)
    duty = steps.add("duty", _found(work, "duty"))
    running = _read_off(steps, "running_power", _found(work, "running_power"), LEVEL_WITHIN)
    idle = _read_off(steps, "idle_power", _found(work, "idle_power"), LEVEL_WITHIN)
    mean = steps.add("mean_power", _found(work, "mean_power"))
    by_duty = duty * running + np.where(duty < 1, (1 - duty) * np.nan_to_num(idle), 0.0)
    steps.add("mean_by_duty", by_duty)
    steps.add("daily_energy", 24 * mean)
    steps.add("snapshot", 24 * running,
              "what one look while it runs would have made of a day: an upper bound")
    counted, logged, step = counter_energies(work)
    count = steps.put("counter_energy", counted, counted - step, counted + step)
    steps.put("counter_difference", count / logged - 1, *_spread(count, logged, step))
    doubt = step / np.sqrt(6)
    steps.put("counter_uncertainty", doubt, 0.9 * doubt, 1.1 * doubt)
    _read_off(steps, "meter_difference", on_known_load(work), SHARE_WITHIN)
    return steps.expected


def _found(work: Work, name: str) -> np.ndarray:
    """A finding of the run in front of its draws; not a number where it is none."""
    rows = [f for f in work.run().findings if f.finding == name and f.value is not None]
    row: Finding | None = next(iter(rows), None)
    return np.array([np.nan]) if row is None else with_draws(row.value, row.draws)


def _read_off(steps: Steps, name: str, values: np.ndarray, within: float) -> np.ndarray:
    """A step whose band is its interval and a little more, since people read and round."""
    low, high = (draws.interval(values[1:]) if len(values) > 1 else (values[0], values[0]))
    return steps.put(name, values, low - within, high + within)


def window_of(work: Work) -> SteadyWindow:
    """The steady window of the card's run.

    Raises
    ------
    UserError
        The run has none that passed.
    """
    run = work.run()
    if run.steady is None or not run.steady.passed:
        told = next((n.message for n in run.notices if n.code == "STEADY-NONE"), "")
        raise UserError(Fault("the run is not steady for long enough",
                              f"runs/{run.record.run}.toml", found=told, do="run for longer"))
    return run.steady


def counter_of(work: Work) -> Trace | None:
    """The counter of a plug meter: read by hand, or logged."""
    record = work.run().record
    for role in ("energy by hand", "energy"):
        trace = record.trace(role)
        if trace is not None and len(trace.t) > 1:
            return trace
    return None


def counter_energies(work: Work) -> tuple[float, float, float]:
    """Energy between the first and last reading of the counter: counted, logged, and a step.

    Returns
    -------
    counted, logged, step : float
        Not a number where there is no counter, or no power log over its time. [Wh]

    References
    ----------
    .. [1] Definition; the standard uncertainty of a difference of two counts is step/√6, after
       JCGM 100:2008, 4.3.7, a rectangle at each end.
    """
    counter, meter = counter_of(work), work.context().meter
    if counter is None or meter is None:
        return np.nan, np.nan, np.nan
    counted = float(counter.y[-1] - counter.y[0])
    step = counter.counter_step or counter.resolution or np.nan
    if meter.power is None:
        return counted, np.nan, step
    energy = meter.cumulative.integral(counter.t[0], counter.t[-1]) / HOUR
    covered = meter.cumulative.coverage(counter.t[0], counter.t[-1])
    return counted, float(energy) if covered > 99 else np.nan, step


def on_known_load(work: Work) -> np.ndarray:
    """Power by the meter over volts × amperes of a known load, less one.

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        From rows of the data sheet that hold all three; not a number where there are none. [-]

    References
    ----------
    .. [1] Definition; the meter's own error is what is sought, so it widens nothing.
    """
    record = work.run().record
    traces = [record.trace(role) for role in ("power by hand", "voltage", "current")]
    if None in traces or not all(np.array_equal(one.t, traces[0].t) for one in traces):
        return np.array([np.nan])
    meter, volts, amps = traces
    value = float(np.sum(meter.y) / np.sum(volts.y * amps.y))
    gains = [gain(one) for one in (volts, amps)]
    if any(one is None for one in gains):
        return np.array([value - 1])
    return with_draws(value - 1, value * (1 + gains[0]) * (1 + gains[1]) - 1)


def _spread(count: np.ndarray, logged: float, step: float) -> tuple[float, float]:
    share = float(count[0]) / logged - 1
    return share - step / logged, share + step / logged


def windows(work: Work) -> dict[str, tuple[float, float]]:
    """The steady window, and the time between the readings of the counter. [h]"""
    zero, window = work.run().record.zero, window_of(work)
    found = {"duty and means": ((window.t0 - zero) / HOUR, (window.t1 - zero) / HOUR)}
    counter = counter_of(work)
    if counter is not None:
        found["counter"] = ((counter.t[0] - zero) / HOUR, (counter.t[-1] - zero) / HOUR)
    return found


def plots(work: Work) -> list[Drawn | None]:
    """Some cycles close up, from the beginning of the steady window."""
    window, record = window_of(work), work.run().record
    if window.cycling is None:
        return []
    starts = (window.starts - record.zero) / HOUR
    return [raw_curves(record, style=work.book.styles[record.cooler],
                       name=work.book.names[record.cooler], start=float(starts[0]),
                       until=float(starts[min(CLOSE_UP, len(starts) - 1)]))]


CARD = Card(
    name="duty_and_meters",
    title="Duty and meters",
    runs=("steady",),
    roles=("air", "ambient", "power", "energy", "voltage", "current"),
    asked=(
        Asked("duty", "Duty over whole cycles", "ratio", "-", 0.02, 1,
              "time running / time, from start to start", reading="chart"),
        Asked("running_power", "Power while running", "power", "W", 5, 300,
              "level of the upper steps, without the first minute"),
        Asked("idle_power", "Power while idle", "power", "W", 0, 30, "level of the lower steps"),
        Asked("mean_power", "Mean power over the same cycles, from the log", "power", "W",
              1, 300, "area under the steps / time"),
        Asked("mean_by_duty", "Mean power by the duty", "power", "W", 1, 300,
              "duty × running + (1 − duty) × idle",
              needs=("duty", "running_power", "idle_power"), reading="chart",
              part="balance and closure"),
        Asked("daily_energy", "Energy of a day", "daily_energy", "Wh/d", 20, 7000,
              "mean power × 24 h", needs=("mean_power",)),
        Asked("snapshot", "What one look at the running power would make of a day",
              "daily_energy", "Wh/d", 100, 7000, "running power × 24 h",
              needs=("running_power",), reading="computed",
              part="comparison with the ideal and between groups"),
        Asked("counter_energy", "Energy by the plug meter's counter", "energy", "Wh", 1, 20000,
              "last count − first count"),
        Asked("counter_difference", "By how much the counter differs from the log", "ratio", "-",
              -0.9, 0.9, "counter / log over the same time − 1", needs=("counter_energy",),
              part="balance and closure"),
        Asked("counter_uncertainty", "Standard uncertainty of that energy by the counter's step",
              "energy", "Wh", 0.001, 100, "step / √6", reading="computed", part="uncertainty"),
        Asked("meter_difference", "By how much the power meter differs on a load of known volts "
              "and amperes", "ratio", "-", -0.9, 0.9,
              "Σ power by the meter / Σ (volts × amperes) − 1", part="uncertainty"),
    ),
    solve=solve,
    windows=windows,
    plots=plots,
    safety=(*GENERAL, MAINS,
            "Loads of known power are for extra-low voltage; a lamp for mains is connected by "
            "staff. A lamp that glows is hot."),
    questions=bank("counter", "snapshot", "battery", "standby", "log step", "ambient", "luck",
                   "class"),
    guide=Guide(
        usual={
            "duty": "0.15 to 0.5 for a compressor box at 25 °C; 1 for modules without a thermostat",
            "running_power": "35 to 60 W for a compressor box, 30 to 70 W for modules",
            "idle_power": "0.5 to 3 W; 0 from a meter that does not see so little",
            "mean_power": "8 to 25 W",
            "daily_energy": "200 to 600 Wh/d",
            "meter_difference": "−10 to +3 % for cheap plug meters, within 2 % for shunts; far "
                                "worse at a few watts",
            "counter_difference": "−10 to +3 %; cheap plug meters mostly read too little, and the "
                                  "adapter's loss lies between wall and cooler",
        },
        slips=(
            "One look at the running power, times 24 h.",
            "Cycles cut in the middle: count from start to start.",
            "Wall energy compared with the energy at the cooler, the adapter forgotten.",
            "A counter with steps of 0.1 kWh read over three hours.",
            "A spot reading every five minutes of a machine that runs for four.",
        ),
        plan=(
            ("day before", "24 h log started, first count written down"),
            ("20 min", "last count; meters against a load of known volts and amperes"),
            ("50 min", "cycles, duty, means, both routes"),
            ("20 min", "counter, its step, question, conclusion"),
        ),
        shopping=(
            "cooler with a thermostat", "power logger with a step of a minute or less",
            "plug-in meter with a counter", "multimeter",
            "resistor or lamp of about the cooler's power, for extra-low voltage",
        ),
    ),
)
