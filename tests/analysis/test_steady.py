"""Steady windows by construction: which pass, how long they are, and what they leave out."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.energy import EnergyMeter
from coldbench.analysis.steady_rule import find_steady

PERIOD, SHARE = 0.5, 0.4  # h


def cycling(made, until, drift=0.0, watts_drift=0.0, gap=None, marks=(), ambient=None, step=60.0):
    """A thermostat's run; drifts are K and relative power an hour."""
    hours = made.every(step, until)
    if gap:
        hours = made.without(hours, gap)
    power = made.square(hours, PERIOD, SHARE) * (1 + watts_drift * hours)
    swing = np.cos(2 * np.pi * (hours % PERIOD) / PERIOD)
    room = np.full(len(hours), 25.0) if ambient is None else ambient(hours)
    return made.record(
        made.trace("air", hours, 4 + swing + drift * hours),
        made.trace("power", hours, power, metered_at="dc"),
        made.trace("ambient", hours, room), marks=marks,
    )


def steady(record, chosen=None):
    return find_steady(record, EnergyMeter.of(record), chosen)


# --- a thermostat ------------------------------------------------------------------------------


@pytest.mark.parametrize(("until", "days", "hours"), [
    (10, 0, 9.5), (30, 1, 24.0), (50, 2, 48.0), (75, 3, 72.0),
])  # fmt: skip
def test_the_window_is_the_largest_multiple_of_a_day(made, until, days, hours):
    window = steady(cycling(made, until))
    assert window.passed
    assert (window.days, window.hours) == (days, pytest.approx(hours, abs=PERIOD))
    # The latest of them: it ends with the last whole cycle.
    assert window.t1 == pytest.approx(made.zero + until * 3600, abs=PERIOD * 3600 + 60)
    assert np.diff(window.starts) == pytest.approx(np.full(len(window.good), PERIOD * 3600))
    assert window.good.all()
    assert window.text.startswith(f"steady: {window.hours:.1f} h, {len(window.good)} whole cycles")


def test_means_are_over_whole_cycles(made):
    record = cycling(made, 30)
    window = steady(record)
    assert window.mean(record.trace("power")) == pytest.approx(SHARE * 50 + (1 - SHARE))
    assert window.mean(record.trace("air")) == pytest.approx(4.0, abs=0.01)
    assert window.coverage(record.trace("power")) == pytest.approx(100.0)


@pytest.mark.parametrize(("more", "test"), [
    # Blocks are halves, 12 h apart in a day; limits 0.3 K, 3 % and 0.5 K, none met by any pair.
    (dict(drift=0.2), "inside"),
    (dict(watts_drift=0.05), "power"),
    (dict(ambient=lambda hours: 25 + 0.3 * hours), "ambient"),
])  # fmt: skip
def test_what_drifts_is_not_steady(made, more, test):
    window = steady(cycling(made, 26, **more))
    # At this drift even three cycles against the next three, 1.5 h later, may pass or not.
    limit = {"inside": 0.3, "power": 0.03, "ambient": 0.5}[test]
    assert window.days == 0
    if window.passed:
        assert window.tests[test] <= limit
        assert window.hours < 6
    else:
        assert window.tests[test] > limit
        assert "not steady" in window.text


@pytest.mark.parametrize(("drift", "longest"), [(0.05, 12.0), (0.1, 6.0)])
def test_the_longest_that_passes_where_no_day_does(made, drift, longest):
    """Halves of n hours differ by drift · n/2: 0.3 K is met up to 0.6 K / drift."""
    window = steady(cycling(made, 26, drift=drift))
    assert window.passed
    assert (window.days, window.hours) == (0, pytest.approx(longest, abs=PERIOD))
    assert window.tests["inside"] <= 0.3


def test_a_run_that_settles_late_gives_its_last_day(made):
    """Two days, the first of them while it still got colder by 3 K."""
    hours = made.every(60, 50)
    swing = np.cos(2 * np.pi * (hours % PERIOD) / PERIOD)
    record = made.record(
        made.trace("air", hours, 4 + swing + 3 * np.exp(-hours / 4)),
        made.trace("power", hours, made.square(hours, PERIOD, SHARE)),
    )
    window = steady(record)
    assert (window.passed, window.days) == (True, 1)
    assert window.t1 == pytest.approx(made.zero + 50 * 3600, abs=PERIOD * 3600 + 60)


def test_cycles_touched_by_a_gap_are_dropped_whole(made):
    record = cycling(made, 30, gap=(20.1, 20.3))
    window = steady(record)
    assert (window.passed, window.days) == (True, 1)
    begin = window.starts[:-1][~window.good]
    assert len(begin) == 1
    assert begin[0] <= made.zero + 20.1 * 3600 < begin[0] + PERIOD * 3600
    assert window.mean(record.trace("power")) == pytest.approx(SHARE * 50 + (1 - SHARE))
    assert "1 dropped for a gap or a mark" in window.text
    kept = 1 - PERIOD * 3600 / (window.t1 - window.t0)
    assert window.coverage(record.trace("power")) == pytest.approx(100 * kept)


