"""Time above the food limit after it was first reached."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.food import hours_above_limit


def load_run(made, warm=((4.0, 5.5),), gap=None, role="load", error=0.1, until=10.0):
    """At 3 °C from the second hour on, at 8 °C in the warm spells."""
    hours = made.every(60, until)
    if gap:
        hours = made.without(hours, gap)
    y = np.maximum(21 - 9 * hours, 3.0)
    for begin, end in warm:
        y = np.where((hours > begin) & (hours < end), 8.0, y)
    return made.record(made.trace(role, hours, y, error=error))


def row_of(made, record, **more):
    findings = hours_above_limit(made.context(record, **more))
    assert len(findings) == 1
    return findings[0]


def test_warm_spells_add_up(made):
    row = row_of(made, load_run(made, warm=((4.0, 5.5), (7.0, 7.5))))
    assert row.basis == "measured"
    assert row.value == pytest.approx(2.0, abs=3 / 60)  # a sample at each of four edges
    assert row.low <= row.value <= row.high
    assert row.at == "5 °C"


def test_time_before_it_was_first_cold_does_not_count(made):
    row = row_of(made, load_run(made, warm=()))
    # What smoothing delays, and what the slope of the last degrees takes: minutes.
    assert row.value == pytest.approx(0.0, abs=1 / 60)


def test_the_warmest_place_counts(made):
    hours = made.every(60, 10)
    cold = made.trace("load", hours, np.maximum(21 - 9 * hours, 2.0), error=0.1)
    warm = load_run(made, role="load_2").trace("load_2")
    row = row_of(made, made.record(cold, warm))
    assert row.value == pytest.approx(1.5, abs=2 / 60)


def test_a_limit_that_was_never_reached(made):
    hours = made.every(60, 3)
    record = made.record(made.trace("load", hours, 21 - 4 * hours, error=0.1))
    row = row_of(made, record)
    assert (row.basis, row.value, row.low) == ("not reached", None, 3.0)
    assert row.note == "food limit not reached in 3.0 h"


def test_a_gap_hides_time(made):
    row = row_of(made, load_run(made, gap=(5.0, 6.0)))
    assert (row.basis, row.value) == ("bounded", None)
    # Seen warm for one hour at least; the hidden hour may all have been warm.
    assert row.low == pytest.approx(1.0, abs=2 / 60)
    assert row.high == pytest.approx(2.0, abs=3 / 60)
    assert row.note == "1.0 h hidden by gaps"


def test_air_stands_in_and_says_so(made):
    row = row_of(made, load_run(made, role="air"))
    assert row.note == "air, no load place was logged"


def test_without_a_stated_error_there_is_no_interval(made):
    row = row_of(made, load_run(made, error=None))
    assert (row.low, row.high, row.note) == (None, None, "error not stated")


def test_without_a_limit_there_is_no_row(made):
    context = made.context(load_run(made), food_limit=None)
    assert hours_above_limit(context) == []
