"""Running integrals: they add up, gaps add nothing, means of constants are exact."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.logs.cumulative import Cumulative, is_straight
from coldbench.logs.record import Trace

steps = st.lists(st.floats(1.0, 100.0), min_size=2, max_size=40)
roles = st.sampled_from([("air", "hold", "start"), ("power", "hold", "start"),
                         ("power", "mean", "start"), ("power", "mean", "end")])


def made(role: str, t: np.ndarray, y: np.ndarray, gap: float = 1e9, **more: object) -> Trace:
    return Trace(role, np.asarray(t, float), np.asarray(y, float), gap=gap,
                 step=float(np.median(np.diff(t))), probe="P", **more)


@st.composite
def any_trace(draw) -> Trace:
    """Native samples at odd steps, some of them longer than the gap limit."""
    role, power, label = draw(roles)
    t = np.cumsum([0.0, *draw(steps)])
    y = draw(st.lists(st.floats(-50, 50), min_size=len(t), max_size=len(t)))
    return made(role, t, y, gap=draw(st.floats(5.0, 120.0)), power=power, label=label)


@settings(deadline=None)
@given(trace=any_trace(), cuts=st.lists(st.floats(-10, 4000), min_size=3, max_size=12))
def test_integrals_and_covered_time_add_over_split_windows(trace, cuts):
    total, cuts = Cumulative(trace), np.sort(cuts)
    parts = total.integral(cuts[:-1], cuts[1:]).sum()
    assert parts == pytest.approx(total.integral(cuts[0], cuts[-1]), abs=1e-6)
    covered = total.covered(cuts[:-1], cuts[1:])
    assert covered.sum() == pytest.approx(total.covered(cuts[0], cuts[-1]), abs=1e-6)
    assert (covered >= -1e-9).all()
    assert (covered <= np.diff(cuts) + 1e-9).all()


@settings(deadline=None)
@given(trace=any_trace(), level=st.floats(-50, 50), ends=st.tuples(*[st.floats(0, 4000)] * 2))
def test_the_mean_of_a_constant_is_that_constant(trace, level, ends):
    flat = made(trace.role, trace.t, np.full_like(trace.y, level), gap=trace.gap,
                power=trace.power, label=trace.label)
    mean = Cumulative(flat).mean(min(ends), max(ends))
    if np.isfinite(mean) and Cumulative(flat).covered(min(ends), max(ends)) > 1e-3:
        assert mean == pytest.approx(level, abs=1e-6)


@settings(deadline=None)
@given(trace=any_trace(), when=st.lists(st.floats(-10, 4000), min_size=1, max_size=5))
def test_an_array_gives_what_its_numbers_give(trace, when):
    total = Cumulative(trace)
    single = [float(total.integral(0.0, one)) for one in when]
    assert total.integral(0.0, np.array(when)).tolist() == single


@settings(deadline=None)
@given(y=st.lists(st.floats(0, 100), min_size=3, max_size=20), k=st.integers(2, 5))
def test_finer_sampling_of_held_power_changes_nothing(y, k):
    t = 60.0 * np.arange(len(y))
    fine = np.arange(0, t[-1] + 1e-9, 60 / k)
    held = np.array(y)[np.minimum(np.floor(fine / 60 + 1e-9).astype(int), len(y) - 1)]
    coarse = Cumulative(made("power", t, y)).integral(t[0], t[-1])
    assert Cumulative(made("power", fine, held)).integral(t[0], t[-1]) == pytest.approx(coarse)


def test_power_holds_and_temperature_goes_straight():
    t, y = [0.0, 10.0, 20.0], [0.0, 10.0, 0.0]
    assert not is_straight(made("power", t, y))
    assert is_straight(made("load_2", t, y))
    assert Cumulative(made("power", t, y)).integral(0, 20) == 100.0
    assert Cumulative(made("air", t, y)).integral(0, 20) == 100.0
    assert Cumulative(made("power", t, y)).integral(0, 15) == 50.0
    assert Cumulative(made("air", t, y)).integral(0, 15) == 87.5


def test_a_mean_counts_for_the_interval_its_label_says():
    t, y = [0.0, 10.0, 20.0], [7.0, 1.0, 3.0]
    start = made("power", t, y, power="mean", label="start")
    end = made("power", t, y, power="mean", label="end")
    assert Cumulative(start).integral(0, 20) == 80.0
    assert Cumulative(end).integral(0, 20) == 40.0


@pytest.mark.parametrize("role", ["air", "power"])
def test_a_gap_adds_neither_integral_nor_time(role):
    t = [0.0, 10.0, 20.0, 500.0, 510.0]
    total = Cumulative(made(role, t, np.full(5, 4.0), gap=25.0))
    assert total.integral(0, 510) == pytest.approx(4.0 * 30)
    assert total.covered(0, 510) == pytest.approx(30.0)
    assert total.covered(30, 490) == 0.0
    assert np.isnan(total.mean(30, 490))
    assert total.coverage(0, 510) == pytest.approx(100 * 30 / 510)
    assert total.gaps(0, 510).tolist() == [[20.0, 500.0]]
    assert total.gaps(100, 200).tolist() == [[100.0, 200.0]]
    assert total.gaps(0, 15).shape == (0, 2)


def test_a_step_of_the_gap_limit_itself_is_no_gap():
    total = Cumulative(made("air", [0.0, 150.0, 300.1], [1.0, 1.0, 1.0], gap=150.0))
    assert total.covered(0, 301) == 150.0


def test_nothing_is_known_beyond_the_samples():
    total = Cumulative(made("air", [0.0, 10.0], [5.0, 5.0]))
    assert total.covered(-100, 100) == 10.0
    assert total.integral(-100, 100) == 50.0
    lone = Cumulative(Trace("air", np.array([3.0]), np.array([5.0]), 25.0, 10.0, "P"))
    assert lone.covered(0, 10) == 0.0
    assert np.isnan(lone.mean(0, 10))
