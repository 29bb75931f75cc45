"""Lines of the log p–h chart: the dome's top, isotherms through it and past it."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from coldbench.physics.refrigerant import critical_temperature, props
from coldbench.physics.vapour import cycle
from coldbench.physics.vapour_chart import dome, isotherm

FLUIDS = ("R134a", "R600a", "R290")


@pytest.mark.parametrize("fluid", FLUIDS)
def test_the_dome_goes_up_and_down_again(fluid):
    line = dome(fluid, 233.15)
    top = line.pressure.argmax()
    assert line.pressure[top] == pytest.approx(PropsSI("pcrit", fluid))
    assert np.all(np.diff(line.pressure[: top + 1]) > 0)
    assert np.all(np.diff(line.pressure[top:]) < 0)
    assert np.all(np.diff(line.enthalpy[: top + 1]) > 0)
    # No tear at the top: the last points of both sides meet there.
    assert np.abs(np.diff(line.enthalpy)).max() < 0.1 * np.ptp(line.enthalpy)


def test_a_saturated_cycle_lies_on_the_dome():
    ideal = cycle("R134a", 253.15, 313.15)
    line = dome("R134a", 253.15, points=400)
    top = line.pressure.argmax()
    liquid = np.interp(ideal.states[2].pressure, line.pressure[: top + 1], line.enthalpy[: top + 1])
    assert ideal.states[2].enthalpy == pytest.approx(liquid, rel=1e-3)
    assert ideal.states[0].enthalpy == pytest.approx(line.enthalpy[-1])


@pytest.mark.parametrize("fluid", FLUIDS)
def test_an_isotherm_is_level_inside_the_dome(fluid):
    line = isotherm(fluid, 293.15, 5e4, 3e6)
    boiling = float(props("P", "T", 293.15, "Q", 1.0, fluid))
    level = np.isclose(line.pressure, boiling, rtol=1e-9)
    assert level.sum() == 2
    across = np.ptp(line.enthalpy[level])
    liquid, vapour = (float(props("H", "T", 293.15, "Q", q, fluid)) for q in (0.0, 1.0))
    assert across == pytest.approx(vapour - liquid)
    assert np.all(np.diff(line.pressure) <= 0)
    assert (line.pressure[0], line.pressure[-1]) == pytest.approx((3e6, 5e4))


@pytest.mark.parametrize(("lowest", "highest"), [(5e4, 2e5), (1e6, 3e6)])
def test_an_isotherm_on_one_side_of_the_dome(lowest, highest):
    line = isotherm("R134a", 293.15, lowest, highest)
    assert (line.pressure[0], line.pressure[-1]) == pytest.approx((highest, lowest))
    assert np.ptp(line.enthalpy) < 2e4


def test_an_isotherm_above_the_critical_point_passes_the_dome():
    t = critical_temperature("R134a") + 10
    line = isotherm("R134a", t, 1e5, 5e6, reference="ASHRAE")
    assert np.all(np.diff(line.enthalpy) > 0)
    zero = PropsSI("H", "T", 233.15, "Q", 0, "R134a")
    assert line.enthalpy[-1] == pytest.approx(PropsSI("H", "T", t, "P", 1e5, "R134a") - zero)


def test_no_dome_above_the_critical_point():
    with pytest.raises(ValueError, match="no dome from 380 K"):
        dome("R134a", 380.0)
