"""A log that is written on change: a value holds until the next one, up to the stated gap."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.logs.cumulative import Cumulative

SHEET = """start = 2031-06-14T00:00:00

[[log]]
file = "logs/a.csv"
time = { column = "time" }
metered_at = "dc"
gap = "1 h"
columns = { power_W = "power" }
"""
STARTS = 24  # a compressor of 50 W runs 15 min in each hour, and its meter tells only changes
TRUTH = STARTS * 50 * 0.25 + (STARTS - 1) * 1 * 0.75  # [Wh], up to the last change


def rows(hours: range) -> str:
    return "time,power_W\n" + "".join(
        f"2031-06-14 {h:02d}:00,50\n2031-06-14 {h:02d}:15,1\n" for h in hours)


def test_its_energy_is_that_of_the_held_value(bench):
    power = bench.record({"a.csv": rows(range(STARTS))}, SHEET).traces["power"]
    energy = float(Cumulative(power).integral(power.t[0], power.t[-1])) / 3600
    assert energy == pytest.approx(TRUTH, rel=1e-12)
    straight = np.trapezoid(power.y, power.t) / 3600
    assert straight / TRUTH > 1.6  # what a straight line through its points would make of it


def test_a_silence_beyond_the_stated_gap_is_not_held(bench):
    text = rows(range(3)) + rows(range(6, STARTS)).partition("\n")[2]
    power = bench.record({"a.csv": text}, SHEET).traces["power"]
    total = Cumulative(power)
    # The three lost starts, and the idle time before them that nobody saw the end of.
    assert float(total.integral(power.t[0], power.t[-1])) / 3600 == pytest.approx(
        TRUTH - 3 * (50 * 0.25 + 1 * 0.75) - 0.75)
    assert float(total.covered(power.t[0], power.t[-1])) == power.t[-1] - power.t[0] - 3.75 * 3600
