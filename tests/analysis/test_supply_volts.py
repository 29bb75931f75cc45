"""Cut-out and restart on ramps whose truth is put in."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_run

CUT, BACK = 10.4, 11.7  # volts at the cooler [V]


def controller(volts, cut=CUT, back=BACK):
    """Whether a machine runs, sample by sample, at volts that its controller sees."""
    runs, states = True, []
    for u in volts:
        runs = u > cut if runs else u >= back
        states.append(runs)
    return np.array(states)


@pytest.fixture
def ramped(made):
    """Rows of a ramp: a sample every 10 s, volts at the cooler less what the cable takes."""
    def of(source, *, lost=0.0, error=0.05, setting="coldest", runs=None, power=None):
        runs = controller(source - lost) if runs is None else runs
        hours = np.arange(len(source)) / 360
        traces = [made.trace("voltage", hours, source - lost * runs, error),
                  made.trace("power", hours, np.where(runs, 45.0, 0.8), metered_at="dc")]
        record = made.record(*traces[:2 if power is None else 1])
        context = made.context(record, kind=["supply-volts"], setting=setting)
        return {f.finding: f for f in analyse_run(record, context.campaign).findings
                if f.finding.endswith("_volts")}
    return of


DOWN_UP = np.r_[np.arange(12.6, 9.8, -0.05), np.arange(9.8, 12.6, 0.05)]


def test_both_lie_between_two_samples(ramped):
    rows = ramped(DOWN_UP)
    for name, truth in (("cut_out_volts", CUT), ("restart_volts", BACK)):
        row = rows[name]
        assert row.basis == "measured" and row.at == "dc" and row.unit == "V"
        assert row.low < truth < row.high
        # Half a step and the instrument's 0.05 V, no more.
        assert abs(row.value - truth) < 0.03 and row.high - row.low < 2 * 0.08


def test_volts_that_rise_when_the_load_goes_do_not_widen_the_cut_out(ramped):
    """0.5 V lost on the way: after the stop the volts at the cooler jump up by as much."""
    rows = ramped(DOWN_UP, lost=0.5)
    row = rows["cut_out_volts"]
    assert row.low < CUT < row.high and row.high - row.low < 0.2
    assert rows["restart_volts"].high < BACK + 0.7


def test_the_stop_at_the_lowest_volts_counts(ramped):
    """A thermostat stopped the machine before, at 12 V."""
    source = np.r_[np.full(60, 12.0), DOWN_UP]
    runs = np.r_[np.arange(60) % 20 < 12, controller(DOWN_UP)]
    assert ramped(source, runs=runs)["cut_out_volts"].value == pytest.approx(CUT, abs=0.03)


def test_a_machine_that_never_stops_has_an_upper_bound(ramped):
    rows = ramped(np.arange(12.6, 11.0, -0.05))
    row = rows["cut_out_volts"]
    assert (row.basis, row.value, row.low) == ("bounded", None, None)
    assert row.high == pytest.approx(11.05, abs=0.06)
    assert rows["restart_volts"].basis == "not measured"


def test_a_machine_that_does_not_come_back_has_a_lower_bound(ramped):
    row = ramped(DOWN_UP[:80])["restart_volts"]
    assert row.basis == "bounded" and row.value is None and row.high is None
    assert row.low == pytest.approx(DOWN_UP[:80][56:].max(), abs=0.06)


def test_a_stop_that_was_hardly_a_cut_out_is_told(ramped):
    runs = DOWN_UP > 0
    runs[20:40] = False  # it comes back on the way down
    row = ramped(DOWN_UP, runs=runs, setting="4")
    assert "a thermostat's stop looks alike" in row["cut_out_volts"].note
    assert "hardly a cut-out" in row["restart_volts"].note


def test_without_power_or_errors_less_is_said(ramped):
    assert ramped(DOWN_UP, power=False)["cut_out_volts"].basis == "not measured"
    row = ramped(DOWN_UP, error=None)["cut_out_volts"]
    assert row.value is not None and (row.low, row.high) == (None, None)
