"""Findings of a steady window by construction: each comes out as it was put in."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_run
from coldbench.analysis.doubt import noise_sd, reading_of, true_of

PERIOD, SHARE, RUNNING, IDLE = 0.5, 0.4, 50.0, 1.0
MEAN = SHARE * RUNNING + (1 - SHARE) * IDLE


def record_of(made, until=26.0, step=30.0, mean_air=-6.0, error=0.5, gap=None, drift=0.0,
              counter=False, power_error=0.5):
    hours = made.every(step, until)
    hours = made.without(hours, gap) if gap else hours
    phase = (hours % PERIOD) / PERIOD
    swing = np.abs(2 * phase - 1) - 0.5  # ±0.5 K, mean 0
    watts = made.square(hours, PERIOD, SHARE, RUNNING, IDLE)
    flat = np.ones(len(hours))
    traces = [
        made.trace("air", hours, mean_air + swing + drift * hours, error=error),
        made.trace("air_warm", hours, (mean_air + 1.5) * flat, error=error),
        made.trace("load", hours, (mean_air + 0.5) * flat, error=error),
        made.trace("load_2", hours, (mean_air + 1.0) * flat, error=error),
        made.trace("ambient", hours, 25 * flat, error=error),
        made.trace("power", hours, watts, metered_at="dc", error=power_error),
    ]
    if counter:
        traces.append(made.trace("energy", hours, MEAN * hours, error=0.0, metered_at="dc"))
    return made.record(*traces)


def rows_of(made, record, **sheet):
    sheet = {"kind": ["steady"], "setting": "coldest", **sheet}
    result = analyse_run(record, made.context(record, **sheet).campaign)
    return {f.finding: f for f in result.findings}, [n.code for n in result.notices]


@pytest.mark.parametrize(("finding", "value", "within"), [
    ("coldest_air", -6.0, 0.01), ("below_ambient", 31.0, 0.01), ("warmest_load", -5.0, 1e-6),
    ("spread", 1.5, 0.01), ("display_error", 2.0, 0.01), ("air_swing", 1.0, 0.05),
    ("mean_power", MEAN, 1e-6), ("daily_energy", 24 * MEAN, 1e-4), ("running_power", RUNNING, 0),
    ("idle_power", IDLE, 0), ("duty", SHARE, 1e-6), ("cycle_time", 60 * PERIOD, 1e-6),
])  # fmt: skip
def test_values(made, finding, value, within):
    rows, notices = rows_of(made, record_of(made), display="-4 °C")
    row = rows[finding]
    assert notices == []
    assert row.basis == "measured"
    assert row.value == pytest.approx(value, abs=within)
    assert row.low <= value <= row.high
    assert row.coverage == pytest.approx(100.0)
    assert row.conditions["window"] == pytest.approx(24.0, abs=PERIOD)
    assert row.conditions["ambient"] == pytest.approx(25.0)


def test_metering_point_and_setting_are_the_key(made):
    rows, _ = rows_of(made, record_of(made))
    assert rows["daily_energy"].at == "dc coldest"
    assert rows["peak_power"].at == "dc"


def test_the_largest_power_is_bounded_where_samples_are_slow(made):
    rows, _ = rows_of(made, record_of(made))
    peak = rows["peak_power"]
    assert (peak.basis, peak.value, peak.high) == ("bounded", None, None)
    assert peak.low == pytest.approx(RUNNING - 0.475, abs=0.05)  # less the meter's limit


def test_only_the_coldest_setting_gives_the_coldest_air(made):
    rows, _ = rows_of(made, record_of(made), setting="3")
    row = rows["coldest_air"]
    assert (row.basis, row.value, row.low) == ("bounded", None, None)
    assert row.high == pytest.approx(-6.0 + 0.475, abs=0.05)
    assert "setting 3" in row.note


def test_nothing_steady_gives_bounds(made):
    rows, notices = rows_of(made, record_of(made, drift=0.8))
    assert notices == ["STEADY-NONE"]
    assert (rows["coldest_air"].basis, rows["coldest_air"].low) == ("bounded", None)
    power, daily = rows["mean_power"], rows["daily_energy"]
    assert (power.basis, power.value) == ("bounded", None)
    assert power.low <= MEAN <= power.high
    assert (daily.low, daily.high) == pytest.approx((24 * power.low, 24 * power.high))
    assert "duty" not in rows


def test_a_short_window_says_so(made):
    rows, notices = rows_of(made, record_of(made, until=10))
    assert notices == ["STEADY-SHORT"]
    assert rows["daily_energy"].value == pytest.approx(24 * MEAN)
    assert "short of 24 h" in rows["daily_energy"].note


def test_a_gap_drops_its_cycles_from_energy_and_duration(made):
    rows, notices = rows_of(made, record_of(made, gap=(12.1, 12.3)))
    assert notices == ["CYCLES-DROPPED"]
    for finding, value in (("mean_power", MEAN), ("duty", SHARE), ("cycle_time", 60 * PERIOD)):
        assert rows[finding].value == pytest.approx(value)
    assert rows["mean_power"].coverage < 100


def test_a_counter_through_the_gap_covers_it(made):
    rows, _ = rows_of(made, record_of(made, gap=(12.1, 12.3), counter=True))
    power = rows["mean_power"]
    assert power.value == pytest.approx(MEAN, rel=1e-3)
    assert (power.coverage, power.note) == (100.0, "energy from the counter")


def test_the_interval_of_a_mean_is_that_of_its_probe(made):
    """Rounding and noise hardly count in a day's mean: a limit of 0.5 K gives ±0.475 K."""
    rows, _ = rows_of(made, record_of(made))
    row = rows["coldest_air"]
    assert (row.low, row.high) == pytest.approx((-6.475, -5.525), abs=0.03)


