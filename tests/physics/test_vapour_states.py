"""Cycles through measured states against those that the same machine ought to have.

Published values with their sources: ``tests/reference/vapour.csv``; solved from a group's readings
in ``tests/course/test_cycle_on_ph.py``.
"""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics.refrigerant import props
from coldbench.physics.vapour import cycle
from coldbench.physics.vapour_states import isentropic_discharge, measured_cycle

ZERO = 273.15
MADE = cycle("R600a", ZERO - 20, ZERO + 45, superheat=20.0, subcooling=5.0, efficiency=0.6)


def of_states(made, **changed):
    low, high = (float(made.states[n].pressure) for n in (0, 1))
    read = dict(zip(("suction", "discharge", "liquid"),
                    (float(state.temperature) for state in made.states[:3]), strict=True))
    return measured_cycle(made.fluid, low, high, **read | changed)


def test_readings_of_a_machine_lead_back_to_its_cycle():
    found = of_states(MADE)
    assert found.cop == pytest.approx(MADE.cop, rel=1e-9)
    for one, other in zip(found.states, MADE.states, strict=True):
        for name in ("temperature", "pressure", "enthalpy", "entropy", "density"):
            assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-6)
    work = isentropic_discharge(found) - found.states[0].enthalpy
    assert work / found.work == pytest.approx(0.6, rel=1e-6)


def test_a_reference_state_moves_no_difference():
    others = [measured_cycle("R134a", 1.4e5, 8e5, 263.15, 323.15, 299.15, reference)
              for reference in ("IIR", "ASHRAE", "NBP")]
    for found in others[1:]:
        assert found.work == pytest.approx(others[0].work)
        assert found.states[0].enthalpy != pytest.approx(others[0].states[0].enthalpy, abs=1e3)
        assert isentropic_discharge(found) - found.states[0].enthalpy == pytest.approx(
            isentropic_discharge(others[0]) - others[0].states[0].enthalpy)


def test_gas_read_too_cold_counts_as_saturated():
    boiling = float(props("T", "P", 1.4e5, "Q", 1.0, "R134a"))
    found = measured_cycle("R134a", 1.4e5, 8e5, boiling - 3, 323.15, 330.0)
    assert found.states[0].enthalpy + 0 == pytest.approx(
        measured_cycle("R134a", 1.4e5, 8e5, boiling, 323.15, 299.15).states[0].enthalpy)
    condensing = float(props("T", "P", 8e5, "Q", 0.0, "R134a"))
    assert found.states[2].temperature == pytest.approx(condensing)


def test_better_than_isentropic_is_told_not_refused():
    """A discharge pipe read far from the shell is too cold: the readings stand all the same."""
    cool = float(MADE.states[1].temperature) - 45
    found = of_states(MADE, discharge=cool)
    assert (isentropic_discharge(found) - found.states[0].enthalpy) / found.work > 1


def test_arrays_and_refusals():
    found = measured_cycle("R134a", [1.4e5, 1.5e5], 8e5, 263.15, 323.15, 299.15)
    alone = [measured_cycle("R134a", p, 8e5, 263.15, 323.15, 299.15) for p in (1.4e5, 1.5e5)]
    assert found.cop == pytest.approx(np.array([float(one.cop) for one in alone]))
    with pytest.raises(ValueError, match="not above the low one"):
        measured_cycle("R134a", 8e5, 1.4e5, 263.15, 323.15, 299.15)
