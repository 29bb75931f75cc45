"""Predicted and measured freezing times set side by side."""

from __future__ import annotations

import pytest

from coldbench.compare.freezing_beside import beside_measured
from coldbench.findings import Finding


def row(name, value=None, low=None, high=None, run="a", at="", **more):
    return Finding(cooler="chest", finding=name, at=at, value=value, low=low, high=high, unit="h",
                   runs=(run,), **more)


PLANK = row("freeze_time_predicted", 8.0, 6.0, 11.0, at="plateau, Plank", basis="modelled")
PHAM = row("freeze_time_predicted", 12.0, 9.0, 17.0, at="start to end, Pham", basis="modelled")


@pytest.mark.parametrize(("measured", "verdict"), [
    (row("plateau_time", 8.9, 8.8, 9.0), "agree"),
    (row("plateau_time", 5.0, 4.9, 5.1), "faster"),
    (row("plateau_time", 13.0, 12.9, 13.1), "slower"),
    (row("plateau_time", 10.95), "agree"),
    (row("plateau_time", None, 10.0, 12.0, basis="bounded"), "agree"),
])
def test_plank_stands_beside_the_plateau(measured, verdict):
    (one,) = beside_measured([measured, PLANK, row("freeze_time", 99.0, 98.0, 100.0)])
    assert (one.law, one.measured, one.verdict) == ("Plank", measured, verdict)
    assert bool(one.why) == (verdict in ("faster", "slower"))


@pytest.mark.parametrize(("tried", "verdict"), [(10.0, "cannot tell"), (18.0, "slower")])
def test_a_load_that_was_not_frozen_through(tried, verdict):
    (one,) = beside_measured([row("freeze_time", low=tried, basis="not reached"), PHAM])
    assert one.verdict == verdict
    assert one.words.startswith(f"freezing time not over in {tried:.1f} h, Pham 9.0–17.0 h")


def test_supercooling_is_named_where_the_measured_time_is_longer():
    start = row("freeze_start", 9.0, 8.9, 9.1, note="supercooled to −4.4 °C")
    (one,) = beside_measured([start, row("freeze_time", 20.0, 19.9, 20.1), PHAM])
    assert one.verdict == "slower"
    assert one.why.startswith("the water supercooled to −4.4 °C, which no law counts; the air was")


def test_other_runs_and_predictions_that_were_refused_stand_alone():
    refused = row("freeze_time_predicted", at="plateau, Plank", basis="not measured")
    plateau = row("plateau_time", 8.0, 7.9, 8.1)
    assert beside_measured([plateau, refused]) == []
    assert beside_measured([row("plateau_time", 8.0, 7.9, 8.1, run="b"), PLANK]) == []


def test_in_words():
    (one,) = beside_measured([row("plateau_time", 8.9, 8.8, 9.0), PLANK])
    assert one.words == "plateau measured 8.9 h, Plank 6.0–11.0 h: agree"
