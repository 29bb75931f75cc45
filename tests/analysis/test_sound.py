"""Sound levels of runs whose cooler and background are put in apart."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_run
from coldbench.analysis.limits import LIMITS


def together(*levels):
    """Level of sounds at once, by their mean squares."""
    return 10 * np.log10(sum(10 ** (np.asarray(level) / 10) for level in levels))


@pytest.fixture
def heard(made):
    """Sound rows of a log (a sample a second) or of readings a minute apart, by their ``at``."""
    def of(levels, *, error=1.5, marks=(), power=None, by_hand=False, **sound):
        hours = np.arange(len(levels)) / (60 if by_hand else 3600)
        traces = [made.trace("sound", hours, levels, error, by_hand=by_hand)]
        if power is not None:
            traces.append(made.trace("power", hours, power, metered_at="dc"))
        record = made.record(*traces, marks=marks)
        context = made.context(record, kind=["sound"], sound=sound)
        rows = analyse_run(record, context.campaign).findings
        assert {row.finding for row in rows} == {"sound_level"}
        return {row.at: row for row in rows}
    return of


WHERE = {"state": "running", "distance": "1 m"}


def test_the_background_is_taken_out(heard):
    row = heard(np.full(600, together(40.0, 34.0)), background="34 dB", **WHERE)["running 1 m"]
    assert row.value == pytest.approx(40.0, abs=1e-9)
    assert row.low < 40.0 < row.high
    # The instrument alone is ± 1.5 dB; it can hardly be less than 95 % of that rectangle.
    assert row.high - row.low > 2 * 0.95 * 1.5
    assert (row.basis, row.conditions["background"]) == ("measured", 34.0)
    assert "7.0 dB below, 1.0 dB taken out" in row.note


def test_one_error_of_the_instrument_is_not_counted_twice(heard):
    """Both are read too high by as much: a corrected level has the width of an uncorrected."""
    levels = np.full(600, together(40.0, 34.0))
    near, far = (heard(levels, background=f"{b} dB ± 0.01 dB", **WHERE)["running 1 m"]
                 for b in (34, 10))
    assert near.high - near.low == pytest.approx(far.high - far.low, rel=0.02)


def test_a_background_less_than_three_decibels_below_gives_an_upper_bound(heard):
    row = heard(np.full(600, together(30.0, 31.0)), background="31 dB", **WHERE)["running 1 m"]
    assert (row.basis, row.value, row.low) == ("bounded", None, None)
    assert together(30.0, 31.0) < row.high < together(30.0, 31.0) + 2
    assert "only 2.5 dB below: at most this" in row.note


def test_the_limit_of_three_decibels(heard):
    for over, basis in ((2.99, "bounded"), (3.01, "measured")):
        assert heard(np.full(60, 30.0 + over), background="30 dB", **WHERE)[
            "running 1 m"].basis == basis


def test_a_background_louder_than_the_cooler(heard):
    row = heard(np.full(60, 30.0), background="32 dB", **WHERE)["running 1 m"]
    assert row.basis == "bounded" and "as loud as the cooler" in row.note


def test_without_a_background_there_is_an_upper_bound(heard):
    row = heard(np.full(60, 40.0), **WHERE)["running 1 m"]
    assert row.basis == "bounded" and row.high > 40.0 and "background not known" in row.note


def test_the_background_is_heard_before_and_after_the_switch(heard):
    on = np.r_[np.full(300, 30.0), np.full(600, together(40.0, 30.0)), np.full(300, 30.0)]
    marks = [(300 / 3600, "power on"), (900 / 3600, "power off")]
    row = heard(on, marks=marks, **WHERE)["running 1 m"]
    assert row.value == pytest.approx(40.0, abs=1e-9)
    assert row.conditions["background"] == pytest.approx(30.0)


def test_readings_by_eye_are_averaged_by_energy(heard):
    rows = heard([38.0, 40.0, 42.0, 39.0], by_hand=True, background="20 dB", **WHERE)
    assert list(rows) == ["running 1 m"]  # four readings tell no L10
    mean = together(38, 40, 42, 39) - together(0, 0, 0, 0)
    assert rows["running 1 m"].value == pytest.approx(mean, abs=1e-9)


def test_levels_exceeded_are_those_of_the_samples(heard):
    levels = np.r_[np.full(700, 36.0), np.full(300, 46.0)]
    rows = heard(levels, background="20 dB", **WHERE)
    assert [rows[f"running 1 m L{p}"].value for p in (10, 50, 90)] == [46.0, 36.0, 36.0]
    assert "background included" in rows["running 1 m L10"].note


def test_a_log_with_power_tells_running_from_idle(heard):
    runs = np.arange(3600) % 600 < 240
    rows = heard(np.where(runs, 42.0, 31.0), power=np.where(runs, 50.0, 1.0), distance="1 m",
                 background="20 dB ± 0.1 dB")
    assert rows["running 1 m"].value == pytest.approx(42.0, abs=0.1)
    assert rows["idle 1 m"].value == pytest.approx(together(31.0) - 0.36, abs=0.05)


def test_what_was_not_said_is_said(heard):
    row, = heard(np.full(30, 40.0), background="20 dB").values()
    assert row.at == "" and "state not stated; distance not stated" in row.note
    row, = heard(np.full(30, 40.0), background="20 dB", error=None, **WHERE).values()
    assert (row.value, row.low, row.high, row.draws) == (pytest.approx(40.0), None, None, None)


def test_near_a_cooler_its_distance_counts(heard):
    def half(distance):
        row = heard(np.full(600, 40.0), error=0.01, background="10 dB", state="running",
                    distance=distance)
        row = next(iter(row.values()))
        return (row.high - row.low) / 2
    # A twentieth of the distance is 0.42 dB, by 20 lg 1.05.
    assert half("1 m") == pytest.approx(20 * np.log10(1 + LIMITS.sound_distance / 1000), rel=0.1)
    assert half("250 mm") > 3 * half("1 m")


def test_few_readings_leave_more_open(heard):
    def width(levels):
        row = heard(levels, by_hand=True, error=0.01, background="10 dB", **WHERE)["running 1 m"]
        return row.high - row.low
    assert width([40.0] * 2) > 1.3 * width([40.0] * 4)
    scattered = [38.0, 42.0] * 5
    # t of 9 degrees of freedom is 2.26.
    expected = 2 * 2.26 * np.std(scattered, ddof=1) / np.sqrt(10)
    assert width(scattered) == pytest.approx(expected, rel=0.1)


def test_a_run_without_readings_says_what_it_needs(made):
    record = made.record(made.trace("power", made.every(60, 1), np.full(61, 40.0)))
    context = made.context(record, kind=["sound"])
    row, = (f for f in analyse_run(record, context.campaign).findings
            if f.finding == "sound_level")
    assert row.basis == "not measured" and "needs readings of sound" in row.note
