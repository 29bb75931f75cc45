"""Energy of a run adds over split windows, whatever it is told from."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.analysis.energy import EnergyMeter
from coldbench.logs.record import Trace

WATTS = st.integers(0, 90).map(float)


@st.composite
def power(draw, **more) -> Trace:
    """Held power at odd steps, some of them longer than the gap limit."""
    steps = draw(st.lists(st.integers(10, 400), min_size=3, max_size=25))
    t = np.cumsum([0.0, *steps])
    y = draw(st.lists(WATTS, min_size=len(t), max_size=len(t)))
    return Trace("power", t, np.array(y), gap=150.0, step=60.0, probe="W", **more)


@st.composite
def cut_at(draw, trace: Trace) -> np.ndarray:
    """Three instants and more within a trace, in order."""
    shares = draw(st.lists(st.floats(0, 1), min_size=3, max_size=8))
    return trace.t[0] + np.sort(shares) * (trace.t[-1] - trace.t[0])


def sums(meter: EnergyMeter, cuts: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Lower and upper bound of the parts' sum, and of the whole. [Wh]"""
    parts = [meter.between(a, b) for a, b in zip(cuts, cuts[1:], strict=False)]
    whole = meter.between(cuts[0], cuts[-1])
    return (np.array([sum(float(p.low[0]) for p in parts), sum(float(p.high[0]) for p in parts)]),
            np.array([whole.low[0], whole.high[0]]))


@given(data=st.data())
def test_of_power_and_its_bounds_over_gaps(data):
    trace = data.draw(power())
    parts, whole = sums(EnergyMeter(trace, None), data.draw(cut_at(trace)))
    np.testing.assert_allclose(parts, whole, rtol=1e-9, atol=1e-9)


@given(data=st.data())
def test_many_ends_give_what_each_gives(data):
    trace = data.draw(power())
    begin, *ends = data.draw(cut_at(trace))
    meter = EnergyMeter(trace, None)
    together = meter.between(begin, np.array(ends))
    for i, end in enumerate(ends):
        alone = meter.between(begin, end)
        assert together.low[i] == pytest.approx(float(alone.low[0]), abs=1e-9)
        assert together.high[i] == pytest.approx(float(alone.high[0]), abs=1e-9)


@given(data=st.data())
def test_of_a_counter_between_its_readings(data):
    trace = data.draw(power())
    rise = np.array(data.draw(st.lists(st.integers(0, 50), min_size=len(trace.t) - 1,
                                       max_size=len(trace.t) - 1)))
    counter = Trace("energy", trace.t, np.append(0.0, np.cumsum(rise)), gap=1e9, step=60.0,
                    probe="C")
    at = np.sort(data.draw(st.lists(st.integers(0, len(trace.t) - 1), min_size=3, max_size=6)))
    parts, whole = sums(EnergyMeter(None, counter), trace.t[at])
    np.testing.assert_allclose(parts, whole, atol=1e-9)
    np.testing.assert_allclose(whole, counter.y[at[-1]] - counter.y[at[0]], atol=1e-9)


@given(data=st.data())
def test_bounds_of_intervals_only_widen_when_a_window_is_split(data):
    """Within an interval whose total alone is known, nobody knows when it was drawn."""
    y = np.array(data.draw(st.lists(WATTS, min_size=4, max_size=12)))
    t = 3600.0 * np.arange(len(y))
    trace = Trace("power", t, y, gap=3601.0, step=3600.0, probe="W", power="mean", bucket=3600.0)
    cuts = data.draw(cut_at(trace))
    parts, whole = sums(EnergyMeter(trace, None), cuts)
    assert parts[0] <= whole[0] + 1e-9 <= whole[1] + 2e-9 <= parts[1] + 3e-9
    exact = np.unique(np.round(cuts / 3600)) * 3600
    if len(exact) > 2:
        parts, whole = sums(EnergyMeter(trace, None), exact)
        np.testing.assert_allclose(parts, whole, atol=1e-9)
        assert whole[0] == pytest.approx(whole[1], abs=1e-9)


@given(data=st.data(), more=st.integers(2, 5))
def test_finer_sampling_of_held_power_changes_nothing(data, more):
    trace = data.draw(power())
    short = np.diff(trace.t) <= trace.gap
    fine_t = [trace.t[i] + (trace.t[i + 1] - trace.t[i]) * k / more
              for i in range(len(short)) for k in range(more if short[i] else 1)]
    held = np.repeat(trace.y[:-1], np.where(short, more, 1))
    fine = Trace("power", np.append(fine_t, trace.t[-1]), np.append(held, trace.y[-1]),
                 gap=trace.gap, step=trace.step, probe="W")
    a, b = data.draw(cut_at(trace))[[0, -1]]
    coarse, finer = (EnergyMeter(x, None).between(a, b) for x in (trace, fine))
    assert finer.low[0] == pytest.approx(float(coarse.low[0]), abs=1e-7)
    # What a gap may hide is bounded by a quantile of the samples, which are others.
    assert (finer.high[0] - finer.low[0] > 1e-7) == (coarse.high[0] - coarse.low[0] > 1e-7)
