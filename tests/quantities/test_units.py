"""Units, against the full table of pint; columns of logs."""

from __future__ import annotations

import numpy as np
import pint
import pytest

from coldbench.quantities import CANONICAL, QuantityError, convert, unit_kind
from coldbench.quantities.units import DEFINITIONS, factors

# Units of our own; newton and kelvin: building stones that no sheet holds alone.
NOT_COMPARED = {"fraction", "percent", "decibel", "newton", "kelvin"}
# The full table's plain Btu is rounded to 1055.056 J; ours is the international table's.
CALLED_THERE = {"british_thermal_unit": "international_british_thermal_unit"}
NAMES = [name for line in DEFINITIONS.strip().splitlines()
         if not (name := line.split(" = ")[0]).endswith("-") and name not in NOT_COMPARED]


@pytest.fixture(scope="module")
def full() -> pint.UnitRegistry:
    return pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize("name", NAMES)
def test_each_unit_agrees_with_the_full_table(full, name):
    """pint's default definitions, which cite CODATA, NIST SP 811 and others."""
    kind = unit_kind(name)
    unit = {"°": "degree", "Ω": "ohm"}.get(CANONICAL[kind], CANONICAL[kind])
    there = full.convert(1.0, CALLED_THERE.get(name, name), unit)
    assert factors(name, kind) == (pytest.approx(there, rel=1e-9), 0)


@pytest.mark.parametrize(("unit", "kind"), [
    ("°C", "temperature"), ("degF", "temperature"), ("K", "temperature"), ("W", "power"),
    ("kWh", "energy"), ("Wh", "energy"), ("mA", "current"), ("min", "duration"), ("%", "fraction"),
    ("°", "angle"), ("dB(A)", "sound"), ("bar", "pressure"), ("mm²", "area"), ("fl oz", "volume"),
    ("Btu/h", "power"), ("lb", "mass"), ("Ω", "resistance"), ("W·h", "energy"), ("J/s", "power"),
    ("C", None), ("F", None), ("furlong", None), ("", None), ("Ah", None),
    ("W/K", "heat_leak"), ("K/W", "heat_resistance"),
    ("W/(m·K)", "conductivity"), ("W/mK", "conductivity"), ("V/W", None),
    ("m/m", None), ("3", None), ("kWh EUR", None), ("(", None), ("EUR", None),
])  # fmt: skip
def test_what_a_unit_measures(unit, kind):
    assert unit_kind(unit) == kind


def test_columns():
    assert convert(np.array([32.0, 212.0]), "°F", "temperature") == pytest.approx([0, 100])
    assert convert(np.array([[273.15]]), "K", "temperature") == pytest.approx(np.array([[0]]))
    assert convert(np.array([0.35, np.nan]), "kWh", "energy") == pytest.approx(
        [350, np.nan], nan_ok=True)
    assert convert(np.array([1.8]), "°F", "difference") == pytest.approx([1])
    assert convert(np.array([2.0]), "°C", "temperature")[0] == 2.0  # to the last bit


def test_a_column_of_another_kind():
    with pytest.raises(QuantityError, match="found a power, needs a temperature"):
        convert(np.zeros(2), "W", "temperature")
    with pytest.raises(QuantityError, match="'C' is no temperature unit"):
        convert(np.zeros(2), "C", "temperature")


def test_the_applications_own_registry_is_not_touched():
    before = pint.get_application_registry().get()
    assert convert(np.ones(1), "kWh", "energy")[0] == pytest.approx(1000)
    assert pint.get_application_registry().get() is before
    assert "imperial_fluid_ounce" not in dir(before)
