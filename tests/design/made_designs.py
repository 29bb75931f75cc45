"""Machines, boards and wishes for tests of the search, in single numbers; all invented."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from coldbench.design.box import Excess
from coldbench.design.candidate import Machine, Part
from coldbench.design.compressor_unit import CompressorUnit, Law
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.design.wishes import Board, Wishes
from coldbench.physics.thermoelectric import module_from_sheet

MODULE = module_from_sheet(6.4, 16.4, 68.0, 300.0)


def build():
    """What can be had: ``machines``, ``boards``, ``excess``, and ``wishes(**changes)``."""
    compressor = CompressorUnit(
        taken=Law(np.log(38.0), 0.035, -0.0002, -0.008), drawn=Law(np.log(48.0), 0.006, 0.0, 0.01),
        idle=1.5, starts_taken=0.2, starts_drawn=0.03)
    switched = ThermoelectricUnit(MODULE, 12.0, 0.3, 0.25, auxiliary=3.0, idle=0.3)
    steady = ThermoelectricUnit(MODULE, 8.0, 0.3, 0.25, auxiliary=3.0, driven="steady")
    machines = (
        Machine("moved", "compressor unit, moved whole", "compressor", compressor, (0.2, 0, 0),
                150.0, (Part("Compressor unit, moved whole", price=150.0),), lowest=-30.0),
        Machine("twelve", "one module at 12 V", "thermoelectric", switched, (0, 0.12, 0), 60.0),
        Machine("eight", "one module, up to 8 V", "thermoelectric", steady, (0, 0.12, 0), 70.0),
    )
    boards = tuple(Board(material, t / 1000, None, price * t)
                   for material, price in (("XPS", 0.3), ("PIR", 0.45))
                   for t in (20, 30, 40, 50, 60, 80))

    def wishes(**changes):
        usual = dict(
            ambient=32.0, inside=4.0, footing=(25.0, 4.0), usable=25.0, room=(0.9, 0.45, 0.5),
            load=4.0, load_start=28.0, night=None, coldest=None, energy=None, price=None,
            boards=boards, currency="EUR")
        return Wishes(**{**usual, **changes})

    return SimpleNamespace(machines=machines, boards=boards, wishes=wishes,
                           excess=Excess(1.4, 0.15, 1.4, 0.5, ""))
