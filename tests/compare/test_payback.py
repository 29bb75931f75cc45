"""Months until a dearer, thriftier cooler has paid back: by hand, by draws, by bounds."""

from __future__ import annotations

import pytest

from coldbench.compare.payback import paybacks
from coldbench.findings import Finding


@pytest.fixture
def of(made):
    """Price, and running cost with a limit of error by a probe of its own or a shared one."""
    def rows(cooler, price, yearly, limit=0.5, probe=None, at="dc", **more):
        return [
            made.finding(cooler, price, name="price", unit="EUR", limit=0.0),
            made.finding(cooler, yearly, probe=probe or f"{cooler} meter", limit=limit,
                         name="running_cost", unit="EUR/yr", at=at, **more)]
    return rows


def test_months_by_hand(of):
    """150 EUR more, 30 EUR a year less: 5 years, 60 months."""
    one, = paybacks([*of("cheap", 100.0, 40.0), *of("dear", 250.0, 10.0)])
    assert (one.dearer.cooler, one.cheaper.cooler, one.verdict) == ("dear", "cheap", "pays back")
    assert one.value == pytest.approx(60.0) and one.low < 60.0 < one.high
    assert one.case == "dc mains"


def test_what_both_share_cancels(of):
    """The same meter for both: an offset moves both costs alike, and the saving not at all."""
    apart, = paybacks([*of("cheap", 100.0, 40.0, 6.0), *of("dear", 250.0, 10.0, 6.0)])
    shared, = paybacks([*of("cheap", 100.0, 40.0, 6.0, "W"), *of("dear", 250.0, 10.0, 6.0, "W")])
    assert shared.high - shared.low < 0.7 * (apart.high - apart.low)


def test_dearer_in_both_never_pays(of):
    one, = paybacks([*of("cheap", 100.0, 10.0), *of("dear", 250.0, 40.0)])
    assert (one.verdict, one.value, one.low, one.high) == ("never", None, None, None)


def test_a_saving_in_doubt_cannot_be_told(of):
    one, = paybacks([*of("cheap", 100.0, 11.0, 5.0), *of("dear", 250.0, 10.0, 5.0)])
    assert (one.verdict, one.high) == ("cannot tell", None)
    assert one.low > 0 and one.value == pytest.approx(12 * 150)


def test_of_two_that_cost_the_same_the_thriftier_has_paid_at_once(of):
    one, = paybacks([*of("hungry", 100.0, 40.0), *of("thrifty", 100.0, 10.0)])
    assert (one.dearer.cooler, one.value) == ("thrifty", 0.0)


def test_passive_boxes_stand_in_every_case_and_points_apart(of, made):
    supply = made.finding("chest", 100.0, name="supply_cost", unit="EUR", at="dc battery",
                          limit=5.0)
    rows = [*of("chest", 250.0, 3.0), supply, *of("box", 40.0, 30.0, at="ice"),
            *of("wall", 100.0, 9.0, at="wall")]
    pairs = {(p.case, p.dearer.cooler, p.cheaper.cooler): p for p in paybacks(rows)}
    assert set(pairs) == {("dc mains", "chest", "box"), ("dc battery", "chest", "box"),
                          ("wall mains", "wall", "box")}
    assert pairs["dc battery", "chest", "box"].value == pytest.approx(12 * 310 / 27)


def test_bounds_and_values_without_an_error(of):
    bounded = Finding(cooler="cheap", finding="running_cost", at="dc", unit="EUR/yr",
                      basis="bounded", low=20.0, high=40.0)
    one, = paybacks([of("cheap", 100.0, 1.0)[0], bounded, *of("dear", 250.0, 10.0, 0.0)])
    assert (one.verdict, one.value, one.why) == ("pays back", None, "by bounds")
    assert (one.low, one.high) == pytest.approx((60.0, 180.0))
    one, = paybacks([*of("cheap", 100.0, 40.0, None), *of("dear", 250.0, 10.0)])
    assert (one.value, one.low, one.why) == (pytest.approx(60.0), None, "error not stated")


def test_the_interval_grows_with_the_error_and_shrinks_with_repeats(of):
    def width(limit, runs):
        one, = paybacks([*of("cheap", 100.0, 40.0, limit, runs=runs),
                         *of("dear", 250.0, 10.0, limit, runs=runs)])
        return one.high - one.low
    assert width(0.1, ("a",)) < width(2.0, ("a",))
    assert width(0.0, ("a", "b", "c", "d")) < 0.6 * width(0.0, ("a",))
