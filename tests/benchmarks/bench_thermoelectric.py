"""A hundred thousand thermoelectric machines: how cold they get, and what holding takes.

``python run.py bench`` runs it.
"""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.physics.thermoelectric import module_from_sheet

COUNT = 100_000
TARGET = 1.0  # s


@pytest.mark.parametrize("driven", ["steady", "switched"])
def test_a_hundred_thousand_machines(benchmark, driven):
    rng = np.random.default_rng(20310614)
    module = module_from_sheet(rng.uniform(4, 8, COUNT), 16.0, 68.0, 300.0)
    unit = ThermoelectricUnit(
        module, rng.uniform(6, 12, COUNT), rng.uniform(0.2, 0.6, COUNT),
        rng.uniform(0.05, 0.4, COUNT), 3.0, 0.3, 0.8, driven=driven)
    leak = rng.uniform(0.3, 0.8, COUNT)

    def both() -> np.ndarray:
        unit.coldest(leak, 25.0)
        return unit.hold(6.0, 25.0, 19.0 * leak).power

    power = benchmark.pedantic(both, rounds=5)
    median = benchmark.stats["median"]
    print(f"\n{COUNT} machines, {driven}: {median:.2f} s, target at most {TARGET:g} s")
    assert np.isfinite(power).mean() > 0.3
    assert median <= TARGET
