"""One rule of rounding: two figures on the uncertainty, the value to match."""

from __future__ import annotations

import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coldbench.quantities import number, show, two_figures

SHOWN = [
    # value, low, high, unit
    ((3.917, 3.468, 4.366, "°C"), "3.92 ± 0.45 °C"),
    ((-18.04, -18.6, -17.5, "°C"), "−18.04 ± 0.56 °C"),
    ((5123, 4670, 5570, "Wh/d"), "5120 ± 450 Wh/d"),
    ((0.5, 0.4, 0.6, "-"), "0.50 ± 0.10"),
    ((52.0, 37.0, 68.0, "W"), "52 ± 16 W"),
    # ends that lie unevenly about the value
    ((6.71, 6.43, 7.09, "h"), "6.71 h (6.43 to 7.09)"),
    # an end that is not zero does not look it
    ((-2.7, -6.7, -0.04, "h"), "−2.70 h (−6.70 to −0.04)"),
    # rounding the width up gains a figure: 0.0996 is 0.10
    ((3, 2.9004, 3.0996, "K"), "3.00 ± 0.10 K"),
    # an interval of zero leaves the value as it was given
    ((180, 180, 180, "EUR"), "180 EUR"), ((189.99, 189.99, 189.99, "EUR"), "189.99 EUR"),
    ((0, 0, 0, "W"), "0 W"), ((1 / 3, 1 / 3, 1 / 3, ""), "0.333"),
    # open ends
    ((6.2, 5.9, None, "h"), "6.20 h (≥ 5.90)"), ((6.2, None, 6.5, "h"), "6.20 h (≤ 6.50)"),
    ((12.1, None, None, "L"), "12.1 L"), ((0.0, None, None, "L"), "0 L"),
    # bounds, rounded outwards
    ((None, 2.0, None, "h"), "≥ 2.0 h"), ((None, 1.96, None, "h"), "≥ 1.9 h"),
    ((None, 26.04, None, "h"), "≥ 26 h"), ((None, None, 7.12, "°C"), "≤ 7.2 °C"),
    ((None, None, -18.3, "°C"), "≤ −18 °C"), ((None, 6.2, 9.4, "h"), "between 6.2 h and 9.4 h"),
    ((None, 6.21, 9.39, "h"), "between 6.2 h and 9.4 h"), ((None, None, None, "h"), "no value"),
    # very small, very large
    ((1e-9, 0.5e-9, 1.5e-9, "W"), "0.00000000100 ± 0.00000000050 W"),
    ((1.23456e9, 1.2e9, 1.3e9, "W"), "1235000000 W (1200000000 to 1300000000)"),
    # no zero with a minus
    ((-0.0, -0.5, 0.5, "K"), "0.00 ± 0.50 K"),
    ((-0.001, -1.0, 1.0, "K"), "0.0 ± 1.0 K"),
    ((45.0, 44.0, 46.0, "°"), "45.0 ± 1.0°"),
]  # fmt: skip


@pytest.mark.parametrize(("finding", "text"), SHOWN)
def test_shown(finding, text):
    assert show(*finding) == text


@pytest.mark.parametrize(("value", "decimals", "text"), [
    (-18.0, 1, "−18.0"), (-0.04, 1, "0.0"), (5123, -1, "5120"), (-5123, -2, "−5100"),
    (-4, -1, "0"), (0.5, 0, "0"), (1e-7, 3, "0.000"),
])  # fmt: skip
def test_numbers(value, decimals, text):
    assert number(value, decimals) == text


def numbers_in(text: str) -> list[float]:
    return [float(one.replace("−", "-")) for one in re.findall(r"−?[0-9.]+", text)]


@settings(deadline=None)
@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e5), st.floats(1e-6, 1e5))
def test_what_is_shown_is_close_and_keeps_two_figures(value, below, above):
    low, high = value - below, value + above
    half = (high - low) / 2
    assume(half > 1e-9 * abs(value) and low < value < high)
    decimals = two_figures(value, low, high)
    # Two figures on half the width: it is 10 to 99.5 of the last digit shown, or just below 100.
    assert 9.94 < half * 10.0**decimals < 99.51
    text = show(value, low, high, "W")
    true_numbers = (value, max(below, above)) if "±" in text else (value, low, high)
    for shown, true in zip(numbers_in(text), true_numbers, strict=True):
        assert abs(shown - true) <= 0.5000001 * 10.0**-decimals + 1e-9 * abs(true)


@settings(deadline=None)
@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e5))
def test_bounds_stay_true(low, width):
    high = low + width
    assume(high > low)
    shown = numbers_in(show(None, low, high, "h"))
    dust = 1e-9 * (abs(low) + abs(high))
    assert shown[0] <= low + dust and high - dust <= shown[1]
