"""Vapour-compression cycles against textbooks and rating points (``vapour.csv``).

Tolerances are the rows' own: textbook tables and a modern equation of state differ by up to 0.7 %
in power and 0.6 % in COP.
"""

from __future__ import annotations

import pytest

from coldbench.physics.refrigerant import props, saturation_temperature
from coldbench.physics.vapour import carnot_cop, cycle, isentropic_efficiency

ZERO = 273.15


def between_pressures(low: float, high: float, **more):
    return cycle(
        "R134a", saturation_temperature("R134a", low), saturation_temperature("R134a", high), **more
    )


def test_the_ideal_cycle_of_the_textbook(published):
    values = published("vapour")
    ideal = between_pressures(0.14e6, 0.8e6)
    assert ideal.cop == pytest.approx(values["ideal_cop"], abs=0.01)
    assert 0.05e-3 * ideal.cooling == pytest.approx(values["ideal_cooling"], abs=0.02)
    assert 0.05e-3 * ideal.work == pytest.approx(values["ideal_power"], abs=0.01)


def test_the_real_cycle_of_the_textbook(published):
    """The book's liquid stands at 0.72 MPa; its enthalpy hardly depends on the pressure."""
    values = published("vapour")
    suction, discharge = (0.14e6, ZERO - 10), (0.8e6, ZERO + 50)
    efficiency = isentropic_efficiency("R134a", suction, discharge)
    assert efficiency == pytest.approx(values["real_efficiency"], abs=0.003)
    boiling, condensing = (saturation_temperature("R134a", p) for p in (0.14e6, 0.8e6))
    real = cycle(
        "R134a", boiling, condensing, superheat=ZERO - 10 - boiling,
        subcooling=condensing - ZERO - 26, efficiency=efficiency,
    )
    assert real.states[1].temperature == pytest.approx(ZERO + 50, abs=1e-6)
    assert real.cop == pytest.approx(values["real_cop"], abs=0.01)


def test_other_ideal_cycles(published):
    """The book's enthalpies are its tables' own, from the IIR reference state: within 0.3 %."""
    values = published("vapour")
    nine = cycle("R134a", ZERO - 10, saturation_temperature("R134a", 0.9e6))
    assert nine.cop == pytest.approx(values["nine_bar_cop"], abs=0.01)
    five = cycle("R134a", ZERO - 5, ZERO + 35, reference="IIR")
    assert five.cop == pytest.approx(values["five_cop"], abs=0.06)
    suction, _, liquid, _ = five.states
    assert suction.enthalpy / 1000 == pytest.approx(values["five_suction"], rel=0.003)
    assert liquid.enthalpy / 1000 == pytest.approx(values["five_liquid"], rel=0.003)


@pytest.mark.parametrize("fluid", ["R600a", "R134a"])
def test_rating_points(fluid, published):
    rated = cycle(fluid, ZERO - 23.3, ZERO + 54.4, superheat=32.2 + 23.3, subcooling=54.4 - 32.2)
    assert rated.cop == pytest.approx(published("vapour")[f"rated_{fluid.lower()}"], rel=0.005)


def test_saturated_isobutane_compresses_into_the_dome(published):
    wet = published("vapour")["wet_r600a"]
    s = props("S", "T", ZERO - 10, "Q", 1.0, "R600a")
    p = props("P", "T", ZERO + 40, "Q", 1.0, "R600a")
    assert props("Q", "P", p, "S", s, "R600a") == pytest.approx(wet, abs=0.003)
    with pytest.raises(ValueError, match=rf"ends inside the dome \(quality {wet}\)"):
        cycle("R600a", ZERO - 10, ZERO + 40)


def test_carnot(published):
    values = published("vapour")
    assert carnot_cop(ZERO, ZERO + 30) == pytest.approx(values["carnot_zero"], abs=0.05)
    assert carnot_cop(ZERO - 5, ZERO + 35) == pytest.approx(values["carnot_five"], abs=0.05)
    assert carnot_cop(ZERO + 4, ZERO + 32) == pytest.approx(values["carnot_fridge"], abs=0.001)
    assert carnot_cop(ZERO - 18, ZERO + 32) == pytest.approx(values["carnot_freezer"], abs=0.001)
