"""What coolers cost a year and over the years, worked by hand."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from coldbench.compare.differences import compare
from coldbench.compare.money import money
from coldbench.compare.payback import paybacks
from coldbench.findings import Finding, find
from coldbench.sheets.campaign import FootingSheet, MoneySheet, UseSheet

MONEY = {"currency": "EUR", "tariff": "0.40 EUR/kWh", "years": 8, "discount_rate": "3 %",
         "ice_price": "0.5 EUR/kg"}
MARKET = {"days_per_year": 50, "hours_per_day": "8 h", "start": "warm"}
ALL_YEAR = {"days_per_year": 365, "hours_per_day": "24 h", "start": "cold"}
STEADY = {"conditions": {"ambient": 25.0, "inside": 4.0}}


def campaign(use=None, money=MONEY, footing=True, **technologies):
    technologies = technologies or {"chest": "compressor", "small": "thermoelectric"}
    sheet = SimpleNamespace(
        money=MoneySheet.model_validate(money) if money else None,
        use=UseSheet.model_validate(use) if use else None,
        footing=FootingSheet.model_validate({"ambient": "25 °C", "inside": "4 °C"})
        if footing else None)
    coolers = {c: SimpleNamespace(technology=t) for c, t in technologies.items()}
    return SimpleNamespace(sheet=sheet, coolers=coolers)


@pytest.fixture
def row(made):
    """A finding of a cooler, 1 % off at most by its own meter unless said."""
    units = {"daily_energy_footing": "Wh/d", "pull_down_energy": "Wh", "pull_down_time": "h",
             "price": "EUR", "ice_needed": "kg/d", "load_heat": "Wh", "battery_needed": "Wh",
             "panel_needed": "W"}
    points = {"daily_energy_footing": "dc", "pull_down_energy": "load<=4 °C dc",
              "pull_down_time": "load<=4 °C", "load_heat": "load<=4 °C",
              "battery_needed": "dc", "panel_needed": "dc"}

    def of(cooler, name, value, at=None, limit=0.01, probe=None, **more):
        return made.finding(cooler, value, probe=probe or f"{cooler} meter",
                            limit=None if limit is None else limit * (value or 0.0), name=name,
                            unit=units[name], at=points.get(name, "") if at is None else at, **more)
    return of


def costs(campaign, rows, name="running_cost"):
    return {f.cooler: f for f in find(money(campaign, rows), finding=name)}


def test_fifty_watts_apart_are_1_2_kwh_a_day(row):
    """20 W and 70 W on average differ by 1.2 kWh a day; common practice, no source.

    By hand: 1.2 kWh × 365 d × 0.40 EUR/kWh = 175.20 EUR a year.
    """
    rows = [row("chest", "daily_energy_footing", 20.0 * 24, limit=0.0),
            row("small", "daily_energy_footing", 70.0 * 24, limit=0.0)]
    found = costs(campaign(ALL_YEAR), rows)
    apart = found["small"].value - found["chest"].value
    assert apart == pytest.approx(1.2 * 365 * 0.40) == pytest.approx(175.20)
    assert found["chest"].unit == "EUR/yr" and found["chest"].at == "dc"
    # 20.8 W are 0.499 kWh a day, by definition.
    daily = costs(campaign(ALL_YEAR), [row("chest", "daily_energy_footing", 20.8 * 24)])["chest"]
    assert daily.value / 365 / 0.40 == pytest.approx(0.499, abs=0.001)


def test_a_market_day_from_warm_by_hand(row):
    """100 Wh to cool in 2 h, then 10 W for 6 h: 160 Wh; 50 days are 8 kWh, or 3.20 EUR."""
    rows = [row("chest", "daily_energy_footing", 240.0), row("chest", "pull_down_energy", 100.0),
            row("chest", "pull_down_time", 2.0)]
    found = costs(campaign(MARKET, chest="compressor"), rows)["chest"]
    assert found.value == pytest.approx(3.20)
    assert found.low < 3.20 < found.high and found.high - found.low < 0.02 * 3.20
    assert "50 d of 8 h" in found.note and "cools the load" in found.note
    cold = costs(campaign({**MARKET, "start": "cold"}, chest="compressor"), rows)["chest"]
    assert cold.value == pytest.approx(50 * 0.080 * 0.40)  # 10 W for 8 h


def test_without_use_it_runs_all_year_and_that_is_said(row):
    found = costs(campaign(None, chest="compressor"), [row("chest", "daily_energy_footing", 240.0)])
    assert found["chest"].value == pytest.approx(365 * 0.240 * 0.40)
    assert "all year (no [use] stated)" in found["chest"].note
    some = costs(campaign({"days_per_year": 10}, chest="compressor"),
                 [row("chest", "daily_energy_footing", 240.0)])["chest"]
    assert some.value == pytest.approx(10 * 0.240 * 0.40)
    assert "hours_per_day, start not stated" in some.note


def test_all_pull_downs_are_of_the_air_where_one_load_did_not_get_there(row):
    rows = [row("chest", "daily_energy_footing", 240.0), row("chest", "pull_down_energy", 100.0),
            row("chest", "pull_down_time", 2.0),
            row("chest", "pull_down_energy", 30.0, at="air<=4 °C dc"),
            row("chest", "pull_down_time", 1.0, at="air<=4 °C"),
            row("small", "daily_energy_footing", 480.0),
            row("small", "pull_down_energy", None, basis="not reached"),
            row("small", "pull_down_energy", 50.0, at="air<=4 °C dc"),
            row("small", "pull_down_time", 2.0, at="air<=4 °C")]
    found = costs(campaign(MARKET), rows)
    assert found["chest"].value == pytest.approx(50 * 0.40 * (30 + 10 * 7) / 1000)
    assert found["small"].value == pytest.approx(50 * 0.40 * (50 + 20 * 6) / 1000)
    assert all("cools the air" in f.note for f in found.values())


def test_a_day_too_short_for_the_pull_down_gives_bounds(row):
    rows = [row("chest", "daily_energy_footing", 240.0), row("chest", "pull_down_energy", 200.0),
            row("chest", "pull_down_time", 16.0)]
    found = costs(campaign(MARKET, chest="compressor"), rows)["chest"]
    assert (found.basis, found.value) == ("bounded", None)
    all_of_it = 50 * 0.200 * 0.40
    assert found.high == pytest.approx(all_of_it, rel=0.011)
    assert found.low == pytest.approx(all_of_it / 2, rel=0.021)
    assert "not surely cold within 8 h" in found.note


def test_what_cannot_hold_the_footing_costs_nothing_that_counts(row):
    note = "cannot hold 4 °C at 25 °C; coldest 7.4 °C"
    rows = [row("chest", "daily_energy_footing", 240.0), row("chest", "price", 200.0),
            row("small", "daily_energy_footing", None, basis="not reached", note=note),
            row("small", "price", 60.0)]
    found = money(campaign(ALL_YEAR), rows)
    for name in ("running_cost", "life_cost"):
        small, chest = (find(found, cooler=c, finding=name)[0] for c in ("small", "chest"))
        assert (small.basis, small.value, small.high, small.note) == ("not reached", None, None,
                                                                      note)
        assert small.at == chest.at
        assert compare(chest, small, None, {}).verdict == "not comparable"
    assert paybacks([*rows, *found]) == []
    rows += [row("small", name, None, basis="not reached", note=note)
             for name in ("battery_needed", "panel_needed")]
    rows += [row("chest", "battery_needed", 400.0), row("chest", "panel_needed", 100.0)]
    stored = {**MONEY, "battery_price": "0.5 EUR/Wh", "panel_price": "1 EUR/W"}
    found = find(money(campaign(ALL_YEAR, stored), rows), finding="life_cost")
    cases = {c: [f.at for f in found if f.cooler == c] for c in ("chest", "small")}
    assert cases["chest"] == cases["small"] and len(cases["small"]) == 3


def test_silent_without_money_and_clear_about_what_lacks(row):
    energy = row("chest", "daily_energy_footing", 240.0)
    one = {"chest": "compressor"}
    assert money(campaign(money=None, **one), [energy]) == []
    bare = costs(campaign(money={"currency": "EUR"}, **one), [energy])["chest"]
    assert (bare.basis, bare.note) == ("not measured", "needs tariff in [money]")
    assert "[footing]" in costs(campaign(footing=False, **one), [])["chest"].note
    assert "pull-down to 4 °C" in costs(campaign(MARKET, **one), [energy])["chest"].note
    life = costs(campaign(ALL_YEAR, **one), [energy], "life_cost")["chest"]
    assert (life.basis, life.note) == ("not measured", "needs a price in the cooler sheet")
    ageless = campaign(ALL_YEAR, {**MONEY, "years": 0} | {"discount_rate": "0 %"}, **one)
    assert costs(ageless, [energy, row("chest", "price", 200.0)], "life_cost")[
        "chest"].value == pytest.approx(200.0)
    unaged = campaign(ALL_YEAR, {"currency": "EUR", "tariff": "0.40 EUR/kWh"}, **one)
    life = costs(unaged, [energy, row("chest", "price", 200.0)], "life_cost")["chest"]
    assert life.note == "needs years in [money]"
    iceless = campaign(money={"currency": "EUR"}, box="passive")
    assert costs(iceless, [row("box", "ice_needed", 2.0)])["box"].note == (
        "needs ice_price in [money]")


def test_ice_of_a_passive_box_by_hand(row):
    """2.4 kg/d for 8 h: 0.8 kg; 35.025 Wh of load at 0.0973 kWh/kg: 0.36 kg; 50 d, 0.5 EUR/kg."""
    heat = 0.36 * (333.5e3 + 4186 * 4) / 3600
    rows = [row("box", "ice_needed", 2.4), row("box", "load_heat", heat, conditions={"load": 1.5})]
    found = costs(campaign(MARKET, box="passive"), rows)["box"]
    assert found.value == pytest.approx(50 * 0.5 * (0.8 + 0.36)) == pytest.approx(29.0)
    assert found.at == "ice" and "1.50 kg" in found.note
    bare = costs(campaign(MARKET, box="passive"), rows[:1])["box"]
    assert bare.value == pytest.approx(20.0) and "not counted" in bare.note


def test_life_cost_on_the_mains_and_from_a_battery(row):
    """8 years at 3 %: 7.0197 times a year's cost (NIST Handbook 135, from memory: 7.02)."""
    priced = {**MONEY, "battery_price": "0.5 EUR/Wh", "panel_price": "1 EUR/W"}
    rows = [row("chest", "daily_energy_footing", 1000.0, limit=0.0),
            row("chest", "price", 200.0, limit=0.0),
            row("chest", "battery_needed", 400.0, limit=0.0),
            row("chest", "panel_needed", 100.0, limit=0.0)]
    found = {f.at: f for f in find(money(campaign(ALL_YEAR, priced, chest="compressor"), rows),
                                   finding="life_cost")}
    yearly = 365 * 0.40
    assert found["dc mains"].value == pytest.approx(200 + 7.0197 * yearly, abs=0.01)
    assert found["dc battery"].value == pytest.approx(400 + 7.0197 * yearly, abs=0.01)
    assert found["dc battery and panel"].value == pytest.approx(200 + 200 + 100)
    unpriced = find(money(campaign(ALL_YEAR, chest="compressor"), rows), finding="supply_cost")
    assert [f.note for f in unpriced] == ["needs battery_price in [money]"]


