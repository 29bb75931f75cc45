"""Quantities as people write them, and what is refused with which mend."""

from __future__ import annotations

import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.quantities import (
    CANONICAL,
    KINDS,
    ErrorLimit,
    QuantityError,
    parse,
    parse_error_limit,
)

READ = [
    ("24.5 °C", "temperature", 24.5), ("76 °F", "temperature", 24.4444),
    ("24.5degC", "temperature", 24.5), ("300 K", "temperature", 26.85),
    ("-18 °C", "temperature", -18), ("\u221218\u00a0°C", "temperature", -18),
    ("–18 °C", "temperature", -18), ("24.5 ℃", "temperature", 24.5),
    ("24.5 º C", "temperature", 24.5), (" 24.5  °C ", "temperature", 24.5),
    ("0.5 K", "difference", 0.5), ("0.9 °F", "difference", 0.5), ("0.5 °C", "difference", 0.5),
    ("33 qt", "volume", 31.2296), ("12 fl oz", "volume", 0.354882),
    ("12 US fl oz", "volume", 0.354882), ("12 imp fl oz", "volume", 0.340957),
    ("1 cu ft", "volume", 28.3168), ("1 ft3", "volume", 28.3168), ("1 ft³", "volume", 28.3168),
    ("0.058 m³", "volume", 58), ("330 mL", "volume", 0.33), ("330 ml", "volume", 0.33),
    ("330 mL", "water", 0.33), ("330 g", "water", 0.33), ("0.33 kg", "water", 0.33),
    ("28 g", "mass", 0.028), ("25 lb", "mass", 11.3398), ("16 oz", "mass", 0.453592),
    ("57 cm", "length", 570), ("22.5 in", "length", 571.5), ("4 m", "length", 4000),
    ("4 mm²", "area", 4), ("4 mm2", "area", 4), ("4 mm^2", "area", 4),
    ("0.35 kWh", "energy", 350), ("3.6 MJ", "energy", 1000), ("52 W", "power", 52),
    ("170 Btu/h", "power", 49.822), ("12 V", "voltage", 12), ("230 mV", "voltage", 0.23),
    ("640 mA", "current", 0.64), ("12 h", "duration", 43200), ("3.5 h", "duration", 12600),
    ("90 min", "duration", 5400), ("2 days", "duration", 172800), ("15 s", "duration", 15),
    ("80 %", "fraction", 0.8), ("80%", "fraction", 0.8), ("45 %", "humidity", 45),
    ("45 % RH", "humidity", 45), ("3 %", "rate", 3), ("3 %/yr", "rate", 3),
    ("45°", "angle", 45), ("-5.2°", "angle", -5.2), ("45 deg", "angle", 45),
    ("45 dB", "sound", 45), ("45 dB(A)", "sound", 45), ("45 dBA", "sound", 45),
    ("0.1 Ω", "resistance", 0.1), ("100 mohm", "resistance", 0.1),
    ("2.5 bar", "pressure", 250), ("30 psi", "pressure", 206.843),
    ("350 Wh", "daily_energy", 350), ("0.35 kWh/d", "daily_energy", 350),
    ("180 EUR", "money", 180), ("0.32 EUR/kWh", "energy_price", 0.32),
    ("320 EUR/MWh", "energy_price", 0.32), ("350 EUR/kWh", "battery_price", 0.35),
    ("900 EUR/kW", "panel_price", 0.9), ("0.5 EUR/kg", "mass_price", 0.5),
    ("1e3 g", "mass", 1), (".5 kg", "mass", 0.5), ("+5 kg", "mass", 5), ("4", "count", 4),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "value"), READ)
def test_read(text, kind, value):
    found = parse(text, kind)
    assert found.value == pytest.approx(value, rel=1e-5)
    assert (found.kind, found.limit, found.text) == (kind, None, text.strip())


def test_every_kind_reads_its_own_example():
    for kind, about in KINDS.items():
        assert parse(about.example, kind).kind == kind


@pytest.mark.parametrize(("text", "kind", "value", "limit"), [
    ("6.2 W ± 0.1 W", "power", 6.2, 0.1), ("6.2 ± 0.1 W", "power", 6.2, 0.1),
    ("6.2 W ± 100 mW", "power", 6.2, 0.1), ("6.2 W +/- 0.1 W", "power", 6.2, 0.1),
    ("6.2 W +- 0.1", "power", 6.2, 0.1), ("24 °C ± 1 K", "temperature", 24, 1),
    ("24 °C ± 1.8 °F", "temperature", 24, 1), ("570 mm ± 0.2 cm", "length", 570, 2),
    ("330 mL ± 10 mL", "water", 0.33, 0.01),
])  # fmt: skip
def test_a_quantity_may_state_its_own_limit(text, kind, value, limit):
    found = parse(text, kind)
    assert (found.value, found.limit) == (pytest.approx(value), pytest.approx(limit))


def test_currency_stays_with_a_price():
    assert parse("180 EUR", "money").currency == "EUR"
    assert parse("180 EUR", "money").unit == "EUR"
    assert parse("0.32 GBP/kWh", "energy_price").unit == "GBP/kWh"
    assert parse("5 kg", "mass").currency == ""


