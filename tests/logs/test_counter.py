"""Counters that stop, fall, roll over, lag and come back, where powers are known and where not."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.logs.counter import repaired_counter

HOUR = 3600.0


def counter(y, most=None, range_wh=None, step=1.0, hours=1.0):
    y = np.array(y, float)
    return repaired_counter(np.arange(len(y)) * hours * HOUR, y, most, range_wh, step)


def whats(found) -> list[str]:
    return [b.what for b in found.breaks]


def test_without_a_known_power_a_lifetime_is_no_use_either():
    found = counter([90_000, 90_050, 0, 40, 90_080, 90_130])
    assert whats(found) == ["reset", "return"]
    assert found.y[-1] == 50 + 40 + 50
    assert all(b.high == np.inf for b in found.breaks)


def test_two_readings_of_an_old_count_are_no_use():
    assert whats(counter([5000, 0, 5100])) == ["reset", "return"]


def test_a_reset_count_that_grows_past_its_old_value_in_its_own_time_is_use():
    found = counter([0, 10, 20, 30, 0, 10, 20, 30, 40, 50])
    assert whats(found) == ["reset"]
    assert found.y[-1] == 30 + 50


def test_a_fall_to_an_older_count_says_nothing_of_what_flowed():
    """A fiftieth of the old count, but more than can have flowed: it did not begin at 0."""
    for most, high in ((100.0, 101.0), (None, np.inf)):
        (broken,) = counter([1_000_000, 1_000_050, 15_000, 15_050], most).breaks
        assert (broken.low, broken.high) == (0.0, high)


def test_it_comes_back_after_hours_of_counting_anew():
    found = counter([70_000, 70_050, 0, *range(50, 550, 50), 70_600], most=100.0)
    assert whats(found) == ["reset", "return"]


@pytest.mark.parametrize("every", [30, 60, 600])
def test_a_count_brought_up_to_date_now_and_then_is_whole(every):
    """A meter that is read each 10 s and counts each minute: no rise is more than could flow."""
    t = np.arange(0, 4 * HOUR, 10.0) + 7.0
    true = 50.0 * t / HOUR
    shown = np.floor(50.0 * (t - t % every) / HOUR / 0.01) * 0.01
    found = repaired_counter(t, shown, 60.0, None, 0.01)
    assert found.breaks == ()
    assert found.y[-1] - found.y[0] == pytest.approx(true[-1] - true[0], abs=50.0 * every / HOUR)


@pytest.mark.parametrize("range_wh", [
    1e4, 1e7, 2**16, 2**16 * 0.1, 2**32 * 0.001, 2**32 / 3600, 2**24 * 10.0,
])
def test_ranges_that_are_asked_about(range_wh):
    found = counter([range_wh - 60, range_wh - 10, 30, 80], most=100.0)
    assert found.rolls_at == pytest.approx(range_wh)
    assert whats(found) == ["reset"]
    stated = counter([range_wh - 60, range_wh - 10, 30, 80], 100.0, range_wh)
    assert stated.breaks == () and stated.y[-1] == pytest.approx(140)


def test_a_rollover_that_the_power_does_not_allow_is_a_reset():
    assert whats(counter([9_000, 9_050, 30], 100.0, 10_000)) == ["reset"]


@given(st.lists(st.floats(1, 80), min_size=8, max_size=40), st.integers(3, 30))
def test_an_unknown_power_never_loses_the_truth(flow, at):
    true = np.concatenate([[0.0], np.cumsum(flow)])
    at = min(at, len(true) - 4)
    shown = 70_000 + true
    shown[at:] -= shown[at]
    shown[at + 2 :] = 70_000 + true[at + 2 :]
    found = counter(shown)
    assert found.y[-1] <= true[-1] + 1e-6
    assert found.y[-1] + sum(b.high - b.low for b in found.breaks) == np.inf
    assert (np.diff(found.y) >= 0).all()


def test_a_clean_count_is_left_as_it_is():
    y = np.arange(50.0)
    assert repaired_counter(np.arange(50) * 60.0, y, 100.0, None, 0.5).y is y
    assert repaired_counter(np.zeros(1), y[:1], 100.0, None, 0.5).y.tolist() == [0.0]


def test_what_falls_all_the_time_is_no_counter():
    found = counter(np.tile([5.0, 3.0, 4.0], 40), most=60.0)
    assert found.falls == 40
    (broken,) = found.breaks
    assert (broken.low, broken.high) == (0.0, 60.0 * 119)
    assert not found.y.any()
