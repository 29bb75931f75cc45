"""Musts: met, missed, cannot tell, worked by hand on findings made in memory."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from coldbench.analysis.limits import LIMITS
from coldbench.compare.against import against
from coldbench.compare.musts import musts
from coldbench.compare.repeats import Spread
from coldbench.findings import Finding
from coldbench.sheets.campaign import FootingSheet, MustsSheet

ALL = {"coldest_at_most": "5 °C", "daily_energy_at_most": "600 Wh", "price_at_most": "300 EUR",
       "sound_at_most": "45 dB", "usable_at_least": "10 L", "fits_space": True}
HERE = {"ambient": 25.0, "inside": 3.0}


def campaign(told, footing=True, **technologies):
    sheet = SimpleNamespace(
        musts=MustsSheet.model_validate(told) if told is not None else None, space=None,
        footing=FootingSheet.model_validate({"ambient": "25 °C", "inside": "4 °C"})
        if footing else None)
    coolers = {c: SimpleNamespace(name=c, technology=t, outside=None, lid=None)
               for c, t in (technologies or {"a": "compressor"}).items()}
    return SimpleNamespace(sheet=sheet, coolers=coolers, runs={})


def only(told, rows, **more):
    (verdict,) = musts(campaign(told, **more), rows)
    return verdict


def test_no_must_no_verdict():
    assert musts(campaign(None), []) == []
    assert musts(campaign({"fits_space": False}), []) == []


def test_nothing_measured_is_never_met_and_says_what_it_needs():
    verdicts = musts(campaign(ALL), [])
    assert [v.must for v in verdicts] == list(ALL)
    assert {v.verdict for v in verdicts} == {"cannot tell"}
    assert all(v.why.startswith("needs ") for v in verdicts)


def test_the_need_of_the_finding_itself_is_told():
    row = Finding(cooler="a", finding="price", basis="not measured", note="needs a till")
    assert only({"price_at_most": "300 EUR"}, [row]).why == "needs a till"


@pytest.mark.parametrize(("value", "verdict"), [
    (3.0, "met"), (4.6, "cannot tell"), (5.4, "cannot tell"), (7.0, "missed"),
])
def test_coldest_with_probe_and_run_to_run_spread(made, value, verdict):
    # A limit of 0.5 K and an assumed 0.3 K: standard uncertainty √(0.5²/3 + 0.3²) = 0.416 K.
    seen = only({"coldest_at_most": "5 °C"}, [made.finding("a", value, conditions=HERE)])
    assert seen.verdict == verdict and seen.unit == "K"
    assert seen.margin == pytest.approx(5.0 - value)
    assert seen.margin_u == pytest.approx((5.0 - value) / 0.4163, rel=0.05)
    assert seen.low < seen.margin < seen.high
    assert "ambient 25.0 °C" in seen.why


def test_one_run_does_not_make_sure(made):
    """Within the run's own interval it would be met; another run may lie 0.3 K off."""
    row = made.finding("a", 4.5, limit=0.1, conditions=HERE)
    assert row.high < 5.0
    assert only({"coldest_at_most": "5 °C"}, [row]).verdict == "cannot tell"
    sure = Spread(0.05, LIMITS.freedom, False)
    (seen,) = musts(campaign({"coldest_at_most": "5 °C"}), [row], {"coldest_air": sure})
    assert seen.verdict == "met"


def test_error_not_stated_gives_a_margin_but_no_verdict(made):
    seen = only({"coldest_at_most": "5 °C"}, [made.finding("a", 1.0, limit=None)])
    assert (seen.verdict, seen.margin, seen.margin_u) == ("cannot tell", 4.0, None)
    assert "error not stated" in seen.why


@pytest.mark.parametrize(("high", "verdict"), [(4.0, "met"), (6.0, "cannot tell")])
def test_a_bound_can_meet_but_not_miss(high, verdict):
    row = Finding(cooler="a", finding="coldest_air", unit="°C", basis="bounded", high=high)
    seen = only({"coldest_at_most": "5 °C"}, [row])
    assert (seen.verdict, seen.margin) == (verdict, None)


@pytest.mark.parametrize(("ambient", "value", "verdict"), [
    (20.0, 1.0, "cannot tell"), (20.0, 9.0, "missed"),
    (30.0, 1.0, "met"), (30.0, 9.0, "cannot tell"), (26.0, 9.0, "missed"),
])
def test_another_ambient_than_the_footings_carries_one_way_only(made, ambient, value, verdict):
    row = made.finding("a", value, conditions={"ambient": ambient})
    assert only({"coldest_at_most": "5 °C"}, [row]).verdict == verdict


def energy(made, value, name="daily_energy", at="dc", **more):
    return made.finding("a", value, probe="P", limit=10.0, name=name, unit="Wh/d", at=at, **more)