REFUSED = [
    (5, "temperature", "a unit is missing", 'write "5 °C"'),
    (5.0, "mass", "a unit is missing", 'write "5 kg"'),
    ("5", "angle", "a unit is missing", 'write "5°"'),
    ("24.5 C", "temperature", "no temperature unit", 'write "24.5 °C"'),
    ("76F", "temperature", "no temperature unit", 'write "76 °F"'),
    ("5 mm", "temperature", "found a length, needs a temperature", "5 °C"),
    ("5 °C", "mass", "found a temperature, needs a mass", "11.5 kg"),
    ("3 h", "energy", "found a duration, needs an energy", "350 Wh"),
    ("5 kW", "energy", "found a power, needs an energy", "350 Wh"),
    ("180 kg", "money", "found a mass, needs an amount of money", "180 EUR"),
    ("0.32 EUR/h", "energy_price", "found a duration, needs a price of energy", "EUR/kWh"),
    ("0.32 EUR", "energy_price", "number with EUR/kWh", "0.32 EUR/kWh"),
    ("180 EUR/kWh", "money", "number with a three-letter", "180 EUR"),
    ("180 €", "money", "three-letter currency code", "180 EUR"),
    ("$ 180", "money", "not an amount of money", "after the number"),
    ("180", "money", "three-letter currency code", "180 EUR"),
    ("3,5 kg", "mass", "decimal sign is a point", 'write "3.5 kg"'),
    ("1,200.5 kg", "mass", "thousands have no mark", "1200"),
    ("1.200,5 kg", "mass", "thousands have no mark", "1200"),
    ("1.200.5 kg", "mass", "thousands have no mark", "1200"),
    ("1 200 Wh", "energy", "not an energy", "350 Wh"),
    ("3 h 30 min", "duration", "not a duration", "3.5 h"),
    ("1/2 in", "length", "not a length", "570 mm"),
    ("5 kwh", "energy", "unit 'kwh' is not known for an energy", "350 Wh"),
    ("5 furlong", "length", "unit 'furlong' is not known", "570 mm"),
    ("5 kg kg", "mass", "unit 'kg kg' is not known", "11.5 kg"),
    ("5 kg**kg", "mass", "not known", "11.5 kg"),
    ("5 __import__('os')", "mass", "not known", "11.5 kg"),
    ("4 kg", "count", "a plain number is wanted", "leave the unit out"),
    ("nan kg", "mass", "not a mass", "11.5 kg"), ("inf kg", "mass", "not a mass", "11.5 kg"),
    ("1e999 kg", "mass", "too large", "exponent"),
    ("", "mass", "not a mass", "11.5 kg"), ("± 1 kg", "mass", "not a mass", "11.5 kg"),
    ("5 kg ± 1 K", "mass", "found a temperature, needs a mass", "11.5 kg"),
    (True, "mass", "a mass is wanted", "11.5 kg"), (["5 kg"], "mass", "a mass is wanted", "11.5"),
    (None, "mass", "a mass is wanted", "11.5 kg"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "what", "do"), REFUSED)
def test_refused_with_the_mend(text, kind, what, do):
    with pytest.raises(QuantityError) as told:
        parse(text, kind)
    assert what in told.value.what
    assert do in told.value.do
    assert told.value.found


@pytest.mark.parametrize(("text", "kind", "limit"), [
    ("0.5 K", "temperature", ErrorLimit(0.5, 0)),
    ("± 0.5 °C", "temperature", ErrorLimit(0.5, 0)),
    ("0.5 K + 1 %", "temperature", ErrorLimit(0.5, 0.01)),
    ("1 % + 0.2 W", "power", ErrorLimit(0.2, 0.01)),
    ("1 %", "power", ErrorLimit(0, 0.01)),
    ("5 Wh", "energy", ErrorLimit(5, 0)),
    # Of a humidity a percentage is in points, as data sheets mean it.
    ("3 %", "humidity", ErrorLimit(3, 0)),
    ("1.5 dB", "sound", ErrorLimit(1.5, 0)),
])  # fmt: skip
def test_limits_of_error(text, kind, limit):
    found = parse_error_limit(text, kind)
    assert found.absolute == pytest.approx(limit.absolute)
    assert found.relative == pytest.approx(limit.relative)


@pytest.mark.parametrize("text", [0.5, "0.5", "0.5 W", "1 % + 0.5", "good", None])
def test_a_limit_of_error_that_is_none(text):
    with pytest.raises(QuantityError) as told:
        parse_error_limit(text, "temperature")
    assert told.value.do


def test_a_kelvin_is_no_limit_of_a_power():
    with pytest.raises(QuantityError, match="found a temperature, needs a power"):
        parse_error_limit("1 % + 0.5 K", "power")


def test_the_error_crosses_processes():
    error = QuantityError("what", "found", "allowed", "do")
    copy = pickle.loads(pickle.dumps(error))
    assert (copy.what, copy.found, copy.allowed, copy.do) == ("what", "found", "allowed", "do")


@settings(deadline=None)
@given(st.floats(-1e9, 1e9), st.sampled_from([k for k in KINDS if KINDS[k].unit
                                               and not KINDS[k].unit.startswith("/")]))
def test_a_number_in_its_own_unit_comes_back(value, kind):
    unit = CANONICAL[kind] if CANONICAL[kind] != "-" else "%"
    scale = 0.01 if CANONICAL[kind] == "-" else 1
    found = parse(f"{value!r} {unit}", kind).value
    assert found == pytest.approx(value * scale, rel=1e-12)


@settings(deadline=None)
@given(st.text(max_size=30), st.sampled_from(sorted(KINDS)))
def test_any_text_is_read_or_refused(text, kind):
    try:
        assert parse(text, kind).text == text.strip()
    except QuantityError as error:
        assert error.what and error.do


@pytest.mark.parametrize(("text", "value"), [("0.35", 0.35), ("35 %", 0.35), (0.35, 0.35)])
def test_a_ratio_is_a_plain_number_or_a_percentage(text, value):
    assert parse(text, "ratio").value == pytest.approx(value)


def test_a_heat_capacity():
    assert parse("1.5 Wh/K", "heat_capacity").value == pytest.approx(5.4)
