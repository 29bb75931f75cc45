"""Repeats become one row; their spread is pooled over coolers."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.compare.repeats import one_row_each


def energy(made, cooler, value, run, limit=1.0, **more):
    return made.finding(cooler, value, "W1", limit, "daily_energy", "Wh/d", "dc", run, **more)


def test_repeats_become_their_mean(made):
    campaign = made.campaign(a1=None, a2="a1", a3="a1")
    findings = [energy(made, "a", v, run, conditions={"ambient": t}, coverage=c)
                for v, run, t, c in ((1000, "a1", 24, 100), (1060, "a2", 25, 90),
                                     (1030, "a3", 26, 95))]
    rows, spreads = one_row_each(findings, campaign)
    assert len(rows) == 1
    row = rows[0]
    assert row.value == pytest.approx(1030)
    assert row.runs == ("a1", "a2", "a3")
    assert row.conditions == {"ambient": 25.0}
    assert row.coverage == 90
    assert row.note.startswith("mean of 3 runs, ")
    assert row.draws == pytest.approx(np.mean([f.draws for f in findings], axis=0))
    # The meter's error is shared by all three and does not average out.
    assert row.high - row.low == pytest.approx(findings[0].high - findings[0].low, rel=0.01)
    spread = spreads["daily_energy"]
    assert (spread.relative, spread.freedom) == (True, 2)
    assert spread.pooled == pytest.approx(30 / 1030)


def test_temperatures_spread_in_kelvins(made):
    findings = [made.finding("a", v, run=run) for v, run in ((-5.0, "a1"), (-4.0, "a2"))]
    _, spreads = one_row_each(findings, made.campaign(a1=None, a2="a1"))
    spread = spreads["coldest_air"]
    assert (spread.relative, spread.freedom) == (False, 1)
    assert spread.pooled == pytest.approx(np.sqrt(0.5))


def test_spreads_are_pooled_over_coolers_by_their_freedom(made):
    campaign = made.campaign(a1=None, a2="a1", a3="a1", b1=None, b2="b1")
    values = {"a": (90.0, 100.0, 110.0), "b": (198.0, 202.0)}
    findings = [energy(made, cooler, v, f"{cooler}{i + 1}")
                for cooler, group in values.items() for i, v in enumerate(group)]
    _, spreads = one_row_each(findings, campaign)
    spread = spreads["daily_energy"]
    relative = [np.std(g, ddof=1) / np.mean(g) for g in values.values()]
    assert spread.freedom == 3
    assert spread.pooled == pytest.approx(np.sqrt((2 * relative[0]**2 + relative[1]**2) / 3))


def test_targets_of_one_test_count_once(made):
    """Times to two targets of the same two runs move together: one degree of freedom, not two."""
    findings = [
        made.finding("a", v, name="pull_down_time", unit="h", at=at, run=run)
        for at, pair in (("air<=10 °C", (1.0, 1.1)), ("air<=4 °C", (2.0, 2.2)))
        for v, run in zip(pair, ("a1", "a2"), strict=True)
    ]
    rows, spreads = one_row_each(findings, made.campaign(a1=None, a2="a1"))
    assert [row.value for row in rows] == pytest.approx([1.05, 2.1])
    assert spreads["pull_down_time"].freedom == 1
    assert spreads["pull_down_time"].pooled == pytest.approx(np.sqrt(0.5) * 0.1 / 1.05)


def test_a_repeat_of_a_repeat_is_one_more(made):
    findings = [energy(made, "a", 100.0, run) for run in ("a1", "a2", "a3")]
    rows, _ = one_row_each(findings, made.campaign(a1=None, a2="a1", a3="a2"))
    assert [row.runs for row in rows] == [("a1", "a2", "a3")]


def test_repeats_that_go_in_circles_come_to_an_end(made):
    findings = [energy(made, "a", 100.0, run) for run in ("a1", "a2")]
    rows, _ = one_row_each(findings, made.campaign(a1="a2", a2="a1"))
    assert sum(len(row.runs) for row in rows) == 2


def test_a_repeat_without_a_value_is_told_and_lends_no_certainty(made):
    findings = [
        made.finding("a", 3.0, name="pull_down_time", unit="h", run="a1"),
        made.finding("a", None, name="pull_down_time", unit="h", run="a2", basis="not reached",
                     low=8.0),
    ]
    rows, spreads = one_row_each(findings, made.campaign(a1=None, a2="a1"))
    assert (rows[0].value, rows[0].runs) == (3.0, ("a1",))
    assert rows[0].note == "1 of 2 repeats gave a value"
    assert spreads == {}


def test_runs_that_are_no_repeats_stay_apart(made):
    campaign = made.campaign(a1=None, other=None)
    campaign.runs["other"].setting = "3"
    findings = [energy(made, "a", 80.0, "other"), energy(made, "a", 100.0, "a1")]
    rows, spreads = one_row_each(findings, campaign)
    assert [(row.value, row.at) for row in rows] == [(100.0, "dc"), (80.0, "dc (other)")]
    assert spreads == {}


def test_of_bounds_on_the_coldest_air_the_tightest_stays(made):
    campaign = made.campaign(a1=None, a2=None, a3=None)
    bounds = [made.finding("a", None, run=run, basis="bounded", high=high)
              for run, high in (("a1", -2.0), ("a2", -4.0))]
    rows, _ = one_row_each(bounds, campaign)
    assert [row.high for row in rows] == [-4.0]
    rows, _ = one_row_each([*bounds, made.finding("a", -3.0, run="a3")], campaign)
    assert [row.value for row in rows] == [-3.0]


def test_without_stated_errors_the_mean_has_no_interval(made):
    findings = [energy(made, "a", v, run, limit=None) for v, run in ((100.0, "a1"), (110.0, "a2"))]
    rows, spreads = one_row_each(findings, made.campaign(a1=None, a2="a1"))
    assert (rows[0].value, rows[0].low, rows[0].draws) == (105.0, None, None)
    assert spreads["daily_energy"].freedom == 1
