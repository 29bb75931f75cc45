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


def long_form(hours: range, more: dict[str, str] | None = None) -> str:
    """The same, one value a row in milliseconds of UTC, a thermometer's rows in between."""
    zero = 1_939_154_400  # 2031-06-14 00:00 in Paris
    told = {}
    for h in hours:
        told |= {zero + 3600 * h: "power,50", zero + 3600 * h + 900: "power,1",
                 zero + 3600 * h + 300: "inside,4.5", zero + 3600 * h + 1500: "inside,5.5"}
    told |= {zero + int(after): text for after, text in (more or {}).items()}
    return "stamp,channel,value\n" + "".join(
        f"{t * 1000},{told[t]}\n" for t in sorted(told))


LONG = """start = 2031-06-14T00:00:00

[[log]]
file = "logs/a.csv"
time = { column = "stamp", format = "epoch ms" }
long = { channel = "channel", value = "value" }
metered_at = "dc"
gap = "1 h"
[log.columns]
power = { role = "power", unit = "W" }
inside = { role = "air", unit = "°C" }
"""


def energy_of(power) -> float:
    """Over all of it. [Wh]"""
    return float(Cumulative(power).integral(power.t[0], power.t[-1])) / 3600


def test_the_same_in_long_form(bench):
    record = bench.record({"a.csv": long_form(range(STARTS))}, LONG)
    assert energy_of(record.traces["power"]) == pytest.approx(TRUTH, rel=1e-12)


def test_rows_that_repeat_a_value_change_nothing(bench):
    """A sign of life each few minutes, as some hubs write."""
    repeated = {f"{3600 * h + 60 * m}": f"power,{50 if m < 15 else 1}"
                for h in range(STARTS - 1) for m in (4, 11, 15, 23, 47)}
    record = bench.record({"a.csv": long_form(range(STARTS), repeated)}, LONG)
    assert energy_of(record.traces["power"]) == pytest.approx(TRUTH, rel=1e-12)


def test_a_word_ends_what_was_held(bench):
    """Half a minute into the third start the plug is away, and comes back with the fourth."""
    away = {f"{2 * 3600 + 30}": "power,unavailable"}
    text = long_form(range(STARTS), away).splitlines()
    text = [line for line in text if line != f"{(1_939_154_400 + 2 * 3600 + 900) * 1000},power,1"]
    record = bench.record({"a.csv": "\n".join(text) + "\n"}, LONG)
    power = record.traces["power"]
    lost = 50 * 870 / 3600 + 1 * 0.75
    assert energy_of(power) == pytest.approx(TRUTH - lost, rel=1e-12)
    assert float(Cumulative(power).covered(power.t[0], power.t[-1])) == (
        power.t[-1] - power.t[0] - (3600 - 30))
    assert "“unavailable”" in " ".join(record.files[0].repairs)


def test_the_findings_are_those_of_the_held_value(bench):
    """From file to mean power and duty; joined by lines they would be 62 % and more too high."""
    from coldbench.analysis.campaign import analyse_campaign
    from coldbench.sheets import read_campaign

    bench.write({"a.csv": rows(range(STARTS))}, SHEET)
    result = analyse_campaign(read_campaign(bench.folder))
    told = {f.finding: f.value for f in result.findings}
    assert told["mean_power"] == pytest.approx(50 * 0.25 + 1 * 0.75, rel=1e-9)
    assert told["daily_energy"] == pytest.approx(24 * (50 * 0.25 + 1 * 0.75), rel=1e-9)
    assert told["duty"] == pytest.approx(0.25, rel=1e-9)
    assert told["running_power"] == 50
