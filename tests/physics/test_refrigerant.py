"""Refrigerants: named reference states, shapes, unknown names."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from coldbench.physics.refrigerant import (
    REFERENCES,
    critical_temperature,
    props,
    reference_state,
    saturation_temperature,
    triple_temperature,
)

FLUIDS = ("R134a", "R600a", "R290")


@pytest.mark.parametrize("fluid", FLUIDS)
@pytest.mark.parametrize(("name", "first", "at", "enthalpy", "entropy"), [
    ("IIR", "T", 273.15, 200e3, 1e3),
    ("ASHRAE", "T", 233.15, 0.0, 0.0),
    ("NBP", "P", 101325.0, 0.0, 0.0),
])  # fmt: skip
def test_reference_states(fluid, name, first, at, enthalpy, entropy):
    """By their definitions, which the docstring's list gives."""
    zero = reference_state(fluid, name)
    h, s = (PropsSI(wanted, first, at, "Q", 0, fluid) for wanted in "HS")
    assert h - zero[0] == pytest.approx(enthalpy, abs=1e-6)
    assert s - zero[1] == pytest.approx(entropy, abs=1e-6)


def test_an_unknown_reference_is_refused():
    with pytest.raises(ValueError, match="'mine'; there are IIR, ASHRAE, NBP"):
        reference_state("R134a", "mine")
    assert len(REFERENCES) == 3


@pytest.mark.parametrize("fluid", FLUIDS)
def test_boiling_there_and_back(fluid):
    at = np.array([[253.15, 273.15], [293.15, 313.15]])
    pressure = props("P", "T", at, "Q", 1.0, fluid)
    assert pressure.shape == at.shape
    assert saturation_temperature(fluid, pressure) == pytest.approx(at, abs=1e-6)
    assert np.ndim(saturation_temperature(fluid, 2e5)) == 0


def test_an_unknown_refrigerant_is_refused():
    assert critical_temperature("R600a") == pytest.approx(407.8, abs=0.1)
    with pytest.raises(ValueError, match="no refrigerant 'R999'; try R134a"):
        critical_temperature("R999")


def test_one_state_of_many_that_is_none_is_refused():
    with pytest.raises(ValueError, match="R600a has no P at T = 500, Q = 1"):
        props("P", "T", np.array([263.15, 500.0]), "Q", 1.0, "R600a")


def test_triple_points_lie_below_every_cooler():
    assert all(triple_temperature(fluid) < 200 for fluid in FLUIDS)
