"""Years by the hour: the smallest battery and panel, their band, and the months."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from coldbench import draws
from coldbench.compare import supply_place, supply_year
from coldbench.compare.heat_taken import Known
from coldbench.compare.states import State
from coldbench.compare.supply_place import Place, moved_load, needed_for_year, place_of
from coldbench.compare.supply_year import STATED, supply_years, year_of
from coldbench.findings import Finding
from coldbench.physics.weather_years import air_year, calendar, sky_years
from coldbench.sheets.campaign import FootingSheet, MoneySheet, SupplySheet

SUPPLY = {"latitude": "45°", "clearness": "45 %", "depth_of_discharge": "80 %",
          "battery_efficiency": "95 %", "performance_ratio": "70 %"}
FOOTING = {"ambient": "25 °C", "inside": "4 °C"}


def place(latitude=45.0, years=4, summer=22.0, winter=6.0):
    sky = sky_years(latitude, 0.45, years, np.random.default_rng(1), dull=0.25, persistence=0.3)
    air = air_year(latitude, summer, winter, 5.0)
    return Place(sky.sun, air, calendar(latitude).month, 0.8, 0.95, 0.7, 0.2, ())


def load_at(where, power=10.0):
    return moved_load(power, 1.0, 45.0, 1.5, 21.0, where.air - 4.0)


@pytest.fixture(scope="module")
def year():
    where, exact = place(), Finding(cooler="chest", finding="daily_energy_footing", value=240.0)
    return year_of(where, exact, load_at(where), (400.0, 90.0))


def test_the_pairs_hold_their_levels_and_no_more(year):
    assert [case.what for case in year.cases] == [STATED, "95 %", "99 %", "99.9 %"]
    where = place()
    for case, level in zip(year.cases[1:], (0.95, 0.99, 0.999), strict=True):
        assert case.share >= level - 2e-4
        less = where.run(load_at(where), np.array([0.95 * case.battery]),
                         np.array([0.95 * case.panel]))
        assert 1 - less.without.sum(axis=0).mean() / 8760 < level
    takes = [case.battery + 2.5 * case.panel for case in year.cases[1:]]
    assert takes == sorted(takes)
    stated = year.case(STATED)
    assert (stated.battery, stated.panel) == (400.0, 90.0) and year.shown is stated


def test_no_pair_that_was_tried_takes_less(year):
    takes = year.battery[:, None] + 2.5 * year.panel
    for case, level in zip(year.cases[1:], (0.95, 0.99, 0.999), strict=True):
        best = takes[year.share >= level].min()
        assert case.battery + 2.5 * case.panel <= best * 1.001


def test_twice_the_load_asks_for_twice_of_both(year):
    where = place()
    twice = year_of(where, year.energy, 2 * load_at(where), (800.0, 180.0))
    for one, two in zip(year.cases, twice.cases, strict=True):
        assert (two.battery, two.panel) == pytest.approx((2 * one.battery, 2 * one.panel))
        assert two.without == pytest.approx(one.without)


def test_the_band_is_at_least_that_of_the_energy(year, made):
    where = place()
    energy = made.finding("chest", 240.0, limit=24.0, name="daily_energy_footing")
    wide = year_of(where, energy, load_at(where))
    for case, narrow in zip(wide.cases, year.cases[1:], strict=True):
        assert case.battery == pytest.approx(narrow.battery)
        assert case.low < 0.92 and case.high > 1.08
        assert case.high - case.low > narrow.high - narrow.low > 0
        assert narrow.low <= 1 <= narrow.high


@pytest.mark.parametrize(("latitude", "dark"), [(50.0, 11), (-50.0, 5)])
def test_at_the_same_ambient_all_year_winter_is_the_worst(latitude, dark):
    where = place(latitude, summer=25.0, winter=25.0)
    load = load_at(where)
    energy = Finding(cooler="a", finding="daily_energy_footing", value=240.0)
    found = year_of(where, energy, load, (600.0, 100.0))
    assert int(found.sun.argmin()) == dark
    assert found.cases[0].worst in (dark, (dark + 1) % 12)
    assert np.ptp(found.demand) < 0.02 * found.demand.mean()
    assert found.cases[0].without.sum(axis=1).mean() / 8760 == pytest.approx(
        1 - found.cases[0].share)


def test_without_enough_sun_no_pair_is_named():
    where = replace(place(), sun=place().sun * (np.arange(8760) < 4000))
    energy = Finding(cooler="a", finding="daily_energy_footing", value=240.0)
    assert year_of(where, energy, load_at(where)).cases == ()


def campaign(supply=SUPPLY, footing=FOOTING, money=None):
    sheet = SimpleNamespace(
        money=money and MoneySheet.model_validate(money),
        supply=None if supply is None else SupplySheet.model_validate(supply),
        footing=None if footing is None else FootingSheet.model_validate(footing))
    return SimpleNamespace(sheet=sheet, coolers={"chest": None, "warm": None})


def test_what_the_years_need_is_named():
    assert needed_for_year(campaign({"latitude": "45°", "depth_of_discharge": "80 %"})) == [
        "clearness", "battery_efficiency", "performance_ratio"]
    assert len(needed_for_year(campaign(None))) == 5 and needed_for_year(campaign()) == []
    for lacking in (campaign(None), campaign({}), campaign(footing=None)):
        assert supply_years(SimpleNamespace(campaign=lacking), []) == []


def test_ambient_is_that_of_the_seasons_or_of_the_footing():
    flat = place_of(campaign())
    assert flat.air.mean() == pytest.approx(25.0) and flat.sun.shape == (20, 8760)
    assert "not both stated" in " ".join(flat.said)
    seasons = place_of(campaign({**SUPPLY, "ambient_summer": "20 °C", "ambient_winter": "2 °C"}))
    assert flat.monthly(seasons.air).max() == pytest.approx(20.0, abs=0.3)
    assert "20 °C in summer, 2 °C in winter" in " ".join(seasons.said)
    clear = place_of(campaign({**SUPPLY, "clearness": "95 %"}))
    assert "cannot be: all days clear" in " ".join(clear.said)


def test_prices_say_what_a_watt_of_panel_is_worth(year):
    prices = {"currency": "EUR", "battery_price": "0.4 EUR/Wh", "panel_price": "2 EUR/W"}
    assert place_of(campaign(money=prices)).worth == pytest.approx(5.0)
    assert place_of(campaign(money={**prices, "battery_price": "0 EUR/Wh"})).worth == 2.5
    where = replace(place(), worth=10.0)
    dear = year_of(where, year.energy, load_at(where))
    assert dear.case("99 %").panel < year.case("99 %").panel
    assert dear.case("99 %").battery > year.case("99 %").battery


def test_coolers_that_cannot_hold_the_footing_are_left_out(monkeypatch):
    def exact(value):
        return Known(value, np.full(draws.DRAWS, value))

    state = State(("r",), "dc", exact(4.0), exact(24.0), exact(9.0), exact(1.0), exact(0.2), None,
                  True, "")
    monkeypatch.setattr(supply_place, "states", lambda *_: [state])
    monkeypatch.setattr(supply_year, "place_of", lambda _: place())
    rows = [Finding(cooler="chest", finding="daily_energy_footing", at="dc", value=240.0),
            Finding(cooler="chest", finding="battery_needed", at="dc", value=632.0),
            Finding(cooler="chest", finding="panel_needed", at="dc", value=98.0),
            Finding(cooler="warm", finding="daily_energy_footing", at="dc", basis="not reached")]
    found, = supply_years(SimpleNamespace(campaign=campaign()), rows)
    assert found.cooler == "chest"
    assert (found.case(STATED).battery, found.case(STATED).panel) == (632.0, 98.0)
    # A month at 25 °C on average would draw the footing's 240 Wh a day; July is colder.
    assert 150 < found.demand[6] < 240 and found.demand[0] < 60


def test_a_load_is_never_more_than_the_running_power():
    moved = moved_load(10.0, 1.0, 45.0, 1.0, 20.0, np.array([-3.0, 10.0, 20.0, 900.0]))
    assert moved.tolist() == pytest.approx([1.0, 5.5, 10.0, 45.0])
