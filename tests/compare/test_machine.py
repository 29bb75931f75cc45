"""Capacity, COP and Carnot of simulated coolers against what their machines truly did."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from coldbench.analysis.doubt import offset
from coldbench.analysis.limits import LIMITS
from coldbench.bench import Thermoelectric, Thermostat
from coldbench.compare.machine import machine, quotient
from coldbench.findings import Finding, find, measured

sys.path.insert(0, str(Path(__file__).parent))
import machine_bench as bench

AUXILIARY = 3.2  # fans and controller of the bench's thermoelectric unit [W]
BOXES = {"chest": bench.CHEST, "small": bench.SMALL, "switched": bench.SMALL}


@pytest.fixture(scope="module")
def runs(tmp_path_factory):
    """A compressor on its thermostat, a thermoelectric box that runs on, and one that switches."""
    switched = bench.campaign(
        "switched", bench.SMALL, Thermoelectric(), kind=("steady",), hours=34.0, load=3,
        setting="14 °C", thermostat=Thermostat(15.2, 12.8, lag=200.0))
    small = bench.peltier(cooler={"auxiliary": f"{AUXILIARY} W"})
    folder = tmp_path_factory.mktemp("machine")
    return {made.id: SimpleNamespace(sim=sim, result=result, truth=bench.truth_of(sim, result))
            for made in (bench.compressor(), small, switched)
            for sim, result in [bench.on_bench(folder, made)]}


def changed(result, *, record=None, cooler=None, run=None, **of_result):
    """The same campaign with a sheet, a record or a result changed."""
    campaign, old = result.campaign, result.results["main"]
    sheets = campaign.coolers["cooler"].model_copy(update=cooler or {})
    run_sheet = campaign.runs["main"].model_copy(update=run or {})
    campaign = replace(campaign, coolers={"cooler": sheets}, runs={"main": run_sheet})
    new = replace(old, record=record or old.record, **of_result)
    return replace(result, campaign=campaign, results={"main": new})


def without(record, *roles):
    """A record less some of its traces."""
    return replace(record, traces={r: t for r, t in record.traces.items() if r not in roles})


def one(rows, name):
    """The only row of a name."""
    (row,) = find(rows, finding=name)
    return row


@pytest.mark.parametrize("name", ["chest", "small", "switched"])
def test_first_law_closes_on_the_bench(runs, name):
    rows = machine(runs[name].result, [bench.leak_row(BOXES[name])])
    truth = runs[name].truth
    expected = {"cooling_capacity": truth["taken"], "cop": truth["taken"] / truth["power"],
                "running_capacity": truth["taken"] / truth["duty"]}
    for finding, value in expected.items():
        row = one(rows, finding)
        # Of the 2 % that one probe for all of the air is allowed.
        assert row.value == pytest.approx(value, rel=0.02), finding
        assert row.low <= value <= row.high
        assert row.basis == "measured"
    assert one(rows, "cop").at.startswith("dc ")


def test_fraction_of_the_ideal_is_told_in_kelvin(runs):
    rows = machine(runs["chest"].result, [bench.leak_row(bench.CHEST)])
    ideal, at = one(rows, "carnot_cop"), one(rows, "cooling_capacity").conditions
    assert ideal.value == pytest.approx(
        (at["inside"] + 273.15) / (at["ambient"] - at["inside"]), rel=1e-9)
    fraction = one(rows, "carnot_fraction")
    assert fraction.value == pytest.approx(one(rows, "cop").value / ideal.value, rel=1e-9)
    assert fraction.at == one(rows, "cop").at


def test_storage_still_going_on_is_counted(runs):
    """The continuous box still cools its load: the leak alone would be several percent low."""
    row = one(machine(runs["small"].result, [bench.leak_row(bench.SMALL)]), "cooling_capacity")
    leak = bench.leak_at(bench.SMALL, row.conditions["wall"])
    through = leak * (row.conditions["ambient"] - row.conditions["inside"])
    assert through < 0.97 * runs["small"].truth["taken"] < row.high


def test_no_cop_without_a_heat_leak(runs):
    rows = machine(runs["chest"].result, [])
    assert {row.basis for row in rows} == {"not measured"}
    assert one(rows, "cop").note == "needs a heat leak: a heater, warm-up or ice-melt run"
    assert all(row.value is None and row.low is None for row in rows)


def test_a_leak_through_the_modules_never_feeds_a_thermoelectric_cop(runs):
    """Power off, heat comes back through the modules: that leak overstates the COP 1.8 times."""
    off = bench.leak_row(bench.SMALL, at="off heater")
    off = replace(off, **measured(off.draws * 1.8, off.value * 1.8))
    rows = machine(runs["small"].result, [off])
    assert {row.basis for row in rows} == {"not measured"}
    assert "walls alone" in one(rows, "cop").note
    assert "module out" in one(rows, "cop").note
    both = machine(runs["small"].result, [off, bench.leak_row(bench.SMALL)])
    truth = runs["small"].truth
    assert one(both, "cop").value == pytest.approx(truth["taken"] / truth["power"], rel=0.02)


def test_modelled_walls_make_a_modelled_capacity(runs):
    leak = bench.leak_row(bench.SMALL, at="walls modelled", limit=0.3, basis="modelled")
    rows = machine(runs["small"].result, [leak])
    assert {one(rows, n).basis for n in ("cooling_capacity", "cop", "carnot_fraction")} == {
        "modelled"}
    assert one(rows, "carnot_cop").basis == "measured"  # by two temperatures only


def test_offsets_add_with_a_heater_and_cancel_with_a_warm_up(tmp_path):
    """The same probes, 0.3 K off: in and out of a warm box, or of a cold one like the run's."""
    _, result = bench.on_bench(tmp_path, bench.peltier(error="0.3 K"))
    record = result.results["main"].record
    apart = offset(record.trace("ambient")) - offset(record.trace("air"))
    leak = bench.leak_row(bench.SMALL)
    # The run lies 22 K below ambient: true difference = read difference − apart.
    heater = leak.value * 22 / (22 + apart)  # the box is 22 K above: apart has the other sign
    warm_up = leak.value * 22 / (22 - apart)
    halves = {}
    for way, true in (("heater", heater), ("warm-up", warm_up)):
        row = replace(leak, at=f"walls {way}", **measured(true, leak.value))
        of_cop = one(machine(result, [row]), "cop")
        halves[way] = (of_cop.high - of_cop.low) / 2 / of_cop.value
    alone = np.ptp(np.quantile(apart / 22, [0.025, 0.975])) / 2
    assert halves["heater"] == pytest.approx(2 * alone, rel=0.2)
    assert halves["warm-up"] < 1.4 * LIMITS.model_capacity < 0.7 * halves["heater"]