def test_a_battery_bought_anew_and_a_resale_by_hand(row):
    """Without discounting: 200 anew in years 3 and 6 of 8; 20 % of 200 back."""
    later = {**MONEY, "discount_rate": "0 %", "battery_price": "0.5 EUR/Wh", "battery_years": 3,
             "resale": "20 %"}
    rows = [row("chest", "daily_energy_footing", 1000.0), row("chest", "price", 200.0, limit=0.0),
            row("chest", "battery_needed", 400.0)]
    found = {f.at: f for f in find(money(campaign(ALL_YEAR, later, chest="compressor"), rows),
                                   finding="life_cost")}
    yearly = 365 * 0.40
    assert found["dc mains"].value == pytest.approx(200 + 8 * yearly - 40)
    assert found["dc battery"].value == pytest.approx(200 + 3 * 200 + 8 * yearly - 40)
    assert "battery anew every 3 yr" in found["dc battery"].note


def test_bounds_stay_bounds(row):
    energy = Finding(cooler="chest", finding="daily_energy_footing", at="dc", unit="Wh/d",
                     basis="bounded", low=200.0, high=300.0)
    rows = [energy, row("chest", "price", 200.0)]
    found = money(campaign(ALL_YEAR, chest="compressor"), rows)
    cost, life = (find(found, finding=name)[0] for name in ("running_cost", "life_cost"))
    assert (cost.basis, cost.value) == ("bounded", None)
    assert (cost.low, cost.high) == pytest.approx((365 * 0.2 * 0.4, 365 * 0.3 * 0.4))
    assert life.low < life.high and life.value is None


def test_an_error_not_stated_leaves_a_value_alone(row):
    rows = [row("chest", "daily_energy_footing", 240.0, limit=None), row("chest", "price", 200.0)]
    for found in money(campaign(ALL_YEAR, chest="compressor"), rows):
        assert found.value is not None and (found.low, found.draws) == (None, None)
        assert "error not stated" in found.note
