"""Modules: data sheets there and back, the first law, kelvin only."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.thermoelectric import (
    Module,
    checked_kelvin,
    figure_of_merit,
    module_from_sheet,
    operating_point,
    sheet_of,
)

MODULE = module_from_sheet(6.0, 15.4, 68.0, 300.0)
kelvin = st.floats(250.0, 350.0)
current = st.floats(0.0, 10.0)


@given(
    i_max=st.floats(1.0, 30.0), v_max=st.floats(1.0, 30.0), dt_max=st.floats(40.0, 80.0),
    t_hot=st.floats(290.0, 330.0),
)
def test_a_sheet_there_and_back(i_max, v_max, dt_max, t_hot):
    sheet = sheet_of(module_from_sheet(i_max, v_max, dt_max, t_hot), t_hot)
    assert sheet.i_max == pytest.approx(i_max)
    assert sheet.v_max == pytest.approx(v_max)
    assert sheet.dt_max == pytest.approx(dt_max)


@given(
    seebeck=st.floats(0.01, 0.1), resistance=st.floats(0.5, 5.0), conductance=st.floats(0.1, 2.0)
)
def test_a_module_there_and_back(seebeck, resistance, conductance):
    sheet = sheet_of(Module(seebeck, resistance, conductance), 300.0)
    back = module_from_sheet(sheet.i_max, sheet.v_max, sheet.dt_max, 300.0)
    assert back.seebeck == pytest.approx(seebeck)
    assert back.resistance == pytest.approx(resistance)
    assert back.conductance == pytest.approx(conductance, rel=1e-6)


def test_the_sheets_ends_are_operating_points():
    sheet = sheet_of(MODULE, 300.0)
    coldest = operating_point(MODULE, sheet.i_max, 300.0 - sheet.dt_max, 300.0)
    assert coldest.cooling == pytest.approx(0.0, abs=1e-9)
    assert coldest.voltage == pytest.approx(float(sheet.v_max))
    assert operating_point(MODULE, sheet.i_max, 300.0, 300.0).cooling == pytest.approx(
        float(sheet.q_max)
    )


@given(current=current, cold=kelvin, hot=kelvin)
def test_the_first_law_holds(current, cold, hot):
    point = operating_point(MODULE, current, cold, hot)
    assert point.rejected == pytest.approx(float(point.cooling + point.power), abs=1e-9)
    assert point.power == pytest.approx(float(point.voltage * current), abs=1e-9)


@given(current=st.floats(0.1, 10.0), cold=kelvin, hot=kelvin)
def test_the_second_law_holds(current, cold, hot):
    """Entropy given off at the hot face is never less than that taken up at the cold one."""
    point = operating_point(MODULE, current, cold, hot)
    assert point.rejected / hot - point.cooling / cold > -1e-12


def test_without_current_it_conducts_and_has_no_cop():
    point = operating_point(MODULE, 0.0, 280.0, 300.0)
    assert point.cooling == pytest.approx(-20 * MODULE.conductance)
    assert point.voltage == pytest.approx(20 * MODULE.seebeck)
    assert np.isnan(point.cop)


def test_the_figure_of_merit_is_that_of_common_modules():
    assert figure_of_merit(MODULE) == pytest.approx(0.0025, abs=0.0001)


def test_arrays_of_currents_and_faces():
    point = operating_point(MODULE, np.array([[1.0], [3.0]]), 278.15, np.array([298.15, 318.15]))
    assert point.cop.shape == (2, 2)
    assert point.cooling[1, 1] == operating_point(MODULE, 3.0, 278.15, 318.15).cooling


@pytest.mark.parametrize("call", [
    lambda: checked_kelvin([300.0, 25.0]),
    lambda: operating_point(MODULE, 3.0, 5.0, 45.0),
    lambda: module_from_sheet(6.0, 15.4, 68.0, 27.0),
    lambda: sheet_of(MODULE, 27.0),
])  # fmt: skip
def test_degrees_celsius_are_refused(call):
    with pytest.raises(ValueError, match="temperatures are in kelvin"):
        call()