def test_energy_is_the_footings_where_there_is_one(made):
    rows = [energy(made, 900.0, conditions=HERE),
            energy(made, 500.0, "daily_energy_footing", "wall"),
            energy(made, 400.0, "daily_energy_footing", "dc")]
    seen = only({"daily_energy_at_most": "600 Wh"}, rows)
    assert (seen.verdict, seen.margin) == ("met", 200.0)
    assert seen.why.startswith("Daily energy at the footing, dc")


def test_a_footing_it_cannot_hold_is_a_miss():
    row = Finding(cooler="a", finding="daily_energy_footing", at="dc", basis="not reached",
                  note="cannot hold 4 °C at 25 °C; coldest 9.1 °C")
    seen = only({"daily_energy_at_most": "600 Wh"}, [row])
    assert (seen.verdict, seen.margin, seen.why) == ("missed", None, row.note)


@pytest.mark.parametrize(("inside", "value", "verdict"), [
    (4.5, 400.0, "met"), (-18.0, 400.0, "met"), (-18.0, 900.0, "cannot tell"),
    (10.0, 900.0, "missed"), (10.0, 400.0, "cannot tell"),
])
def test_energy_not_moved_to_the_footing_carries_one_way_only(made, inside, value, verdict):
    rows = [energy(made, value, conditions={"ambient": 25.0, "inside": inside})]
    seen = only({"daily_energy_at_most": "600 Wh"}, rows)
    assert seen.verdict == verdict and "not moved to the footing" in seen.why


def test_of_several_settings_the_one_nearest_the_footing_is_taken(made):
    rows = [energy(made, 900.0, at="dc coldest", conditions={"ambient": 25.0, "inside": -18.0}),
            energy(made, 300.0, at="dc 4 °C", conditions={"ambient": 25.0, "inside": 4.0})]
    assert only({"daily_energy_at_most": "600 Wh"}, rows).row.at == "dc 4 °C"


def test_a_passive_box_meets_an_energy_and_a_sound_by_having_no_machine(made):
    ice = made.finding("a", 300.0, name="ice_energy", unit="Wh/d")
    told = {"daily_energy_at_most": "600 Wh", "sound_at_most": "45 dB"}
    energy_, sound = musts(campaign(told, a="passive"), [ice])
    assert energy_.verdict == sound.verdict == "met"
    assert "draws nothing" in energy_.why and "300 Wh a day, not counted" in energy_.why


@pytest.mark.parametrize(("value", "verdict"), [(300.0, "met"), (300.5, "missed")])
def test_a_price_is_exact(value, verdict):
    row = Finding(cooler="a", finding="price", unit="EUR", value=value, low=value, high=value,
                  basis="sheet", note="paid")
    seen = only({"price_at_most": "300 EUR"}, [row])
    assert (seen.verdict, seen.margin, seen.margin_u) == (verdict, 300.0 - value, None)


def test_sound_is_asked_at_one_metre_while_running(made):
    near = made.finding("a", 40.0, limit=1.0, name="sound_level", unit="dB", at="running 0.5 m")
    seen = only({"sound_at_most": "45 dB"}, [near])
    assert seen.verdict == "cannot tell" and "read: running 0.5 m" in seen.why
    there = made.finding("a", 40.0, limit=1.0, name="sound_level", unit="dB", at="running 1 m")
    assert only({"sound_at_most": "45 dB"}, [near, there]).verdict == "met"


@pytest.mark.parametrize(("inside", "verdict"), [(9.0, "missed"), (20.0, "cannot tell")])
def test_a_room_too_small_cannot_hold_enough(made, inside, verdict):
    rows = [made.finding("a", inside, limit=0.2, name="inside_volume", unit="L")]
    assert only({"usable_at_least": "10 L"}, rows).verdict == verdict


@pytest.mark.parametrize(("value", "verdict"), [(1.0, "met"), (0.0, "missed"),
                                                (None, "cannot tell")])
def test_fitting_takes_the_lid_shut_and_tells_of_it_open(value, verdict):
    rows = [Finding(cooler="a", finding="fits_space", at="shut", value=value, basis="sheet",
                    note="12 mm spare, least in depth"),
            Finding(cooler="a", finding="fits_space", at="open", value=0.0, basis="sheet",
                    note="misses by 40 mm in height")]
    seen = only({"fits_space": True}, rows)
    assert seen.verdict == verdict
    assert "12 mm spare" in seen.why and "lid open: misses by 40 mm" in seen.why


def test_slack_counts_as_met(made):
    row = made.finding("a", 22.0, limit=0.3, name="usable_volume", unit="L")
    assert against(row, 22.0, 1).holds is None
    assert against(row, 22.0, 1, slack=0.5).holds is True
