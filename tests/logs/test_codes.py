"""Error codes beside each other, at the ends, as a hub turns them, and what may not be dropped."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.logs.codes import OF_PROBES, error_codes, suspected_codes


@pytest.mark.parametrize(("values", "unit", "bad"), [
    ([24.0, 127.94, 127.9375, 24.0], "°C", [1, 2]),  # they do not jump from each other
    ([24.0, 999.0, 999.9, 24.0], "°C", [1, 2]),
    ([75.2, 262.29, 75.0], "°F", [1]),  # 127.94 °C, rounded by the hub
    ([75.2, 262.3, 262.292, 75.0], "°F", [1, 2]),
    ([75.2, 18030.2, 75.0], "°F", [1]),  # 9999 °C likewise
    ([0.0, -127.0, 0.3], "°C", [1]),  # beside a code, but near to the next good value
    ([0.0, 24.0, 23.9], "°C", [0]),
    ([24.0, 23.9, 0.0], "°C", [2]),
    ([24.0, 0.0, 0.0, 23.0], "°C", []),  # ten minutes in ice water, read each five
    ([32.0, 32.0, 75.0], "°F", []),
    ([-18.0, -17.5, 0.0, 0.0, 0.0, -18.0], "°F", []),
    ([24.0, *[85.0] * 4, 24.0], "°C", []),
    ([24.0, *[-127.0] * 400, 24.0], "°C", list(range(1, 401))),
    ([24.0, -127.0, *[0.0] * 50, -127.0, 24.0], "°C", [1, 52]),
    ([127.0, 126.5, 127.0, 127.4], "°C", []),  # a hot discharge line
    ([3.0, 5.0, 9999.0, 3.0], "%", [2]),
    ([np.nan, np.nan], "°C", []),
    ([], "°C", []),
])
def test_codes(values, unit, bad):
    assert np.flatnonzero(error_codes(np.array(values, float), unit)).tolist() == bad


@given(st.lists(st.floats(-30, 60), min_size=3, max_size=60).map(np.array),
       st.sampled_from([-127.0, 127.94, 9999.0, -999.0]), st.data())
def test_a_code_no_bench_can_have_goes_and_nothing_else_does(values, code, data):
    values = np.round(values, 2)
    values[np.isin(values, OF_PROBES)] = 1.0
    with_codes = values.copy()
    at = data.draw(st.sets(st.integers(0, len(values) - 1), max_size=len(values) - 1))
    with_codes[list(at)] = code
    assert set(np.flatnonzero(error_codes(with_codes, "°C")).tolist()) == at


@given(st.integers(2, 60), st.sampled_from([0.0, 85.0]), st.floats(6, 30))
def test_a_plateau_of_ice_or_of_a_hot_side_stays(count, level, away):
    """However suddenly it is entered and left: that is asked about, never dropped."""
    least = 2 if level == 0 else 4
    y = np.concatenate([np.full(5, level + away), np.full(max(count, least), level),
                        np.full(5, level + away)])
    assert not error_codes(y, "°C").any()
    assert not error_codes(y * 1.8 + 32, "°F").any()
    assert suspected_codes(y) == [(5, 5 + max(count, least))]


def test_what_is_reached_in_steps_is_not_asked_about():
    assert suspected_codes(np.array([24.0, 3.0, 0.0, 0.0, 0.0, 2.0, 24.0])) == []
    assert suspected_codes(np.zeros(50)) == []
    assert suspected_codes(np.array([24.0, 23.0])) == []
