"""Made-up records and findings, drawn from plain formulas, for tests of figures only."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from coldbench.findings import Finding
from coldbench.logs.record import Mark, Record, Trace

ZERO = 1_900_000_000.0  # POSIX; any time will do


def trace(role, hours, y, *, gap=180.0, **more):
    """Trace from hours since zero."""
    t = ZERO + np.asarray(hours, float) * 3600
    return Trace(role=role, t=t, y=np.asarray(y, float), gap=gap, step=float(np.median(np.diff(t))),
                 probe=f"made {role}", **more)


def without(hours, *gaps):
    """Hours without those inside gaps given as (start, end)."""
    kept = np.ones(len(hours), bool)
    for start, end in gaps:
        kept &= (hours < start) | (hours > end)
    return hours[kept]


def record(cooler="chest", *, end=30.0, step=60.0, gaps=(), floor=3.0, tau=2.0, period=0.6,
           load=True, ambient=True, power=True, counter=False, watts=45.0, marks=()):
    """Run of a cooler that falls towards a floor and then cycles."""
    hours = without(np.arange(0, end, step / 3600), *gaps)
    air = floor + (24.5 - floor) * np.exp(-hours / tau)
    phase = (hours % period) / period
    settled = np.clip(hours / (3 * tau), 0, 1)
    air = air + settled * np.where(phase < 0.4, 0.8 - 4 * phase, -0.8 + 1.6 * (phase - 0.4) / 0.6)
    traces = {"air": trace("air", hours, air)}
    if load:
        traces["load"] = trace("load", hours, floor + (24.5 - floor) * np.exp(-hours / tau / 2.5))
    if ambient:
        traces["ambient"] = trace("ambient", hours, 24.6 + 0.5 * np.sin(hours / 24 * 2 * np.pi))
    on = np.where((hours < 3 * tau) | (phase < 0.4), watts, 0.9)
    if power:
        traces["power"] = trace("power", hours, on, metered_at="dc")
    if counter:
        full = np.arange(0, end, step / 3600)
        running = np.where((full < 3 * tau) | ((full % period) / period < 0.4), watts, 0.9)
        sums = np.cumsum(running) * step / 3600
        traces["energy"] = trace("energy", hours, np.interp(hours, full, sums), metered_at="dc")
    return Record(run=f"{cooler}-run", cooler=cooler, traces=traces, zero=ZERO, zero_from="start",
                  end=float(max(t.t[-1] for t in traces.values())), marks=tuple(marks))


def mark(hour, what):
    """Mark at an hour since zero."""
    return Mark(ZERO + hour * 3600, what)


def crossing(cooler, value=None, low=None, high=None, *, at="air<=4 °C", basis="measured"):
    """A pull-down time."""
    return Finding(cooler=cooler, finding="pull_down_time", at=at, value=value, low=low, high=high,
                   unit="h", basis=basis)


def finding(cooler, name, value=None, low=None, high=None, *, unit="", at="", basis="measured"):
    """Any other finding."""
    return Finding(cooler=cooler, finding=name, at=at, value=value, low=low, high=high, unit=unit,
                   basis=basis)


def steady(start=8.0, end=26.0, *, period=0.6, cycling=True, passed=True):
    """Window as the analysis gives it."""
    starts = np.arange(np.ceil(start / period), np.floor(end / period) + 1) * period
    starts = ZERO + (starts if cycling else np.array([start, end])) * 3600
    return SimpleNamespace(
        t0=starts[0], t1=starts[-1], passed=passed, cycling=object() if cycling else None,
        starts=starts, good=np.ones(len(starts) - 1, bool), text="made up",
    )


def freezing(*, end=20.0, start=4.0, plateau=(4.0, 12.0), dip=-5.0, gaps=(), warm_end=False):
    """Run with a supercooling dip, a plateau and a fall after it, and what an analysis says."""
    hours = without(np.arange(0, end, 1 / 60), *gaps)
    low = -20.0 if not warm_end else -0.2
    load = np.interp(hours, [0, start - 0.6, start - 0.02, start, plateau[1], end],
                     [22, 0, dip, 0, -0.1, low])
    run = Record(
        run="freeze-run", cooler="chest", zero=ZERO, zero_from="mark", end=ZERO + hours[-1] * 3600,
        traces={"load": trace("load", hours, load),
                "air": trace("air", hours, -22 + 44 * np.exp(-hours / 1.2)),
                "ambient": trace("ambient", hours, 24 + 0 * hours)},
    )
    found = SimpleNamespace(zero=ZERO, start=ZERO + start * 3600,
                            end=np.nan if warm_end else ZERO + plateau[1] * 3600)
    return run, found


@pytest.fixture(scope="session")
def made():
    """The builders above, by name."""
    return SimpleNamespace(
        zero=ZERO, trace=trace, record=record, mark=mark, crossing=crossing, finding=finding,
        steady=steady, freezing=freezing, without=without,
    )
