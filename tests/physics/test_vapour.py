"""Cycles: the first and second law, what helps and what harms, what is refused."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.physics.refrigerant import props, saturation_temperature
from coldbench.physics.vapour import carnot_cop, cycle, isentropic_efficiency

fluid = st.sampled_from(["R134a", "R600a", "R290"])
evaporating = st.floats(243.15, 278.15)
condensing = st.floats(298.15, 328.15)
FEW = settings(max_examples=25)


@FEW
@given(fluid=fluid, low=evaporating, high=condensing, superheat=st.floats(15.0, 40.0),
       subcooling=st.floats(0.0, 15.0), efficiency=st.floats(0.4, 1.0))
def test_laws_of_every_cycle(fluid, low, high, superheat, subcooling, efficiency):
    found = cycle(fluid, low, high, superheat=superheat, subcooling=subcooling,
                  efficiency=efficiency)
    one, two, three, four = found.states
    assert found.rejected == pytest.approx(float(found.cooling + found.work))
    assert found.cop == pytest.approx(float(found.cooling / found.work))
    assert found.cop < carnot_cop(low, high)
    assert four.enthalpy == pytest.approx(float(three.enthalpy))
    assert two.entropy >= one.entropy - 1e-6
    assert (one.pressure, two.pressure) == (four.pressure, three.pressure)
    assert one.temperature == pytest.approx(low + superheat, abs=1e-6)
    assert three.temperature == pytest.approx(high - subcooling, abs=1e-6)
    assert four.temperature == pytest.approx(low, abs=1e-6)
    assert found.volumetric == pytest.approx(float(found.cooling * one.density))
    measured = isentropic_efficiency(
        fluid, (one.pressure, one.temperature), (two.pressure, two.temperature)
    )
    assert measured == pytest.approx(efficiency, rel=1e-6)


@FEW
@given(fluid=fluid, low=evaporating, high=condensing)
def test_what_helps_and_what_harms(fluid, low, high):
    def cop(low=low, high=high, **more):
        return cycle(fluid, low, high, superheat=20.0, **more).cop

    assert cop(low=low + 3) > cop() > cop(high=high + 3)
    assert cop(subcooling=5.0) > cop() > cop(efficiency=0.7)
    assert cop(efficiency=0.7) == pytest.approx(0.7 * float(cop()))


def test_isentropic_means_the_same_entropy():
    one, two, _, _ = cycle("R290", 263.15, 313.15, superheat=10.0).states
    assert two.entropy == pytest.approx(float(one.entropy))


def test_references_move_all_states_alike():
    cycles = [cycle("R600a", 263.15, 313.15, superheat=20.0, reference=name)
              for name in ("IIR", "ASHRAE", "NBP")]
    for other in cycles[1:]:
        assert other.cop == pytest.approx(float(cycles[0].cop))
        shifts = [float(a.enthalpy - b.enthalpy)
                  for a, b in zip(other.states, cycles[0].states, strict=True)]
        assert shifts == pytest.approx([shifts[0]] * 4)
        assert abs(shifts[0]) > 1e4


def test_arrays_of_cycles():
    low, superheat = np.array([[253.15], [263.15]]), np.array([0.0, 10.0, 20.0])
    many = cycle("R134a", low, 313.15, superheat=superheat)
    assert many.cop.shape == (2, 3)
    alone = cycle("R134a", 263.15, 313.15, superheat=20.0)
    assert many.cop[1, 2] == pytest.approx(float(alone.cop))
    assert many.states[1].temperature.shape == (2, 3)


def test_saturation_is_met_from_both_sides():
    """A superheat so slight that the library takes it for saturation gives the same cycle."""
    exact, near, off = (cycle("R134a", 263.15, 313.15, superheat=dt, subcooling=dt).cop
                        for dt in (0.0, 1e-4, 0.01))
    assert near == exact
    assert off == pytest.approx(float(exact), rel=1e-3)


@pytest.mark.parametrize(("values", "told"), [
    (dict(superheat=-2.0), "starts inside the dome: superheat -2 K"),
    (dict(subcooling=-1.0), "throttle gets vapour"),
    (dict(subcooling=60.0), "colder than the evaporator"),
    (dict(efficiency=0.0), "above 0 and at most 1"),
    (dict(efficiency=1.1), "above 0 and at most 1"),
    (dict(condensing=263.15), "not below the condensing"),
    (dict(condensing=375.0), "R134a is critical at 374.2 K"),
    (dict(evaporating=np.array([100.0, 263.15]), fluid="R600a"), "R600a is solid at 100.0 K"),
    (dict(evaporating=np.nan), "R134a has no|not a valid number"),
    (dict(fluid="R407C"), "boils over"),
    (dict(fluid="R999"), "no refrigerant"),
    (dict(reference="mine"), "no reference state"),
])  # fmt: skip
def test_what_is_no_cycle_is_refused(values, told):
    usual = dict(fluid="R134a", evaporating=263.15, condensing=313.15)
    with pytest.raises(ValueError, match=told):
        cycle(**usual | values)


def test_one_wet_compression_of_many_is_refused():
    with pytest.raises(ValueError, match="ends inside the dome"):
        cycle("R600a", 263.15, 313.15, superheat=np.array([30.0, 0.0]))
    assert cycle("R600a", 263.15, 313.15, superheat=np.array([30.0, 15.0])).cop.size == 2


def test_a_lossy_compression_can_leave_the_dome_behind():
    """Isobutane from saturation: losses heat it; what counts is where it ends."""
    found = cycle("R600a", 263.15, 313.15, efficiency=0.6)
    high = props("H", "T", 313.15, "Q", 1.0, "R600a")
    low = props("H", "T", 263.15, "Q", 1.0, "R600a")
    discharge = found.states[1].enthalpy - found.states[0].enthalpy
    assert discharge > high - low


def test_carnot_has_no_end_without_a_difference():
    assert np.isinf(carnot_cop(300.0, 300.0))
    assert carnot_cop([280.0, 290.0], 300.0) == pytest.approx([14.0, 29.0])


def test_saturation_of_the_textbooks_pressures():
    assert saturation_temperature("R134a", [0.14e6, 0.8e6]) == pytest.approx(
        [254.39, 304.48], abs=0.02
    )


def test_the_library_is_loaded_only_when_asked():
    script = "import sys, coldbench.physics.vapour_chart; print('CoolProp' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"
