"""Odd records are drawn or left out, never a traceback and never a warning."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from coldbench import figures

MANY = np.arange(0, 3, 0.01)
HOURLY = np.arange(30.0)

# Hours and values of each role; the gap limit is 3 min.
ODD = {
    "one reading": {"air": ([0], [20.0]), "power": ([0], [0.0])},
    "only before time zero": {"air": ([-3, -2, -1], [20, 21, 22]), "power": ([-2, -1], [1, 2])},
    "long after time zero": {"air": ([50, 50.01, 50.02], [20, 21, 22])},
    "nothing changes": {"air": (MANY, 5 + 0 * MANY), "power": (MANY, 0 * MANY),
                        "ambient": (MANY, 20 + 0 * MANY), "energy": (MANY, 0 * MANY)},
    "nothing but gaps": dict.fromkeys(("air", "load", "power", "energy"), (HOURLY, HOURLY)),
    "below zero": {"air": (MANY, -40 - MANY), "power": (MANY, -MANY)},
    "no samples": {r: ([], []) for r in ("air", "load", "ambient", "power", "energy")},
    "some roles without samples": {"air": (MANY, 20 - MANY), "ambient": ([], []),
                                   "power": ([], [])},
    "no roles": {},
}


@pytest.mark.parametrize("name", ODD)
def test_every_figure_copes(made, name):
    base = made.record("x", end=1)
    traces = {}
    for role, (hours, y) in ODD[name].items():
        t = made.zero + np.asarray(hours, float) * 3600
        traces[role] = dataclasses.replace(
            base.traces["air"], role=role, t=t, y=np.asarray(y, float), step=60.0)
    end = max([made.zero, *(t.t[-1] for t in traces.values() if len(t.t))])
    run = dataclasses.replace(base, traces=traces, end=float(end))
    window = made.steady(0.6, 6.1)
    found = [made.crossing("x", low=3.0), made.crossing("x", 1.0, at="air<=0 °C"),
             made.finding("x", "mean_power", basis="not measured"),
             made.finding("x", "air_swing", basis="not measured")]
    drawn = [
        figures.pull_down_overlay({"x": run}, found, [10.0, 0.0]),
        figures.pull_down_sheet(run, found, [10.0, 0.0]),
        figures.steady_stack(run, window),
        figures.steady_stack(run, None),
        figures.one_cycle(run, window, found),
        figures.cumulative_energy({"x": run}, found),
        figures.freeze_curve(run, made.freezing()[1], found),
    ]
    for one in (d for d in drawn if d is not None):
        assert "nan" not in one.alt
        assert "<svg" in figures.svg_text(one)
        assert figures.csv_text(one)
    if name in ("no samples", "no roles", "only before time zero"):
        assert drawn == [None] * len(drawn)


def test_a_cooler_without_a_single_number(made):
    found = [made.finding("a", "mass", basis="bounded"), made.finding("b", "mass", 0.0, unit="kg")]
    assert "not known" in figures.dot_plot(found, [("mass", "")]).alt
    assert "<svg" in figures.svg_text(figures.dot_plot(found[:1], [("mass", "")]))