def test_cycles_touched_by_a_mark_are_dropped_whole(made):
    record = cycling(made, 30, marks=[(20.1, "lid opened"), (20.2, "lid shut"), (22.0, "note")])
    window = steady(record)
    begin = (window.starts[:-1][~window.good] - made.zero) / 3600
    assert begin == pytest.approx([20.0])


@pytest.mark.parametrize("what", ["setting changed", "load in", "power on"])
def test_no_window_reaches_over_a_new_start(made, what):
    window = steady(cycling(made, 30, marks=[(10.0, what)]))
    assert window.t0 >= made.zero + 10 * 3600
    assert window.hours == pytest.approx(20, abs=2 * PERIOD)


def test_the_run_ends_when_it_is_switched_off(made):
    window = steady(cycling(made, 30, marks=[(26.0, "power off")]))
    assert window.t1 <= made.zero + 26 * 3600


def test_a_window_chosen_by_hand_is_taken_and_judged(made):
    window = steady(cycling(made, 30), chosen=(5 * 3600.0, 15 * 3600.0))
    assert window.passed
    assert window.t0 == pytest.approx(made.zero + 5 * 3600, abs=PERIOD * 3600 + 60)
    assert window.t1 == pytest.approx(made.zero + 15 * 3600, abs=PERIOD * 3600)
    drifting = steady(cycling(made, 30, drift=0.2), chosen=(5 * 3600.0, 15 * 3600.0))
    assert not drifting.passed
    assert drifting.hours == pytest.approx(10, abs=2 * PERIOD)


@pytest.mark.parametrize("until", [2.2, 3.2])
def test_fewer_than_six_whole_cycles_are_too_few(made, until):
    window = steady(cycling(made, until))
    cycles = int(until / PERIOD) - 1
    assert not window.passed
    assert window.text == (
        f"not steady: {cycles * PERIOD:.1f} h, {cycles} whole cycles; the rule needs two blocks "
        "of 3 whole cycles"
    )


def test_six_whole_cycles_are_enough(made):
    window = steady(cycling(made, 3.6))
    assert (window.passed, len(window.good)) == (True, 6)


def test_less_than_two_hours_are_not_judged(made):
    assert steady(cycling(made, 1.9)) is None


# --- without a break ---------------------------------------------------------------------------


def unbroken(made, until, drift=0.0, watts_drift=0.0, room_drift=0.0, marks=()):
    hours = made.every(60, until)
    return made.record(
        made.trace("air", hours, 8 + (drift + room_drift) * hours),
        made.trace("power", hours, 48 * (1 + watts_drift * hours), metered_at="dc"),
        made.trace("ambient", hours, 25 + room_drift * hours), marks=marks,
    )


@pytest.mark.parametrize(("until", "hours"), [(3, 3), (10, 10), (25, 24), (50, 48)])
def test_an_unbroken_run_that_stands_still(made, until, hours):
    window = steady(unbroken(made, until))
    assert (window.passed, window.cycling) == (True, None)
    assert window.hours == pytest.approx(hours, abs=0.5)
    assert window.t1 == made.zero + until * 3600


@pytest.mark.parametrize(("more", "passes"), [
    (dict(drift=-0.09), True), (dict(drift=-0.11), False),  # limit 0.1 K/h of the difference
    (dict(watts_drift=0.0095), True), (dict(watts_drift=-0.02), False),  # limit 1 % an hour
    (dict(room_drift=0.29), True), (dict(room_drift=0.31), False),  # limit 0.3 K/h
])  # fmt: skip
def test_slopes_are_held_to_their_limits(made, more, passes):
    window = steady(unbroken(made, 6, **more))
    assert window.passed is passes
    assert window.text.startswith("steady: last" if passes else "not steady: last")


def test_an_unbroken_run_counts_from_the_last_event(made):
    window = steady(unbroken(made, 10, marks=[(4.0, "lid opened"), (4.1, "lid shut")]))
    assert window.passed
    assert window.t0 >= made.zero + 4.1 * 3600 - 1


def test_a_short_window_tells_how_far_the_room_may_be_off(made):
    """Half the range of the ambient where no 24 h were logged; nothing for whole days."""
    short = steady(cycling(made, 10, ambient=lambda h: 25 + 0.2 * np.sin(2 * np.pi * h / 10)))
    assert short.ambient_move == pytest.approx(0.2, abs=1e-3)
    assert steady(cycling(made, 30)).ambient_move == 0.0


def test_nothing_to_judge(made):
    hours = made.every(60, 10)
    record = made.record(made.trace("ambient", hours, np.full(len(hours), 25.0)))
    assert steady(record) is None
