"""Claims of makers against findings made in memory: like with like only."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from coldbench.compare.claims import claims, half_digit
from coldbench.findings import Finding
from coldbench.quantities import parse
from coldbench.sheets.campaign import FootingSheet
from coldbench.sheets.cooler import ClaimsSheet

HERE = {"ambient": 25.0, "inside": 4.0}


def campaign(**told):
    footing = FootingSheet.model_validate({"ambient": "25 °C", "inside": "4 °C"})
    return SimpleNamespace(
        sheet=SimpleNamespace(footing=footing),
        coolers={"a": SimpleNamespace(claims=ClaimsSheet.model_validate(told) if told else None)})


def only(rows, **told):
    (verdict,) = claims(campaign(**told), rows)
    return verdict


def test_no_claim_no_verdict():
    assert claims(campaign(), []) == []


@pytest.mark.parametrize(("text", "kind", "half"), [
    ("22 L", "volume", 0.5), ("22.0 L", "volume", 0.05), ("-18 °C", "temperature", 0.5),
    ("−18.5 °C", "temperature", 0.05), ("0 °F", "temperature", 0.5 * 5 / 9),
    ("1 kWh", "daily_energy", 500.0), ("22 L ± 2 L", "volume", 2.0),
])
def test_the_last_digit_printed(text, kind, half):
    assert half_digit(parse(text, kind)) == pytest.approx(half)


@pytest.mark.parametrize(("value", "verdict"), [
    (-20.0, "borne out"), (-18.0, "cannot tell"), (-17.4, "cannot tell"), (-15.0, "not borne out"),
])
def test_coldest(made, value, verdict):
    # Standard uncertainty 0.31 K with the assumed run-to-run spread; half a degree is not printed.
    seen = only([made.finding("a", value, limit=0.1, conditions=HERE)], coldest="-18 °C")
    assert seen.verdict == verdict
    assert seen.difference == pytest.approx(value + 18.0)
    assert seen.low < seen.difference < seen.high and seen.unit == "K"
    assert "25.0 °C ambient; the claim states none" in seen.why


@pytest.mark.parametrize(("ambient", "value", "verdict"), [
    ("32 °C", -25.0, "cannot tell"), ("32 °C", -10.0, "not borne out"),
    ("18 °C", -25.0, "borne out"), ("18 °C", -10.0, "cannot tell"),
    ("24 °C", -10.0, "not borne out"),
])
def test_a_claim_for_another_ambient_carries_one_way_only(made, ambient, value, verdict):
    rows = [made.finding("a", value, limit=0.1, conditions=HERE)]
    seen = only(rows, coldest="-18 °C", ambient=ambient)
    assert seen.verdict == verdict and f"the claim states {ambient}" in seen.why


def test_without_the_finding_it_cannot_be_told(made):
    assert only([], coldest="-18 °C").verdict == "cannot tell"
    unknown = only([made.finding("a", -19.0, limit=None)], coldest="-18 °C")
    assert (unknown.verdict, unknown.difference) == ("cannot tell", -1.0)


def power(made, name, value):
    return made.finding("a", value, limit=0.5, name=name, unit="W", at="dc coldest")


def test_the_largest_power_is_held_against_the_largest(made):
    rows = [power(made, "running_power", 45.0), power(made, "mean_power", 20.0)]
    peak = Finding(cooler="a", finding="peak_power", unit="W", at="dc", low=70.0, basis="bounded")
    missing = only(rows, power="60 W", power_is="largest")
    assert missing.verdict == "cannot tell" and "largest power not measured" in missing.why
    over = only([*rows, peak], power="60 W", power_is="largest")
    assert (over.verdict, over.rows) == ("not borne out", (peak,))
    assert over.low == pytest.approx(10.0) and over.high is None
    # A start may draw more than the largest sample seen.
    assert only([*rows, peak], power="80 W", power_is="largest").verdict == "cannot tell"


def test_a_power_of_no_said_kind_gets_no_verdict_but_where_all_agree(made):
    rows = [power(made, "peak_power", 70.0), power(made, "running_power", 55.0),
            power(made, "mean_power", 20.0)]
    seen = only(rows, power="60 W")
    assert seen.verdict == "not comparable" and seen.difference is None
    assert "not borne out as largest power, borne out as running power" in seen.why
    assert only(rows, power="100 W").verdict == "borne out"
    assert only(rows, power="60 W", power_is="running").verdict == "borne out"


def volume(made, name, value):
    return made.finding("a", value, limit=0.2, name=name, unit="L")


def test_a_volume_of_another_definition_is_said(made):
    rows = [volume(made, "inside_volume", 18.2), volume(made, "usable_volume", 15.0)]
    seen = only(rows, volume="18 L")
    assert seen.verdict == "not comparable" and len(seen.rows) == 2
    assert "does not say which volume" in seen.why
    assert only(rows, volume="18 L", volume_is="inside").verdict == "borne out"
    usable = only(rows, volume="18 L", volume_is="usable")
    assert (usable.verdict, usable.difference) == ("not borne out", pytest.approx(-3.0))
    assert only(rows, volume="21 L").verdict == "not borne out"
    # With only one of them measured nobody knows whether both would agree.
    assert only(rows[:1], volume="21 L").verdict == "not comparable"


def energy(made, value, name="daily_energy_footing", **more):
    more = {"at": "dc", "conditions": HERE} | more
    return made.finding("a", value, limit=2.0, name=name, unit="Wh/d", **more)


@pytest.mark.parametrize(("value", "verdict"), [
    (300.0, "borne out"), (350.0, "cannot tell"), (400.0, "not borne out"),
])
def test_daily_energy_is_the_footings(made, value, verdict):
    rows = [energy(made, 900.0, "daily_energy"), energy(made, value)]
    seen = only(rows, daily_energy="350 Wh")
    assert (seen.verdict, seen.rows[0].finding) == (verdict, "daily_energy_footing")
    assert "4.0 °C inside; the claim states none" in seen.why and "at dc" in seen.why


def test_without_a_footing_energy_the_run_nearest_to_it_is_taken(made):
    rows = [energy(made, 900.0, "daily_energy", at="dc coldest",
                   conditions={"ambient": 25.0, "inside": -18.0}),
            energy(made, 300.0, "daily_energy", at="dc 4 °C")]
    assert only(rows, daily_energy="350 Wh").rows[0].at == "dc 4 °C"


def test_a_level_of_sound_is_never_set_beside_a_measured_one(made):
    level = made.finding("a", 41.0, limit=1.0, name="sound_level", unit="dB", at="running 1 m")
    seen = only([level], sound="38 dB")
    assert (seen.verdict, seen.rows, seen.difference) == ("not comparable", (), None)
    assert "sound power or sound pressure" in seen.why
