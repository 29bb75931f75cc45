"""Lumped cooling against textbook examples (``lumped.csv``)."""

from __future__ import annotations

import pytest

from coldbench.physics.cooling import biot_number, lumped_time_constant, time_to_reach

BEAD = dict(film=400.0, density=8500.0, specific_heat=400.0)
BEAD_CONDUCTIVITY = 20.0  # of the same example, from memory; it decides nothing but the gate


def test_a_bead_of_one_second(published):
    diameter = published("lumped")["bead_diameter"]
    one = lumped_time_constant(length=diameter / 6, conductivity=BEAD_CONDUCTIVITY, **BEAD)
    assert one == pytest.approx(1.0, rel=0.002)


def test_the_bead_warms_in_gas(published):
    time = time_to_reach(25.0, 200.0, 199.0, 1.0)
    assert time == pytest.approx(published("lumped")["bead_time"], abs=0.05)


def test_a_junction_follows_a_step(published):
    tau = lumped_time_constant(
        film=210.0, length=0.001 / 6, conductivity=35.0, density=8500.0, specific_heat=320.0
    )
    assert time_to_reach(0.0, 1.0, 0.99, tau) == pytest.approx(
        published("lumped")["junction_time"], abs=0.1
    )


def test_an_apple_is_not_lumped(published):
    apple = dict(film=10.0, length=0.10 / 6, conductivity=0.6)
    assert biot_number(**apple) == pytest.approx(published("lumped")["apple_biot"], abs=0.001)
    with pytest.raises(ValueError, match=r"not lumped: Biot number 0\.28 exceeds 0\.1"):
        lumped_time_constant(**apple, density=840.0, specific_heat=3600.0)
