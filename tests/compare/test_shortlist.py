"""The shortlist: who is on it, who beats whom, what each trades; and the ranking by weights."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench import draws
from coldbench.compare.musts import Verdict
from coldbench.compare.shortlist import AXES, dominance, shortlist, trade
from coldbench.compare.weights import ranking
from coldbench.findings import Finding, measured
from coldbench.sheets.campaign import WeightsSheet

NAMES = {c: f"Cooler {c}" for c in "abcdef"}
AT = {"daily_energy_footing": "dc", "sound_level": "running 1 m"}
UNITS = {"daily_energy_footing": "Wh/d", "price": "EUR", "usable_volume": "L", "coldest_air": "°C",
         "sound_level": "dB"}


def campaign(coolers="ab", weights=None, protocols=(), **technologies):
    sheets = {c: SimpleNamespace(name=NAMES[c], technology=technologies.get(c, "compressor"))
              for c in coolers}
    runs = {f"{c}-1": SimpleNamespace(protocol=p) for c, p in protocols}
    told = WeightsSheet.model_validate(weights) if weights is not None else None
    return SimpleNamespace(coolers=sheets, runs=runs, sheet=SimpleNamespace(weights=told))


def row(cooler, name, value, limit=None):
    """A finding; without a limit it is a count without error."""
    half = 0.0 if limit is None else limit
    drawn = value + draws.uniform(f"{cooler} {name}", half)
    return Finding(cooler=cooler, finding=name, unit=UNITS[name], at=AT.get(name, ""),
                   runs=(f"{cooler}-1",), conditions={"ambient": 25.0},
                   **measured(drawn, value))


def everything(cooler, energy, price, usable, coldest, sound):
    values = zip(AXES, (energy, price, usable, coldest, sound), strict=True)
    return [row(cooler, name, float(value)) for name, value in values]


def verdict(cooler, word):
    return Verdict("price_at_most", "Costs 300 EUR at most", cooler, None, word)


def test_the_list_holds_those_that_meet_all_and_tells_of_the_others():
    said = [verdict("a", "met"), verdict("b", "cannot tell"), verdict("c", "missed"),
            verdict("c", "cannot tell")]
    short = shortlist(campaign("abc"), [], said)
    assert (short.meets, list(short.open), list(short.missed)) == (("a",), ["b"], ["c"])


def test_without_musts_all_are_on_it_and_without_findings_nobody_is_beaten():
    short = shortlist(campaign("abc"), [], [])
    assert short.meets == short.front == ("a", "b", "c")
    assert set(short.left_out) == set(AXES)


def test_no_cooler_left_is_no_fault():
    short = shortlist(campaign("ab"), [], [verdict("a", "missed"), verdict("b", "missed")])
    assert short.meets == short.front == ()


def test_one_that_is_better_everywhere_beats_and_one_axis_saves():
    best = everything("a", 200, 100, 20, 0, 30)
    worse = everything("b", 400, 200, 10, 6, 40)
    short = shortlist(campaign(), best + worse, [])
    assert (short.front, dict(short.beaten)) == (("a",), {"b": ("a",)})
    saved = [f for f in worse if f.finding != "price"] + [row("b", "price", 50.0)]
    short = shortlist(campaign(), best + saved, [])
    assert short.front == ("a", "b")
    assert trade(short, "b", NAMES).startswith(
        "Cooler b costs less than Cooler a (by 50 EUR); but uses more than Cooler a (by 200")


def test_a_tie_within_doubt_does_not_beat_a_same_price_does():
    def rows(price, usable):
        return [row("a", "price", 100.0), row("b", "price", price),
                row("a", "usable_volume", 12.0, 0.3), row("b", "usable_volume", usable, 0.3)]
    assert shortlist(campaign(), rows(200.0, 11.9), []).front == ("a", "b")
    assert shortlist(campaign(), rows(200.0, 11.0), []).front == ("a",)
    assert shortlist(campaign(), rows(100.0, 11.0), []).front == ("a",)
    assert shortlist(campaign(), rows(100.0, 11.9), []).front == ("a", "b")


def test_a_passive_box_stands_on_the_energy_axis_with_its_ice():
    ice = Finding(cooler="b", finding="ice_energy", unit="Wh/d",
                  **measured(300.0 + draws.normal("ice", 5.0), 300.0))
    rows = [row("a", "daily_energy_footing", 200.0, 2.0), ice]
    short = shortlist(campaign(b="passive"), rows, [])
    assert short.axes == ("daily_energy_footing",) and short.beaten == {"b": ("a",)}


def test_what_is_not_known_of_all_or_not_alike_is_left_out_and_said():
    rows = [row("a", "usable_volume", 9.0),
            row("a", "coldest_air", 1.0, 0.3), row("b", "coldest_air", 5.0, 0.3)]
    short = shortlist(campaign(protocols=[("a", "short"), ("b", "long")]), rows, [])
    assert short.left_out["usable_volume"] == "not known of Cooler b"
    assert "different protocols" in short.left_out["coldest_air"]


def test_energies_of_different_metering_points_do_not_meet():
    wall = [Finding(**{**vars(row("b", "daily_energy_footing", 900.0, 5.0)), "at": "wall"})]
    short = shortlist(campaign(), [row("a", "daily_energy_footing", 200.0, 5.0), *wall], [])
    assert "daily_energy_footing" in short.left_out


values = st.lists(st.tuples(*[st.integers(1, 4)] * 3), min_size=1, max_size=6)


@given(values)
@settings(max_examples=150, deadline=None)
def test_dominance_is_a_strict_order_and_leaves_somebody(points):
    coolers = range(len(points))
    clear = {n: {(a, b) for a in coolers for b in coolers if points[a][n] < points[b][n]}
             for n in range(3)}
    same = {n: {(a, b) for a in coolers for b in coolers if points[a][n] == points[b][n]}
            for n in range(3)}
    beats = dominance(coolers, clear, same)
    assert not any((a, a) in beats for a in coolers)
    assert all((a, d) in beats for a, b in beats for c, d in beats if b == c)
    assert {b for _, b in beats} != set(coolers)
    # Exact values: the textbook's own words for it.
    assert beats == {(a, b) for a in coolers for b in coolers
                     if np.all(np.less_equal(points[a], points[b])) and points[a] != points[b]}


@given(st.lists(st.tuples(*[st.integers(0, 3)] * 3), min_size=2, max_size=5), st.data())
@settings(max_examples=15, deadline=None)
def test_with_doubt_nobody_beats_himself_and_the_best_of_all_stands_alone(points, data):
    coolers = "abcdef"[:len(points)]
    axes = ("daily_energy_footing", "usable_volume", "coldest_air")
    limit = data.draw(st.sampled_from([0.1, 1.0, 4.0]))
    rows = [row(c, axis, 100.0 + 2 * x, limit)
            for c, point in zip(coolers, points, strict=True)
            for axis, x in zip(axes, point, strict=True)]
    short = shortlist(campaign(coolers), rows, [])
    assert short.front
    assert all(c not in by for c, by in short.beaten.items())
    assert all(set(short.beaten.get(b, ())) <= set(by) for by in short.beaten.values() for b in by)
    best = [row("f", axis, 1000.0 if axis == "usable_volume" else -500.0 if axis == "coldest_air"
                else 1.0, 0.1) for axis in axes]
    alone = shortlist(campaign(coolers.replace("f", "") + "f"), rows + best, [])
    assert alone.front == ("f",)


# --- weights --------------------------------------------------------------------------------------


def test_no_weight_no_ranking():
    rows = everything("a", 200, 100, 20, 0, 30) + everything("b", 400, 50, 10, 6, 40)
    assert ranking(campaign(), rows, "ab") is None
    assert ranking(campaign(weights={"price": 0.0}), rows, "ab") is None


def test_a_ranking_by_hand():
    """Price 0, 0.5, 1 and volume 1, 0.75, 0: with weights 2 and 1 sums 1, 1.75 and 2."""
    rows = [row(c, "price", p) for c, p in zip("abc", (300.0, 200.0, 100.0), strict=True)]
    rows += [row(c, "usable_volume", v) for c, v in zip("abc", (30.0, 25.0, 10.0), strict=True)]
    ranked = ranking(campaign("abc", {"price": 2.0, "usable_volume": 1.0}), rows, "abc")
    assert ranked.order == ("c", "b", "a")
    assert [3 * ranked.scores[c] for c in "abc"] == pytest.approx([1.0, 1.75, 2.0])
    assert ranked.chances == {"a": 0.0, "b": 0.0, "c": 1.0}
    price, volume = ranked.moves
    # c leads b by w/2 − 0.75: level at 1.5; a by w − 1: level at 1 only.
    assert (price.below, price.below_first, price.above) == (pytest.approx(1.5), "b", None)
    # c leads b by 1 − 0.75 w: level at 4/3; a by 2 − w: level at 2 only.
    assert (volume.above, volume.above_first) == (pytest.approx(4 / 3), "b")
    assert volume.below is None


def test_a_move_past_the_named_weight_does_change_the_first_place():
    rows = everything("a", 200, 300, 20, 0, 30) + everything("b", 400, 50, 18, 6, 31)
    weights = {"daily_energy_footing": 1.0, "price": 1.5, "usable_volume": 0.2}
    ranked = ranking(campaign(weights=weights), rows, "ab")
    for move in ranked.moves:
        for at, first, side in ((move.below, move.below_first, -1),
                                (move.above, move.above_first, 1)):
            if at is None:
                continue
            for step, leads in ((0.01, first), (-0.01, ranked.order[0])):
                changed = weights | {move.axis: max(0.0, at + side * step)}
                assert ranking(campaign(weights=changed), rows, "ab").order[0] == leads
    assert any(move.below is not None or move.above is not None for move in ranked.moves)


def test_the_chance_of_the_first_place_follows_the_doubt():
    near = [row("a", "usable_volume", 12.0, 0.5), row("b", "usable_volume", 12.1, 0.5)]
    chances = ranking(campaign(weights={"usable_volume": 1.0}), near, "ab").chances
    # Two rectangles of half width h, 0.1 apart: P = ½ + x − x²/2 with x = 0.1 / (2h).
    assert chances["b"] == pytest.approx(0.5 + 0.1 - 0.1**2 / 2, abs=0.025)
    assert sum(chances.values()) == pytest.approx(1.0)


def test_who_has_no_score_says_why():
    bound = Finding(cooler="b", finding="coldest_air", unit="°C", high=4.0, basis="bounded")
    vague = Finding(cooler="c", finding="coldest_air", unit="°C", value=3.0)
    rows = [row("a", "coldest_air", 1.0, 0.3), bound, vague]
    ranked = ranking(campaign("abcd", {"coldest_air": 1.0}), rows, "abcd")
    assert ranked.order == ("a",)
    assert {c: why.partition(": ")[2] or why for c, why in ranked.left_out.items()} == {
        "b": "only a bound", "c": "error not stated", "d": "coldest air not known"}
    assert ranking(campaign("d", {"coldest_air": 1.0}), [], "d").order == ()