def test_unstated_error_gives_a_value_without_interval(runs):
    rows = machine(runs["chest"].result, [bench.leak_row(bench.CHEST, limit=None)])
    cop = one(rows, "cop")
    assert cop.value is not None and cop.low is None and cop.draws is None
    assert "error not stated" in cop.note
    assert one(rows, "carnot_cop").low is not None  # the leak is not in it


def test_a_short_window_does_not_widen_a_cop(runs):
    """The ambient of the rest of the day is open for heat and power alike."""
    result = runs["small"].result
    moved = replace(result.results["main"].steady, ambient_move=3.0)
    rows = machine(changed(result, steady=moved), [bench.leak_row(bench.SMALL)])
    plain = machine(result, [bench.leak_row(bench.SMALL)])
    assert one(rows, "cop").high == pytest.approx(one(plain, "cop").high, rel=1e-6)


def test_bounds_of_power_give_bounds_of_cop(runs):
    result = runs["chest"].result
    found = tuple(
        replace(f, basis="bounded", value=None, draws=None, low=8.0, high=12.0)
        if f.finding == "mean_power" else f for f in result.results["main"].findings)
    rows = machine(changed(result, findings=found), [bench.leak_row(bench.CHEST)])
    cop, capacity = one(rows, "cop"), one(rows, "cooling_capacity")
    assert (cop.basis, cop.value) == ("bounded", None)
    assert cop.low == pytest.approx(capacity.low / 12)
    assert cop.high == pytest.approx(capacity.high / 8)
    assert one(rows, "carnot_fraction").basis == "bounded"


def test_a_long_silence_gives_bounds_only(runs):
    result = runs["small"].result
    record, window = result.results["main"].record, result.results["main"].steady
    air = record.trace("air")
    middle = (air.t > window.t0 + 3 * 3600) & (air.t < window.t1 - 3 * 3600)
    silent = replace(record, traces=record.traces | {"air": air.part(~middle)})
    row = one(machine(changed(result, record=silent), [bench.leak_row(bench.SMALL)]),
              "cooling_capacity")
    assert (row.basis, row.value) == ("bounded", None)
    assert row.low <= runs["small"].truth["taken"] <= row.high
    assert "bounds only" in row.note


