"""Simulated instruments keep to what they state."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.bench import Column, LogPlan, Meter, record
from coldbench.bench.instruments import sample_times

PROBES = Meter("probes", "temperature", offset=0.3, noise=0.02, resolution=0.1)
EXACT = Meter("exact", "temperature", resolution=1e-6)
METER = Meter("meter", "power", offset=0.2, gain=0.01, resolution=0.01, counter_step=10.0)
WATTS = Meter("watts", "power", resolution=1e-6, counter_step=10.0)
METERS = {meter.id: meter for meter in (PROBES, EXACT, METER, WATTS)}


def logged(run, plan, seed=3, name="run"):
    return record(run, plan, METERS, seed, name)


def test_hidden_constants_are_rectangular_and_kept():
    drawn = np.array([METER.hidden(seed, "P") for seed in range(2000)])
    assert np.abs(drawn[:, 0]).max() <= 0.2
    assert np.abs(drawn[:, 1]).max() <= 0.01
    # A rectangle's standard deviation is its half width / √3; 2000 draws know it to 2 %.
    assert drawn[:, 0].std() == pytest.approx(0.2 / np.sqrt(3), rel=0.05)
    assert METER.hidden(5, "P") == METER.hidden(5, "P") != METER.hidden(5, "Q")


def test_a_probe_errs_alike_in_every_run_and_role(paper_run):
    """The mean error over a run is the hidden offset, whichever run and place it watched."""
    offset, _ = PROBES.hidden(3, "P1")
    for name in ("first", "second"):
        for role in ("air", "ambient"):
            plan = LogPlan((Column("T", role, "probes", probe="P1"),))
            t, y = logged(paper_run, plan, name=name)
            true = np.interp(t, paper_run.t, paper_run.states[role])
            if role == "air":  # in motion the reading's steps average out
                assert (y["T"] - true).mean() == pytest.approx(offset, abs=0.01)
            else:
                assert np.abs(y["T"] - true - offset).max() < 0.05 + 5 * 0.02


def test_readings_come_in_steps(paper_run):
    _, y = logged(paper_run, LogPlan((Column("T", "air", "probes", probe="P1"),)))
    assert np.allclose(np.round(y["T"] * 10), y["T"] * 10, atol=1e-9)


def test_noise_differs_between_runs(paper_run):
    plan = LogPlan((Column("T", "air", "probes", probe="P1"),))
    first, again = logged(paper_run, plan)[1], logged(paper_run, plan)[1]
    other = logged(paper_run, plan, name="other")[1]
    assert np.array_equal(first["T"], again["T"])
    assert not np.array_equal(first["T"], other["T"])


def test_sampling_and_gaps(paper_run):
    plan = LogPlan((Column("T", "air", "exact"),), step=60.0, gaps=((600.0, 1200.0),))
    t = sample_times(paper_run, plan)
    assert t[0] == -1200.0
    assert not ((t >= 600) & (t < 1200)).any()
    assert np.diff(t).max() == 660.0
    assert np.median(np.diff(t)) == 60.0


@pytest.mark.parametrize(("label", "shift"), [("start", 0.0), ("end", 1800.0)])
def test_interval_means_carry_their_label(paper_run, label, shift):
    plan = LogPlan((Column("P", "power", "watts"),), step=1800.0, power="mean", label=label)
    t, y = logged(paper_run, plan)
    assert t[0] == -1200.0 + shift
    after = t - shift >= 0
    assert y["P"][after] == pytest.approx(18.0)


def test_held_power_is_that_of_the_instant(paper_run):
    t, y = logged(paper_run, LogPlan((Column("P", "power", "watts"),), power="hold"))
    assert set(y["P"]) == {0.0, 2.0, 50.0}
    assert (y["P"] == 50.0).sum() == pytest.approx((t >= 0).sum() / 3, abs=10)


def test_an_on_change_log_is_short_and_loses_nothing(paper_run):
    plan = LogPlan((Column("P", "power", "watts"),), step=10.0, power="change", heartbeat=900.0)
    t, y = logged(paper_run, plan)
    assert t.size < 0.05 * paper_run.t.size
    held = (np.diff(t) * y["P"][:-1]).sum()
    assert held == pytest.approx(np.interp(t[-1], paper_run.t, paper_run.energy), rel=1e-3)
    assert np.diff(t).max() <= 910.0


def test_power_is_never_below_zero(paper_run):
    for seed in range(20):
        _, y = logged(paper_run, LogPlan((Column("P", "power", "meter"),)), seed=seed)
        assert y["P"].min() >= 0.0


def test_a_counter_counts_in_steps(paper_run):
    plan = LogPlan((Column("E", "energy", "watts"),), step=300.0)
    t, y = logged(paper_run, plan)
    counted = 1000 * (y["E"] - y["E"][0])
    true = np.interp(t, paper_run.t, paper_run.energy) / 3600
    assert np.allclose(np.round(counted / 10) * 10, counted, atol=1e-6)
    assert np.abs(counted - true).max() <= 10.0
    assert (np.diff(y["E"]) >= 0).all()