def test_without_stated_errors_there_are_no_intervals(made):
    rows, _ = rows_of(made, record_of(made, error=None, power_error=None))
    for finding in ("coldest_air", "mean_power", "running_power"):
        row = rows[finding]
        assert (row.low, row.high, row.draws) == (None, None, None)
        assert "error not stated" in row.note


# --- doubt -------------------------------------------------------------------------------------


def test_noise_is_seen_through_a_course_and_its_jumps(made):
    hours = made.every(60, 24)
    noise = np.random.default_rng(2).normal(0, 0.1, len(hours))
    course = 20 * np.exp(-hours / 3) + np.where(hours % 4 < 2, 3.0, 0.0)
    assert noise_sd(made.trace("air", hours, course + noise)) == pytest.approx(0.1, rel=0.1)


def test_readings_and_true_values_are_inverse(made):
    hours = made.every(60, 1)
    trace = made.trace("air", hours, hours, error=0.5)
    assert true_of(trace, reading_of(trace, -18.0)) == pytest.approx(np.full(4000, -18.0))


@pytest.mark.parametrize("offset", [0.0, 0.1, 0.24])
def test_power_read_too_seldom_gives_bounds_that_hold_the_truth(made, offset):
    # A reading each 15 min of a 1 h cycle: 576 to 1104 Wh by the moment one begins, truth 752.
    hours = made.every(900.0, 50.0)
    watts = made.square(hours + offset, 1.0, 0.3, 100.0, 1.9)
    flat = np.ones(len(hours))
    record = made.record(
        made.trace("air", hours, 4 * flat, error=0.3),
        made.trace("ambient", hours, 25 * flat, error=0.3),
        made.trace("power", hours, watts, metered_at="dc", error=0.5),
    )
    rows, _ = rows_of(made, record)
    truth = 24 * (0.3 * 100.0 + 0.7 * 1.9)
    daily = rows["daily_energy"]
    assert daily.basis == "bounded" and daily.value is None
    assert daily.low <= truth <= daily.high
    assert "read too seldom" in daily.note
    assert rows["mean_power"].basis == "bounded"


def test_a_counter_alone_bounds_the_power_between_its_readings(made):
    hours = np.array([0.0, 12.0, 24.0, 36.0])
    counter = made.trace("energy", hours, [0.0, 400.0, 640.0, 900.0], error=0.0,
                         metered_at="wall", by_hand=True, gap=1.0, counter_step=10.0)
    rows, notices = rows_of(made, made.record(counter))
    power = rows["mean_power"]
    assert power.basis == "bounded" and power.value is None
    # 240 and 260 Wh in 12 h, each known to a step of 10 Wh.
    assert power.low == pytest.approx((240 - 10) / 12)
    assert power.high == pytest.approx((260 + 10) / 12)
    assert rows["daily_energy"].high == pytest.approx(power.high * 24)
    assert "STEADY-NONE" in notices
