"""Cycle finding on an hour of ten appliances that nobody here measured.

Class 0 of ACSF1, named by its shape a thermostat's; active power each 10 s, scaled, no watts.
Expected answers: shares of time on and starts in the hour, counted in the data set by independent
code as "above the middle of the 2nd and the 98th percentile".
"""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_campaign
from coldbench.analysis.cycles import Cycling, find_cycles, two_levels
from coldbench.logs.record import Trace
from coldbench.sheets import read_campaign

SHARES = (0.463, 0.334, 0.551, 0.321, 0.323, 0.310, 0.329, 0.197, 0.605, 0.301)
STARTS = (1, 1, 1, 2, 4, 1, 2, 2, 1, 3)
STEP = 10.0
RUNNING = 60.0  # watts that the scaled upper level is taken for


def starts_in(state: np.ndarray) -> int:
    return int((state[1:] & ~state[:-1]).sum())


def as_power(scaled: np.ndarray) -> Trace:
    """The hour as watts, idle at 0 and running at 60 W, which changes no share and no start."""
    idle, running = np.percentile(scaled, [2, 98])
    watts = (scaled - idle) / (running - idle) * RUNNING
    t = STEP * np.arange(len(watts))
    return Trace("power", t, watts, gap=2.5 * STEP, step=STEP, probe="W1", metered_at="wall")


def cycling_of(trace: Trace) -> Cycling | None:
    return find_cycles(trace, trace.t[0], trace.t[-1])


@pytest.fixture(params=range(10), ids=lambda i: f"row{i}")
def hour(request, appliance_hours) -> tuple[Trace, float, int]:
    """One of the ten with its expected share and starts."""
    i = request.param
    return as_power(appliance_hours[i]), SHARES[i], STARTS[i]


def test_ten_hours_are_there(appliance_hours):
    assert [len(row) for row in appliance_hours] == [365] * 10


def test_the_independent_count(hour):
    """The expected answers as they were got: this guards the reading of the file."""
    trace, share, starts = hour
    on = trace.y > RUNNING / 2
    assert (round(float(on.mean()), 3), starts_in(on)) == (share, starts)


def test_cycles_are_those_that_were_counted(hour):
    """A level must be held twice: with one start or less in the hour there is no whole cycle.

    Where there are cycles, two rules for the threshold may differ only by samples that lie
    between the levels: at most one beside each change of state, here none.
    """
    trace, share, starts = hour
    cycling = cycling_of(trace)
    if starts == 1:
        assert cycling is None
        return
    assert cycling.source == "power"
    assert len(cycling.starts) == starts
    assert float(cycling.state.mean()) == pytest.approx(share, abs=2 * starts / len(trace.y))
    assert np.array_equal(np.flatnonzero(np.diff(cycling.state.astype(int)) == 1) + 1,
                          np.searchsorted(trace.t, cycling.starts))


def test_the_threshold_lies_between_the_levels(hour):
    """Four of the hours hold a start peak; the tallest is ten times the running level."""
    trace, share, _ = hour
    joined = Trace("power", STEP * np.arange(3 * len(trace.y)), np.tile(trace.y, 3),
                   gap=25.0, step=STEP, probe="W1")
    cycling = cycling_of(joined)
    assert 0 < cycling.threshold < RUNNING
    assert float(cycling.state.mean()) == pytest.approx(share, abs=0.006)


def test_a_start_peak_would_have_parted_the_hour_wrongly(appliance_hours):
    """Without leaving out peaks of one sample the second hour is parted into peak and rest."""
    trace = as_power(appliance_hours[1])
    assert two_levels(trace.y) > 2 * RUNNING
    assert trace.y.max() > 9 * RUNNING


def test_an_hour_holds_too_few_cycles_for_the_steady_rule(hour, tmp_path):
    """As a whole campaign: no window, no number, and it says why."""
    trace, _, starts = hour
    rows = "".join(f"{t:g},{y:.6f}\n" for t, y in zip(trace.t, trace.y, strict=True))
    for name, text in {**SHEETS, "logs/hour.csv": "s,power\n" + rows}.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8", newline="\n")
    result = analyse_campaign(read_campaign(tmp_path))
    assert result.results["hour"].steady is None
    assert [n.code for n in result.notices] == ["STEADY-NONE"]
    cycles = starts - 1 if starts > 1 else 0
    assert f"1.0 h with {cycles} whole cycles" in result.notices[0].message
    assert "two blocks of 3 whole cycles" in result.notices[0].message
    told = {f.finding: (f.basis, f.value, f.at) for f in result.findings}
    assert told == {
        "mean_power": ("not measured", None, "wall coldest"),
        "daily_energy": ("not measured", None, "wall coldest"),
    }


SHEETS = {
    "campaign.toml": """
title = "An appliance for an hour"
question = "Does it settle?"
author = "tests of the kit, on data from outside"
date = 2031-06-14
timezone = "UTC"

[instruments.meter]
measures = "power"
""",
    "coolers/appliance.toml": """
name = "Appliance"
technology = "compressor"
origin = "lent"
""",
    "runs/hour.toml": """
cooler = "appliance"
kind = ["steady"]
setting = "coldest"
start = 2031-06-14T09:00:00

[[log]]
file = "logs/hour.csv"
instrument = "meter"
time = { column = "s", elapsed = "s" }
columns = { "power" = { role = "power", unit = "W" } }
power = "hold"
metered_at = "wall"
""",
}
