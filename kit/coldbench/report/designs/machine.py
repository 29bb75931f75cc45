"""The present thermoelectric machine over its drive, and what its hot side is worth."""

from __future__ import annotations

import numpy as np

from coldbench.compare.bridge import strings_of
from coldbench.design.drive import DriveMap, drive_map
from coldbench.design.hot_side_gain import HotSideGain, hot_side_gain
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.figures import drive_map as drive_figure
from coldbench.figures import hot_side_gain as gain_figure
from coldbench.quantities import number, show
from coldbench.report.design_book import DesignBook
from coldbench.report.display import Heading, Table, Text

APART = 7.0  # of the ambients shown beside the footing's [K]


def machine(design: DesignBook) -> list[object]:
    """Cold, heat, COP and energy over the modules' volts; a hot side against a module more.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it; nothing is shown of another kind of machine.
    """
    present, fitted = design.present, design.fits.get(design.improve)
    if present is None or not isinstance(present.unit, ThermoelectricUnit):
        return []
    ambient, inside = design.wishes.footing
    _, leak = present.leak.at_temperatures(inside, ambient)
    elsewhere = [ambient - APART, ambient + APART]
    name = design.book.names[design.improve]
    driven = drive_map(present.unit, fitted.central, leak, ambient, inside, elsewhere)
    gained = hot_side_gain(present.unit, fitted.central, leak, ambient, inside,
                           *strings_of(present.sheet.modules))
    return [
        Heading(3, "At which volts to drive the modules"),
        *design.book.figure(drive_figure(driven, name)), _marks(driven),
        Heading(3, "A better hot side, or a module more"),
        *design.book.figure(gain_figure(gained, name)), Text(_gains(gained)),
    ]


def _marks(driven: DriveMap) -> Table:
    rows = [[one.name, number(one.volts, 1), number(one.current, 1), number(one.coldest, 1),
             number(one.heat, 1), number(one.power, 0), number(one.cop, 2),
             number(one.daily, 0) if one.daily == one.daily else "not held"]
            for one in driven.marks]
    inside, ambient = number(driven.inside, 0), number(driven.ambient, 0)
    return Table(
        ["Drive", "Volts [V]", "Current at the coldest [A]", "Coldest [°C]",
         f"Takes at {inside} °C [W]", "Draws at the coldest [W]", f"COP at {inside} °C",
         f"A day, holding {inside} °C [Wh/d]"], rows,
        caption=f"Drives at {ambient} °C ambient, middle values",
        note="Most cold, most heat and best COP are three drives. COP is net of the fan inside "
             "and over all that is drawn. A day: switched on and off at these volts; where they "
             "just hold, without a break.")


def _gains(gained: HotSideGain) -> str:
    """What the better hot side buys against the module more, in a sentence."""
    side, *others = gained.gains
    said = f"{side.what[:1].upper()}{side.what[1:]} makes it {show(*side.colder, 'K')} colder"
    for one in others:
        value, low, high = one.colder
        way = "colder" if value >= 0 else "warmer"
        ends = (abs(value), *sorted((abs(low), abs(high)))) if low * high > 0 else one.colder
        said += f"; {one.what} {show(*ends, 'K')} {way}"
    if np.isfinite(gained.crossing):
        said += (f". With a hot side above {number(gained.crossing, 2)} K/W one string more warms "
                 "the box")
    return f"{said}."
