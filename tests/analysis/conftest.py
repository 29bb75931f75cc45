"""Runs whose truth is known because it was put in: records and campaigns made in memory."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from coldbench.analysis.context import Context
from coldbench.logs.record import Mark, Record, Trace
from coldbench.quantities import ErrorLimit
from coldbench.sheets import Campaign, CoolerSheet, RunSheet
from coldbench.sheets.campaign import CampaignSheet

ZERO = 1_939_194_000.0  # POSIX; any time will do
HOUR = 3600.0


def trace(
    role: str, hours: np.ndarray, y: np.ndarray, error: float | None = None, **more: object
) -> Trace:
    """Trace from hours since time zero; gap limit 2.5 steps, as a sheet without one gives."""
    t = ZERO + np.asarray(hours, float) * HOUR
    step = float(np.median(np.diff(t)))
    limit = None if error is None else ErrorLimit(error, 0.0)
    given = dict(role=role, t=t, y=np.asarray(y, float), gap=2.5 * step, step=step,
                 probe=f"{role} probe", error=limit)
    return Trace(**{**given, **more})


def record(*traces: Trace, run: str = "run", cooler: str = "chest", marks=()) -> Record:
    """Record of traces; ``marks`` are pairs of hour and what happened."""
    return Record(
        run=run, cooler=cooler, traces={t.role: t for t in traces}, zero=ZERO, zero_from="made",
        end=max(float(t.t[-1]) for t in traces),
        marks=tuple(Mark(ZERO + hour * HOUR, what) for hour, what in marks),
    )


def campaign(runs: dict[str, dict], targets: dict | None = None, footing: dict | None = None):
    """Campaign in memory: run sheets as they would stand in TOML."""
    sheet = {"title": "made", "question": "made", "author": "tests", "date": date(2031, 6, 14),
             "timezone": "UTC"}
    if targets:
        sheet["targets"] = targets
    if footing:
        sheet["footing"] = footing
    made = {name: RunSheet.model_validate(run) for name, run in runs.items()}
    cooler = {"name": "made", "technology": "compressor", "origin": "lent"}
    return Campaign(
        Path("made"), CampaignSheet.model_validate(sheet),
        {run.cooler: CoolerSheet.model_validate(cooler) for run in made.values()}, made,
    )


def context(of: Record, targets=("4 °C",), food_limit="5 °C", footing=None, **sheet) -> Context:
    """Context of a record; keywords are keys of its run sheet."""
    run = {"cooler": of.cooler, "kind": ["pull-down"], **sheet}
    goals = {"temperatures": list(targets), "food_limit": food_limit}
    return Context(of, campaign({of.run: run}, goals, footing))


def without(hours: np.ndarray, *gaps: tuple[float, float]) -> np.ndarray:
    """Hours without those strictly inside gaps."""
    kept = np.ones(len(hours), bool)
    for begin, end in gaps:
        kept &= (hours <= begin) | (hours >= end)
    return hours[kept]


def every(seconds: float, until: float) -> np.ndarray:
    """Hours of samples from zero, both ends included."""
    return np.arange(0, until * HOUR + seconds / 2, seconds) / HOUR


def square(hours: np.ndarray, period: float, share: float, running=50.0, idle=1.0) -> np.ndarray:
    """Power of a thermostat that starts with a running spell; period in hours."""
    # Whole seconds: a start must not slip by a rounding of hours.
    phase = np.round(np.asarray(hours) * HOUR, 3) % round(period * HOUR, 3)
    return np.where(phase < round(share * period * HOUR, 3), running, idle)


@pytest.fixture
def made() -> SimpleNamespace:
    """All of the above."""
    return SimpleNamespace(
        zero=ZERO, trace=trace, record=record, campaign=campaign, context=context,
        without=without, every=every, square=square,
    )
