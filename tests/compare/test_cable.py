"""Volts that a cable leaves, and what an adapter takes."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from coldbench.compare.adapter import adapter_loss
from coldbench.compare.cable import cable
from coldbench.findings import Finding
from coldbench.physics.electric import conductor_resistance, copper_resistance, volts_at_load
from coldbench.quantities import parse
from coldbench.sheets.campaign import SupplySheet

SUPPLY = {"volts": "12 V", "cable_length": "6 m", "cable_area": "2.5 mm²"}


def campaign(supply=SUPPLY, technology="compressor", volts=None, **protocols):
    sheet = SimpleNamespace(supply=SupplySheet.model_validate(supply) if supply else None)
    cooler = SimpleNamespace(technology=technology, supply=volts and parse(volts, "voltage"))
    runs = {run: SimpleNamespace(protocol=name) for run, name in protocols.items()}
    return SimpleNamespace(sheet=sheet, coolers={"chest": cooler}, runs=runs)


@pytest.fixture
def watts(made):
    def of(value, name="running_power", at="dc coldest", **more):
        return made.finding("chest", value, probe=f"{at} meter", limit=0.5, name=name, unit="W",
                            at=at, **more)
    return of


def test_the_drop_lies_between_full_copper_and_the_standards_limit(watts):
    row, start = cable(campaign(), [watts(60.0)])
    best = 100 * (1 - volts_at_load(12.0, 60.0, 12 * copper_resistance(2.5, 10.0)) / 12)
    worst = 100 * (1 - volts_at_load(12.0, 60.0, 12 * conductor_resistance(2.5, 5, 50.0)) / 12)
    assert best < row.low < row.value < row.high < worst
    assert (row.at, row.unit, row.basis) == ("running", "%", "modelled")
    assert "2 × 6 m of 2.5 mm²" in row.note and "cut-out was not measured" in row.note
    assert start.basis == "not measured" and "each second" in start.note


def test_a_longer_cable_takes_more_and_a_thicker_one_less(watts):
    plain, longer, thicker = (
        cable(campaign({**SUPPLY, **change}), [watts(60.0)])[0].value
        for change in ({}, {"cable_length": "12 m"}, {"cable_area": "6 mm²"}))
    assert longer > 2 * plain and thicker < plain / 2


def test_the_start_is_a_bound_where_the_peak_was_only_bounded(watts):
    peak = Finding(cooler="chest", finding="peak_power", at="dc", unit="W", basis="bounded",
                   low=90.0)
    row, start = cable(campaign(), [watts(60.0), peak])
    assert (start.at, start.basis, start.value, start.high) == ("start", "bounded", None, None)
    assert start.low > row.value and "start peak not seen" in start.note
    seen = watts(90.0, "peak_power", "dc")
    start = cable(campaign(), [watts(60.0), seen])[1]
    assert start.value > row.value and "shorter start peaks" in start.note


@pytest.mark.parametrize(("cut_out", "words"), [
    ({"value": 10.4, "low": 10.3, "high": 10.5}, "0.9 V above its measured cut-out"),
    ({"value": 11.9, "low": 11.8, "high": 12.0}, "V below its measured cut-out: it would stop"),
    ({"value": 11.4, "low": 11.2, "high": 11.6}, "it may stop"),
    ({"high": 11.0, "basis": "bounded"}, "it still ran at 11.0 V"),
    ({"high": 11.9, "basis": "bounded"}, "below 11.9 V, the least at which it was seen to run"),
])
def test_volts_left_stand_against_the_cut_out(watts, cut_out, words):
    of = Finding(cooler="chest", finding="cut_out_volts", at="dc", unit="V", **cut_out)
    assert words in cable(campaign(), [watts(78.0), of])[0].note


def test_more_than_a_cable_can_carry(watts):
    thin = {**SUPPLY, "cable_area": "0.5 mm²", "cable_length": "20 m"}
    row = cable(campaign(thin), [watts(60.0)])[0]
    assert (row.basis, row.low, row.high) == ("bounded", 50.0, None)
    assert "cannot be drawn" in row.note


def test_what_is_missing_is_named(watts):
    assert cable(campaign(None), [watts(60.0)]) == []
    assert cable(campaign({"volts": "12 V"}), [watts(60.0)]) == []
    assert cable(campaign(technology="passive"), []) == []
    row, = cable(campaign({"cable_length": "6 m"}), [watts(60.0)])
    assert row.note == "needs cable_area and volts in [supply]"
    row, = cable(campaign(), [watts(60.0, at="wall coldest")])
    assert row.basis == "not measured" and "metered at the cooler (dc)" in row.note
    without = {key: value for key, value in SUPPLY.items() if key != "volts"}
    assert cable(campaign(without, volts="24 V"), [watts(60.0)])[0].note.startswith("23.")


def pair(watts, **wall):
    inside = {"inside": 4.0, "ambient": 25.0}
    return [watts(50.0, "mean_power", "wall coldest", run="w", conditions={**inside, **wall}),
            watts(44.0, "mean_power", "dc coldest", run="d", conditions=inside)]


def test_the_adapter_takes_the_difference(watts):
    row, = adapter_loss(campaign(), pair(watts))
    assert (row.value, row.unit, row.at) == (6.0, "W", "mean coldest")
    assert row.runs == ("w", "d") and "88 % of what the wall gives arrives" in row.note
    # Two runs, 3 % each, and two meters of 0.5 W.
    sd = (1.5**2 + 1.32**2 + 2 * 0.5**2 / 3) ** 0.5
    assert row.high - row.low == pytest.approx(2 * 1.96 * sd, rel=0.06)


def test_runs_that_are_not_alike_give_no_loss(watts):
    row, = adapter_loss(campaign(), pair(watts, inside=5.5))
    assert row.basis == "not measured" and "insides differ by 1.5 K" in row.note
    row, = adapter_loss(campaign(w="one", d="two"), pair(watts))
    assert row.basis == "not measured" and "different protocols" in row.note


def test_a_bound_or_one_run_alone_gives_no_loss(watts):
    wall, dc = pair(watts)
    assert adapter_loss(campaign(), [wall]) == adapter_loss(campaign(), [dc]) == []
    bound = Finding(cooler="chest", finding="mean_power", at="wall coldest", unit="W",
                    basis="bounded", low=40.0, conditions=dict(dc.conditions), runs=("w",))
    row, = adapter_loss(campaign(), [bound, dc])
    assert row.basis == "not measured" and "only bounded" in row.note
