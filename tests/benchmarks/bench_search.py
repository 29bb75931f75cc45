"""A hundred thousand candidate boxes with their machines, and the best of them.

``python run.py bench`` runs it.
"""

from __future__ import annotations

import numpy as np

from coldbench.design.box import Excess
from coldbench.design.candidate import Machine
from coldbench.design.compressor_unit import CompressorUnit, Law
from coldbench.design.search import candidates
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.design.wishes import Board, Wishes
from coldbench.physics.thermoelectric import module_from_sheet

TARGET = 2.0  # s
MODULE = module_from_sheet(6.4, 16.4, 68.0, 300.0)
MACHINES = (
    Machine("moved", "moved whole", "compressor", CompressorUnit(
        Law(np.log(38.0), 0.035, -0.0002, -0.008), Law(np.log(48.0), 0.006, 0.0, 0.01), 1.5),
        (0.2, 0.0, 0.0), 150.0),
    Machine("switched", "at 12 V", "thermoelectric",
            ThermoelectricUnit(MODULE, 12.0, 0.3, 0.25, auxiliary=3.0), (0.0, 0.1, 0.0), 60.0),
    Machine("steady", "up to 8 V", "thermoelectric",
            ThermoelectricUnit(MODULE, 8.0, 0.3, 0.25, auxiliary=3.0, driven="steady"),
            (0.0, 0.1, 0.0), 60.0),
)
BOARDS = tuple(Board(material, t / 1000, price=0.4 * t)
               for material in ("XPS", "PIR") for t in (20, 30, 40, 50, 60, 80))
WISHES = Wishes(32.0, 4.0, (25.0, 4.0), 25.0, (0.9, 0.5, 0.55), 4.0, 28.0, None, -2.0, 900.0,
                400.0, BOARDS, "EUR")


def test_a_hundred_thousand_candidates(benchmark):
    excess = Excess(1.4, 0.15, 1.4, 0.5, "")
    scales = np.linspace(0.5, 1.0, 13)
    found = benchmark.pedantic(candidates, args=(WISHES, MACHINES, BOARDS, excess, 0.93),
                               kwargs={"scales": scales}, rounds=5)
    median = benchmark.stats["median"]
    print(f"\n{len(found)} candidates: {median:.2f} s, target at most {TARGET:g} s")
    assert len(found) >= 100_000
    assert median <= TARGET
