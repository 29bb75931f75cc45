"""Differences with their own interval: shared errors cancel, the unlike is not compared."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.differences import compare, differences
from coldbench.compare.repeats import Spread

APART = 0.3  # assumed standard uncertainty of a temperature from run to run [K]


def test_the_error_of_a_shared_probe_cancels(made):
    """Each is known to half a kelvin, their difference to the spread from run to run alone."""
    a, b = made.finding("a", -5.0, "T1"), made.finding("b", -3.0, "T1")
    found = compare(a, b, None, {})
    assert found.value == -2.0
    assert found.verdict == "less"
    assert found.why == "assumed run-to-run spread"
    half = made.half(APART, APART)
    assert (found.low, found.high) == pytest.approx((-2 - half, -2 + half), abs=0.06)


def test_errors_of_two_probes_do_not_cancel(made):
    a, b = made.finding("a", -5.0, "T1"), made.finding("b", -3.0, "T2")
    shared = compare(a, made.finding("b", -3.0, "T1"), None, {})
    found = compare(a, b, None, {})
    assert found.high - found.low > 1.2 * (shared.high - shared.low)
    # Two rectangles of ±0.5 K have 0.29 K each.
    half = made.half(APART, APART, 0.5 / np.sqrt(3), 0.5 / np.sqrt(3))
    assert (found.low, found.high) == pytest.approx((-2 - half, -2 + half), abs=0.1)


@pytest.mark.parametrize(("first", "second", "verdict"), [
    (-5.0, -3.0, "less"), (-3.0, -5.0, "more"), (-5.0, -4.7, "cannot tell apart"),
])  # fmt: skip
def test_verdicts(made, first, second, verdict):
    found = compare(made.finding("a", first), made.finding("b", second), None, {})
    assert found.verdict == verdict


def test_turned_round_it_is_the_same_difference(made):
    a, b = made.finding("a", -5.0, "T1"), made.finding("b", -3.0, "T2", limit=1.0)
    one, other = compare(a, b, None, {}), compare(b, a, None, {})
    assert (one.low, one.high) == pytest.approx((-other.high, -other.low))


def test_what_the_repeats_showed_enters(made):
    """From 4 degrees of freedom on it stands alone; below, the larger of it and the assumed."""
    a, b = made.finding("a", -5.0), made.finding("b", -3.0)
    many = compare(a, b, Spread(0.1, 4, False), {})
    assert many.why == "spread pooled, 4 degrees of freedom"
    # Student's factor of 4 degrees of freedom is 2.776 (GUM, table G.2), against 1.960.
    student = 2.776 / 1.960
    assert many.high - many.low == pytest.approx(2 * student * made.half(0.1, 0.1), rel=0.06)
    few = compare(a, b, Spread(0.1, 3, False), {})
    assert few.why == "larger of seen and assumed spread"
    assert few.high - few.low == pytest.approx(2 * made.half(APART, APART), rel=0.05)
    wild = compare(a, b, Spread(1.0, 3, False), {})
    assert wild.high - wild.low == pytest.approx(2 * made.half(1.0, 1.0), rel=0.05)


def test_a_mean_of_repeats_is_steadier(made):
    a = made.finding("a", -5.0, runs=("a-1", "a-2", "a-3", "a-4"))
    found = compare(a, made.finding("b", -3.0), None, {})
    assert found.high - found.low == pytest.approx(2 * made.half(APART / 2, APART), rel=0.05)


def test_energies_scatter_in_proportion(made):
    """20 Wh/d of 1000 are within the 3 % that two runs may differ by; 200 are not."""
    def energy(cooler, value):
        return made.finding(cooler, value, "W1", 1.0, "daily_energy", "Wh/d", "dc",
                            conditions={"inside": 4.0, "ambient": 25.0})

    near = compare(energy("a", 1000.0), energy("b", 980.0), None, {})
    assert near.verdict == "cannot tell apart"
    half = made.half(30.0, 0.03 * 980)
    assert (near.low, near.high) == pytest.approx((20 - half, 20 + half), abs=5)
    assert compare(energy("a", 1000.0), energy("b", 800.0), None, {}).verdict == "more"


def test_prices_do_not_scatter(made):
    a = made.finding("a", 180.0, limit=0.0, name="price", unit="EUR")
    found = compare(a, made.finding("b", 181.0, limit=0.0, name="price", unit="EUR"), None, {})
    assert (found.verdict, found.low, found.high) == ("less", -1.0, -1.0)


# --- not comparable ----------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "one", "other", "why"), [
    ("daily_energy", {"inside": 4.0, "ambient": 25.0}, {"inside": 5.1, "ambient": 25.0},
     "insides differ by 1.1 K"),
    ("daily_energy", {"inside": 4.0, "ambient": 25.0}, {"inside": 4.0, "ambient": 27.0},
     "ambients differ by 2.0 K"),
    ("daily_energy", {"inside": 4.0}, {}, "inside not measured"),
    ("pull_down_time", {"start": 24.0}, {"start": 25.5}, "starts differ by 1.5 K"),
    ("pull_down_energy", {"start": 24.0, "ambient": 25.0}, {"start": 24.0, "ambient": 22.0},
     "ambients differ by 3.0 K"),
    ("pull_down_time", {"start": 24.0, "load": 2.0}, {"start": 24.0, "load": 2.2},
     "loads differ (2.00 and 2.20 kg)"),
    ("coldest_air", {"ambient": 25.0}, {"ambient": 22.0}, "ambients differ by 3.0 K"),
])  # fmt: skip
def test_unlike_conditions_are_not_compared(made, name, one, other, why):
    a = made.finding("a", 10.0, name=name, conditions=one)
    b = made.finding("b", 20.0, name=name, conditions=other)
    found = compare(a, b, None, {})
    assert (found.verdict, found.why) == ("not comparable", why)
    assert found.low is None
    assert compare(a, made.finding("b", 20.0, name=name, conditions=one), None, {}).verdict == (
        "less")


def test_small_differences_of_conditions_are_let_pass(made):
    a = made.finding("a", 100.0, name="daily_energy", conditions={"inside": 4, "ambient": 25})
    b = made.finding("b", 200.0, name="daily_energy", conditions={"inside": 4.9, "ambient": 26.4})
    assert compare(a, b, None, {}).verdict == "less"


def test_two_protocols_are_not_compared(made):
    a, b = made.finding("a", -5.0), made.finding("b", -3.0)
    found = compare(a, b, None, {"a-1": "quick", "b-1": "long"})
    assert (found.verdict, found.why) == ("not comparable", "different protocols (long, quick)")
    assert compare(a, b, None, {"a-1": "quick", "b-1": "quick"}).verdict == "less"


def test_without_a_stated_error_there_is_no_verdict(made):
    a = made.finding("a", -5.0, limit=None)
    found = compare(a, made.finding("b", -3.0), None, {})
    assert (found.verdict, found.why, found.value) == ("not comparable", "error not stated", None)


# --- bounds ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("ends", "verdict"), [
    ((None, -6.0), "less"), ((None, -4.0), "cannot tell apart"), ((-2.0, None), "more"),
    ((-6.0, -2.0), "cannot tell apart"),
])  # fmt: skip
def test_a_bound_tells_apart_where_it_lies_on_one_side(made, ends, verdict):
    b = made.finding("b", -4.5, limit=0.5)  # −5 to −4
    a = made.finding("a", None, basis="bounded", low=ends[0], high=ends[1])
    found = compare(a, b, None, {})
    assert (found.verdict, found.value) == (verdict, None)
    turned = {"less": "more", "more": "less"}.get(verdict, verdict)
    assert compare(b, a, None, {}).verdict == turned


def test_reached_is_sooner_than_not_reached(made):
    a = made.finding("a", 3.0, name="pull_down_time", unit="h", limit=0.1)
    b = made.finding("b", None, name="pull_down_time", unit="h", basis="not reached", low=8.0)
    assert compare(a, b, None, {}).verdict == "less"


def test_a_target_that_one_may_not_have_reached_leaves_the_difference_open(made):
    a, b = (made.finding(c, 3.0, name="pull_down_time", unit="h", limit=0.1) for c in "ab")
    late = b.draws.copy()
    late[: len(late) // 10] = np.inf
    found = compare(a, replace(b, high=None, draws=late), None, {})
    assert found.low is None
    assert np.isfinite(found.high)


# --- all pairs ---------------------------------------------------------------------------------


def test_pairs_are_matched_by_finding_and_at(made):
    rows = [
        made.finding("a", -5.0), made.finding("b", -3.0), made.finding("c", -1.0),
        made.finding("a", 40.0, name="mean_power", at="dc"),
        made.finding("b", 50.0, name="mean_power", at="wall"),  # another metering point
        made.finding("a", 0.4, name="duty"), made.finding("b", 0.5, name="duty"),  # neither better
        made.finding("a", None, name="spread", basis="not measured"),
        made.finding("b", 1.0, name="spread"),
    ]
    pairs = [(d.first.cooler, d.second.cooler, d.first.finding)
             for d in differences(rows, {}, {})]
    assert pairs == [("a", "b", "coldest_air"), ("a", "c", "coldest_air"),
                     ("b", "c", "coldest_air")]


def test_one_coolers_scatter_is_one_in_all_its_differences(made):
    """a − b, b − c and a − c close: the same hidden run of each cooler stands in all three."""
    a, b, c = (made.finding(name, value) for name, value in zip("abc", (-5, -3, -1), strict=True))
    runs = {f.cooler: draws.normal(f"{f.cooler} coldest_air  run to run", LIMITS.spread_temperature)
            for f in (a, b, c)}
    found = compare(a, c, None, {})
    apart = (a.draws + runs["a"]) - (c.draws + runs["c"])
    assert (found.low, found.high) == pytest.approx(draws.interval(apart))


def family(made, values, limit=0.01):
    findings = [made.finding(f"c{i}", v, f"T{i}", limit) for i, v in enumerate(values)]
    return {(d.first.cooler, d.second.cooler): d for d in differences(findings, {}, {})}


def test_a_claim_that_would_be_one_of_many_by_chance_is_not_made(made):
    """Two sigma apart: enough for one pair, not for the clearest of fifteen."""
    near = 2.2 * np.hypot(APART, APART)
    values = [0.0, near, *[near / 2] * 4]
    alone = compare(made.finding("c0", 0.0, "T0", 0.01), made.finding("c1", near, "T1", 0.01),
                    None, {})
    among = family(made, values)["c0", "c1"]
    assert alone.verdict == "less" and among.verdict == "cannot tell apart"
    assert among.why.startswith("not clear enough among 15 pairs")
    assert among.low == pytest.approx(alone.low)


def test_clear_differences_stand_in_any_family(made):
    """Holm's order: each clear step makes the next one's bar lower."""
    found = family(made, [5.0 * i for i in range(12)])
    assert len(found) == 66
    assert all(d.verdict == "less" for d in found.values())


def test_up_to_three_coolers_are_judged_pair_by_pair(made):
    near = 2.2 * np.hypot(APART, APART)
    assert family(made, [0.0, near, near / 2])["c0", "c1"].verdict == "less"


@pytest.mark.parametrize("name", ["cop", "carnot_fraction", "running_capacity"])
def test_machines_are_compared_between_like_temperatures_only(made, name):
    rows = [made.finding(cooler, 1.0 + i, name=name, unit="-",
                         conditions={"inside": inside, "ambient": 25.0})
            for i, (cooler, inside) in enumerate((("a", 4.0), ("b", -10.0)))]
    (found,) = differences(rows, {}, {})
    assert found.verdict == "not comparable" and "insides differ by 14.0 K" in found.why
