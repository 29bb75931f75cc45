"""US customary units beside SI: every number converted once, none twice, none wrongly."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.quantities import us


@pytest.fixture(autouse=True)
def american():
    us.use("us")
    yield
    us.use("si")


@pytest.mark.parametrize(("text", "shown"), [
    ("coldest 7.8 °C", "coldest 7.8 °C (46.0 °F)"),
    ("−18 °C", "−18 °C (0 °F)"),
    ("−0.02 °C", "−0.02 °C (31.96 °F)"),
    ("limit of ±0.5 °C", "limit of ±0.5 °C (±0.9 °F)"),
    ("give or take ± 2 K", "give or take ± 2 K (± 4 °F)"),
    ("differ by 0.30 K", "differ by 0.30 K (0.54 °F)"),
    ("7.81\u00a0±\u00a00.13\u00a0°C", "7.81\u00a0±\u00a00.13\u00a0°C (46.06 ± 0.23 °F)"),
    ("2.491 ± 0.080 kg/d", "2.491 ± 0.080 kg/d (5.49 ± 0.18 lb/d)"),
    ("26.16 ± 0.79 K", "26.16 ± 0.79 K (47.1 ± 1.4 °F)"),
    ("2 to 4 °C", "2 to 4 °C (36 to 39 °F)"),
    ("10 mm spare", "10 mm (0.4 in) spare"),
    ("620 × 420 × 480 mm", "620 × 420 × 480 mm (24.4 × 16.5 × 18.9 in)"),
    ("1.32 kg", "1.32 kg (2.91 lb)"),
    ("2.5 kg/d", "2.5 kg/d (5.5 lb/d)"),
])
def test_numbers_gain_the_other_unit(text, shown):
    assert us.beside(text) == shown
    assert us.beside(shown) == shown


@pytest.mark.parametrize("text", [
    "0.437 W/K", "0.008 K/h", "2.5 mm²", "4.19 kJ/(kg·K)", "14.80 EUR/L", "14.2 Wh/(d·L)",
    "R600a, 28 g", "chest-4c", "12 V", "23.9 h",
])
def test_other_units_are_left_alone(text):
    assert us.beside(text) == text


@given(st.floats(-40, 60).map(lambda x: round(x, 2)), st.sampled_from(sorted(us.OTHER)))
def test_a_conversion_can_be_undone(value, unit):
    size = us.OTHER[unit][1]
    back = (us.convert(value, unit) - (32.0 if unit == "°C" else 0.0)) / size
    assert back == pytest.approx(value, abs=1e-9)


def test_published_conversions():
    """NIST SP 811, appendix B (from memory)."""
    assert us.convert(0.0, "°C") == 32 and us.convert(100.0, "°C") == 212
    assert us.convert(25.4, "mm") == pytest.approx(1)
    assert us.convert(0.45359237, "kg") == pytest.approx(1, rel=1e-7)
    assert us.convert(0.946352946, "L") == pytest.approx(1, rel=1e-7)


def test_axes_have_both_and_columns_the_other():
    label, tick = us.axis("Air temperature [°C]")
    assert label == "Air temperature [°C (°F)]" and tick(-20.0) == "−20 (−4)"
    assert us.axis("Mean power [W]") == ("Mean power [W]", None)
    heads, rows = us.columns(["Run 1", "Load [kg]"], [["a 2", "1.32 ± 0.02"], ["b", "none"]])
    assert heads == ["Run 1", "Load [lb]"]
    assert rows == [["a 2", "2.91 ± 0.04"], ["b", "none"]]


def test_si_changes_nothing():
    us.use("si")
    assert us.beside("4 °C") == us.instead("4 °C") == "4 °C"
    assert us.axis("Air [°C]") == ("Air [°C]", None)
    with pytest.raises(ValueError, match="si or us"):
        us.use("metric")