@pytest.mark.parametrize(("change", "needs"), [
    ({"cut": ("air",)}, "needs the inside air"),
    ({"cut": ("ambient",)}, "needs the ambient"),
    ({"run": {"ice": SimpleNamespace(mass=None)}}, "needs a run without ice"),
    ({"run": {"heater": "some"}}, "needs a run without a heater"),
    ({"cooler": {"inside": None}}, "needs the box's volume"),
])  # fmt: skip
def test_what_is_missing_is_named(runs, change, needs):
    result, change = runs["chest"].result, dict(change)
    record = without(result.results["main"].record, *change.pop("cut", ()))
    rows = machine(changed(result, record=record, **change), [bench.leak_row(bench.CHEST)])
    assert {row.basis for row in rows} == {"not measured"}
    assert all(row.note.startswith(needs) for row in rows)


def test_a_load_that_may_be_freezing_gives_no_capacity(runs):
    result = runs["chest"].result
    record = result.results["main"].record
    load = record.trace("load")
    frozen = replace(load, y=0.1 + 0 * load.y)
    record = replace(record, traces=record.traces | {"load": frozen})
    row = one(machine(changed(result, record=record), [bench.leak_row(bench.CHEST)]), "cop")
    assert row.basis == "not measured" and "freezing plateau" in row.note


def test_a_load_that_was_not_logged_widens_a_short_window(runs):
    result = runs["small"].result
    record = without(result.results["main"].record, "load")
    row = one(machine(changed(result, record=record), [bench.leak_row(bench.SMALL)]),
              "cooling_capacity")
    assert "taken to follow the air" in row.note
    assert row.low <= runs["small"].truth["taken"] <= row.high
    assert (row.high - row.low) / 2 / row.value > 0.08


def test_power_not_logged_leaves_capacity_but_no_cop(runs):
    result = runs["small"].result
    kept = tuple(f for f in result.results["main"].findings
                 if f.finding not in ("mean_power", "duty"))
    rows = machine(changed(result, findings=kept), [bench.leak_row(bench.SMALL)])
    assert one(rows, "cooling_capacity").value is not None
    assert one(rows, "cop").note.startswith("needs power")
    assert one(rows, "running_capacity").note.startswith("needs power")
    assert one(rows, "carnot_fraction").basis == "not measured"


def test_two_loads_structure_heat_serves_before_the_modelled(runs):
    structure = Finding(cooler="cooler", finding="structure_heat", unit="kJ/K", runs=("one", "two"),
                        **measured(np.full(4000, 6.0), 6.0))
    rows = machine(runs["small"].result, [bench.leak_row(bench.SMALL), structure])
    assert "structure heat of one and two" in one(rows, "cooling_capacity").note


def test_a_passive_box_has_no_machine(runs):
    passive = changed(runs["chest"].result, cooler={"technology": "passive"})
    assert machine(passive, [bench.leak_row(bench.CHEST)]) == []


def test_a_run_that_is_not_steady_has_no_row(runs):
    result = runs["chest"].result
    window = replace(result.results["main"].steady, passed=False)
    assert machine(changed(result, steady=window), [bench.leak_row(bench.CHEST)]) == []


def test_hot_side_resistance_is_the_benchs(runs):
    row = one(machine(runs["small"].result, [bench.leak_row(bench.SMALL)]), "hot_side_resistance")
    assert row.low <= Thermoelectric().hot_resistance <= row.high
    assert row.value == pytest.approx(Thermoelectric().hot_resistance, rel=0.01)
    assert "not the air at the intake" in row.note


def test_auxiliary_not_stated_bounds_the_hot_side(runs):
    unknown = changed(runs["small"].result, cooler={"auxiliary": None})
    row = one(machine(unknown, [bench.leak_row(bench.SMALL)]), "hot_side_resistance")
    assert (row.basis, row.value) == ("bounded", None)
    assert row.low <= Thermoelectric().hot_resistance <= row.high


def test_hot_side_that_switches_or_is_metered_at_the_wall_is_not_told(runs):
    rows = machine(runs["switched"].result, [bench.leak_row(bench.SMALL)])
    assert "without a break" in one(rows, "hot_side_resistance").note
    result = runs["small"].result
    found = tuple(replace(f, at="wall coldest") if f.finding == "mean_power" else f
                  for f in result.results["main"].findings)
    rows = machine(changed(result, findings=found), [bench.leak_row(bench.SMALL)])
    assert "adapter" in one(rows, "hot_side_resistance").note


def test_a_quotient_keeps_what_both_share():
    shared = 1 + 0.1 * np.linspace(-1, 1, 4000)
    rows = [Finding(cooler="a", finding=n, **measured(v * shared, v))
            for n, v in (("cooling_capacity", 30.0), ("mean_power", 20.0))]
    row = quotient(Finding(cooler="a", finding="cop"), *rows)
    assert (row.low, row.high) == pytest.approx((1.5, 1.5))
