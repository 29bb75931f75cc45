"""Charge, battery and panel that each cooler asks for at the footing."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from coldbench import draws
from coldbench.compare.supply import energy_at_cooler, supply
from coldbench.findings import Finding
from coldbench.logs.record import Trace
from coldbench.quantities import parse, parse_error_limit
from coldbench.sheets.campaign import SupplySheet

FULL = {"volts": "12 V", "days": 2.0, "depth_of_discharge": "80 %", "battery_efficiency": "95 %",
        "sun_hours": "5 h", "performance_ratio": "70 %"}


def result(supply=FULL, technology="compressor", volts=None, runs=()):
    sheet = None if supply is None else SupplySheet.model_validate(supply)
    sheet = SimpleNamespace(supply=sheet)
    cooler = SimpleNamespace(technology=technology, supply=volts and parse(volts, "voltage"))
    campaign = SimpleNamespace(sheet=sheet, coolers={"chest": cooler},
                               runs={run.record.run: SimpleNamespace(ambient=None) for run in runs})
    return SimpleNamespace(campaign=campaign, of=lambda cooler: list(runs))


@pytest.fixture
def daily(made):
    def of(value=300.0, at="dc", limit=15.0, **more):
        return made.finding("chest", value, probe="meter", limit=limit,
                            name="daily_energy_footing", unit="Wh/d", at=at, **more)
    return of


def by_name(*arguments):
    return {row.finding: row for row in supply(*arguments)}


# Common practice, no source: 300 Wh a day for 2 days, 80 % depth, 95 % efficiency: 790 Wh, to the
# nearest ten; 86 W at 5 h of sun and 143 W at 3 h, performance ratio 70 %.
@pytest.mark.parametrize(("sun", "watts"), [("5 h", 86), ("3 h", 143)])
def test_the_trades_arithmetic_of_battery_and_panel(daily, sun, watts):
    rows = by_name(result({**FULL, "sun_hours": sun}), [daily()])
    assert rows["battery_needed"].value == pytest.approx(790, abs=5)
    assert rows["panel_needed"].value == pytest.approx(watts, abs=0.5)
    assert rows["daily_charge"].value == pytest.approx(25.0)
    assert [rows[n].unit for n in rows] == ["Ah/d", "Wh", "W"]
    assert "2 d to bridge, 80 % depth, 95 % efficiency" in rows["battery_needed"].note


def test_lead_acid_arithmetic_without_losses(daily):
    """A public sizing tutorial: 50 W for 6 h, 3 days, half the battery used: 1800 Wh."""
    sheet = {**FULL, "days": 3.0, "depth_of_discharge": "50 %", "battery_efficiency": "100 %"}
    assert by_name(result(sheet), [daily()])["battery_needed"].value == pytest.approx(1800)


def test_peak_sun_hours_arithmetic(daily):
    """400 Wh a day, 4.5 h, 75 %: 118.5 W (procedure from memory, own numbers)."""
    sheet = {**FULL, "sun_hours": "4.5 h", "performance_ratio": "75 %"}
    row = by_name(result(sheet), [daily(400.0)])["panel_needed"]
    assert row.value == pytest.approx(118.5, abs=0.1)


def test_intervals_are_those_of_the_energy_and_of_stated_limits(daily):
    energy = daily()
    row = by_name(result(), [energy])["battery_needed"]
    assert row.low / row.value == pytest.approx(energy.low / energy.value)
    assert row.high / row.value == pytest.approx(energy.high / energy.value)
    wide = by_name(result({**FULL, "depth_of_discharge": "80 % ± 10 %"}), [energy])
    assert wide["battery_needed"].high > 1.05 * row.high
    assert wide["panel_needed"].high == by_name(result(), [energy])["panel_needed"].high


def test_without_a_stated_error_there_is_no_interval(daily):
    row = by_name(result(), [daily(limit=None)])["panel_needed"]
    assert (row.low, row.high) == (None, None) and "error not stated" in row.note


def test_metered_at_the_wall_is_a_bound_from_above(daily):
    energy = daily(at="wall")
    row = by_name(result(), [energy])["battery_needed"]
    assert (row.basis, row.value, row.low, row.at) == ("bounded", None, None, "dc")
    assert row.high == pytest.approx(energy.high * 2 / 0.76)
    assert "adapter loss unknown" in row.note
    both = energy_at_cooler([energy, daily(280.0)], "chest")
    assert (both.at, both.value) == ("dc", 280.0)
    assert energy_at_cooler([daily(at="battery")], "chest").at == "battery"


@pytest.mark.parametrize("at", ["dc", "wall"])
def test_a_cooler_that_cannot_hold_the_footing_gets_no_battery(at):
    note = "cannot hold 4 °C at 25 °C; coldest 9.1 °C"
    warm = Finding(cooler="chest", finding="daily_energy_footing", at=at, unit="Wh/d",
                   basis="not reached", note=note)
    for row in supply(result(), [warm]):
        assert (row.basis, row.value, row.high, row.note) == ("not reached", None, None, note)


def test_bounds_of_the_energy_stay_bounds():
    energy = Finding(cooler="chest", finding="daily_energy_footing", at="dc", unit="Wh/d",
                     basis="bounded", low=200.0, high=500.0)
    row = by_name(result(), [energy])["panel_needed"]
    assert row.basis == "bounded" and row.value is None
    assert (row.low, row.high) == pytest.approx((200 / 3.5, 500 / 3.5))


def test_what_is_missing_is_named(daily):
    assert supply(result(None), [daily()]) == []
    rows = by_name(result({"days": 2.0, "sun_hours": "5 h"}), [daily()])
    assert rows["battery_needed"].note == (
        "needs depth_of_discharge and battery_efficiency in [supply]")
    assert rows["panel_needed"].note == "needs performance_ratio in [supply]"
    assert rows["daily_charge"].note.startswith("needs volts in [supply]")
    assert {row.basis for row in rows.values()} == {"not measured"}
    assert by_name(result({}, volts="24 V"), [daily()])["daily_charge"].value == 12.5
    absent = Finding(cooler="chest", finding="daily_energy_footing", basis="not measured",
                     note="needs a steady run")
    assert by_name(result(), [absent])["battery_needed"].note == "needs a steady run"


def test_no_sun_asks_for_no_panel_that_could_be_named(daily):
    row = by_name(result({**FULL, "sun_hours": "0 h"}), [daily()])["panel_needed"]
    assert (row.basis, row.note) == ("not measured", "needs sun_hours in [supply]")


def test_a_passive_box_draws_nothing():
    rows = supply(result(technology="passive"), [])
    assert {row.basis for row in rows} == {"not applicable"} and len(rows) == 3


def test_logged_volts_of_the_window_serve_before_nominal_ones(daily):
    t = np.arange(0.0, 86_400, 60.0)
    trace = Trace(role="voltage", t=t, y=np.where(t < 43_200, 12.4, 13.2), gap=180.0, step=60.0,
                  probe="volt meter", error=parse_error_limit("0.1 V", "voltage"))
    record = SimpleNamespace(run="r", cooler="chest",
                             trace=lambda role: trace if role == "voltage" else None)
    window = SimpleNamespace(passed=True, t0=t[0], t1=t[-1], mean=lambda tr: float(tr.y.mean()))
    run = SimpleNamespace(record=record, steady=window)
    energy = daily(runs=("r",))
    row = by_name(result(runs=[run]), [energy])["daily_charge"]
    assert row.value == pytest.approx(300 / 12.8)
    assert "at 12.8 V, mean of the window" in row.note
    volts = 12.8 - draws.uniform("volt meter offset", 0.1)
    low, high = draws.interval(energy.draws / volts)
    assert (row.low, row.high) == pytest.approx((low, high), rel=2e-3)
    other = by_name(result(runs=[run]), [daily(runs=("s",))])["daily_charge"]
    assert "nominal" in other.note
