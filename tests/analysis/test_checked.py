"""Runs corrected by the same-place checks of their campaign."""

from __future__ import annotations

import datetime as dt
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_campaign
from coldbench.analysis.check import check_of
from coldbench.analysis.checked import checked
from coldbench.analysis.doubt import true_of
from coldbench.logs import read_runs
from coldbench.sheets import read_campaign

sys.path.insert(0, str(Path(__file__).parent))
from same_place_bench import drawn, only, with_soak, written

SEED = 5


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """A campaign with a check and a soak a week later, and its truth."""
    sim, true, clock = drawn(SEED)
    campaign = written(tmp_path_factory.mktemp("checked"), with_soak(sim))
    return campaign, read_runs(campaign), true, clock


def by_probe(record):
    return {trace.probe: trace for trace in record.traces.values()}


def test_readings_lose_their_offset_and_times_their_shift(opened):
    campaign, records, _, _ = opened
    check = check_of(records["check"], campaign)
    assert check.shifts["L2"].told
    after = by_probe(checked(records["soak"], campaign, [check]))
    for probe, before in by_probe(records["soak"]).items():
        ahead = check.shifts["L2"].value if probe in ("P3", "P4") else 0.0
        assert after[probe].y == pytest.approx(before.y - check.offsets[probe].value)
        assert after[probe].t == pytest.approx(before.t - ahead)
        assert after[probe].error.absolute < before.error.absolute
    assert after["P3"].t is after["P4"].t  # one file, one array of times


def test_zero_and_end_follow_the_clock(opened):
    campaign, records, _, _ = opened
    check = check_of(records["check"], campaign)
    record = checked(records["soak"], campaign, [check])
    assert record.end == max(t.t[-1] for t in record.traces.values())
    assert record.zero == campaign.seconds(campaign.runs["soak"].start)


@pytest.mark.parametrize("baths", [("ice", "air"), ("ice",), ("air",)])
def test_what_is_left_is_the_checks_own_and_shared(opened, baths):
    campaign, records, _, _ = opened
    campaign = only(campaign, *baths)
    check = check_of(records["check"], campaign)
    traces = by_probe(checked(records["soak"], campaign, [check]))
    inside = {p: true_of(t, float(t.y[-20:].mean())) for p, t in traces.items()}
    for probe, trace in traces.items():
        reading = float(trace.y[-20:].mean()) + check.offsets[probe].value
        assert inside[probe] == pytest.approx(reading - check.offsets[probe].draws)
    single = np.std(inside["P1"])
    # The common part cancels; what is left of two probes is less than of one alone.
    assert np.std(inside["P1"] - inside["P3"]) < single


def test_a_second_run_shares_the_draws(opened):
    campaign, records, _, _ = opened
    check = check_of(records["check"], campaign)
    one = by_probe(checked(records["soak"], campaign, [check]))["P1"]
    other = by_probe(checked(records["soak"], campaign, [check]))["P1"]
    assert np.ptp(true_of(one, 4.0) - true_of(other, 4.0)) == 0


def test_each_run_says_what_was_done_to_it(opened):
    campaign, _, _, _ = opened
    result = analyse_campaign(campaign)
    before, after = ([n.code for n in r.notices] for r in (
        read_runs(campaign)["soak"], result.results["soak"].record))
    assert "LOG-CLOCKS" in before  # two loggers and no mark …
    assert "LOG-CLOCKS" not in after  # … and the check has compared them
    [said] = [n for n in result.results["soak"].record.notices if n.code == "CHECK-USED"]
    assert "same-place run check of 2031-03-01:" in said.message
    assert "P1 " in said.message and "clock of L2" in said.message
    assert "after this run" not in said.message
    assert not [n for n in result.results["check"].record.notices if n.code == "CHECK-USED"]
    assert {f.finding for f in result.results["check"].findings} == {"probe_offset", "clock_shift"}


def test_a_check_made_later_counts_and_is_said(tmp_path):
    sim = with_soak(drawn(SEED)[0])
    late = tuple(replace(r, start=dt.datetime(2031, 4, 1, 9)) if r.id == "check" else r
                 for r in sim.campaign.runs)
    campaign = written(tmp_path, replace(sim, campaign=replace(sim.campaign, runs=late)))
    notices = analyse_campaign(campaign).results["soak"].record.notices
    [said] = [n.message for n in notices if n.code == "CHECK-USED"]
    assert "of 2031-04-01, made after this run" in said


def test_a_probe_in_no_check_is_said_and_left_as_it_is(tmp_path):
    campaign = written(tmp_path, with_soak(drawn(SEED)[0], probes=("P1", "P2", "P3")))
    records = read_runs(campaign)
    check = check_of(records["check"], campaign)
    record = checked(records["soak"], campaign, [check])
    [said] = [n for n in record.notices if n.code == "CHECK-NONE"]
    assert said.severity == "doubt"
    assert "other P4" in said.message
    trace = by_probe(record)["other P4"]
    assert np.array_equal(trace.y, by_probe(records["soak"])["other P4"].y)


def test_of_two_checks_the_nearer_counts(opened):
    campaign, records, _, _ = opened
    check = check_of(records["check"], campaign)
    far = replace(check, run="far", t=check.t - 1e7, offsets={
        p: replace(o, value=o.value + 1) for p, o in check.offsets.items()})
    near = by_probe(checked(records["soak"], campaign, [far, check]))
    alone = by_probe(checked(records["soak"], campaign, [check]))
    assert np.array_equal(near["P1"].y, alone["P1"].y)


def test_no_check_changes_nothing(opened):
    campaign, records, _, _ = opened
    assert checked(records["soak"], campaign, []) is records["soak"]


def test_a_log_with_marks_of_its_own_keeps_its_times(opened):
    campaign, records, _, _ = opened
    check = check_of(records["check"], campaign)
    sheet = campaign.runs["soak"]
    logs = [log.model_copy(update={"sync": [sheet.start]}) for log in sheet.log]
    marked = replace(campaign, runs={**campaign.runs, "soak": sheet.model_copy(
        update={"log": logs})})
    after = by_probe(checked(records["soak"], marked, [check]))
    assert np.array_equal(after["P3"].t, by_probe(records["soak"])["P3"].t)


def test_marks_tell_the_shift_where_the_check_has_them(tmp_path):
    sim, _, clock = drawn(SEED)
    campaign = written(tmp_path, sim)
    sheet = tmp_path / "runs" / "check.toml"
    text = sheet.read_text(encoding="utf-8")
    head, logs = text.split("[[log]]", 1)
    first, second = logs.split("[[log]]")
    mark = dt.datetime(2031, 3, 1, 9, 5)
    shown = (mark + dt.timedelta(seconds=clock)).isoformat()
    second = second.replace("\ntime =", f"\nsync = [{shown}]\ntime =")
    mark = '\n[[mark]]\nat = "5 min"\nwhat = "sync"\n'
    sheet.write_text(f"{head}[[log]]{first}[[log]]{second}{mark}", encoding="utf-8", newline="\n")
    campaign = read_campaign(tmp_path)
    check = check_of(read_runs(campaign)["check"], campaign)
    assert check.shifts["L2"].value == pytest.approx(clock)
    assert "mark" in check.shifts["L2"].note
