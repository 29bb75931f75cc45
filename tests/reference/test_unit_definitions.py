"""Units of the trade against published definitions.

Sources: US customary units after NIST Handbook 44, appendix C (exact definitions through the
inch and the avoirdupois pound); the international table Btu, as in NIST SP 811 (2008), appendix
B.8. Values were recomputed from the definitions. What has no publication says so.
"""

from __future__ import annotations

import pytest

from coldbench.quantities import parse


@pytest.mark.parametrize(("text", "kind", "value", "within"), [
    ("12 US fl oz", "volume", 0.35488, 1e-5),  # 354.88 mL, from the gallon of 231 cubic inches
    ("1 cu ft", "volume", 28.317, 1e-3),
    ("33 qt", "volume", 33 * 231 * 16.387064e-3 / 4, 1e-9),
    ("1 Btu/h", "power", 0.29307, 1e-5),
    ("12000 Btu/h", "power", 3517, 1),  # a ton of refrigeration
    ("2.6875 in", "length", 68.3, 0.05),  # can size code 211: 2 11/16 in
    ("4.8125 in", "length", 122.2, 0.05),  # can size code 413: 4 13/16 in
    ("40 °F", "temperature", 4.44, 0.01),
    ("41 °F", "temperature", 5, 1e-9),  # the two limits that US food guidance uses
    ("0 °F", "temperature", -17.78, 0.01),
    ("1 lb", "mass", 0.45359237, 1e-12),
    ("1 kcal", "energy", 4184 / 3600, 1e-9),  # thermochemical calorie
    ("1 kWh", "energy", 3.6e6 / 3600, 1e-9),
])  # fmt: skip
def test_definitions(text, kind, value, within):
    assert parse(text, kind).value == pytest.approx(value, abs=within)


@pytest.mark.parametrize(("power", "hours", "energy"), [
    ("20.8 W", "24 h", "0.4992 kWh"),  # definition: 0.499 kWh a day
    ("20 W", "24 h", "0.48 kWh"),  # common practice, no source
    ("20 W", "4 h", "80 Wh"),  # common practice, no source
    ("70 W", "6 h", "420 Wh"),  # common practice, no source
])  # fmt: skip
def test_power_through_time_is_energy(power, hours, energy):
    through = parse(power, "power").value * parse(hours, "duration").value / 3600
    assert through == pytest.approx(parse(energy, "energy").value)


def test_a_can_of_twelve_ounces():
    """Common practice, no source: a 12 US fl oz can is a 355 mL can."""
    assert round(parse("12 fl oz", "volume").value * 1000) == 355


def test_food_wants_five_degrees_or_below():
    """Common practice, no source; US food guidance says 41 °F."""
    assert parse("41 °F", "temperature").value == pytest.approx(parse("5 °C", "temperature").value)
