"""A new box for the room: litres against energy, and how a moved unit meets its walls."""

from __future__ import annotations

import numpy as np

from coldbench.design.search import Curve
from coldbench.figures import capacity_and_leak, litres_and_energy
from coldbench.quantities import number
from coldbench.report.design_book import DesignBook
from coldbench.report.display import NoticeBox, Text


def litres(design: DesignBook) -> list[object]:
    """Usable litres against daily energy as the wall of the largest box gets thicker.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it.
    """
    if design.wishes.room is None:
        return [Text("Not asked: needs [space] in campaign.toml.")]
    if not design.options:
        return [Text("Needs a machine that could be fitted.")]
    curves = design.curves
    shown = list(design.book.figure(litres_and_energy(curves)))
    return [*shown, *(Text(said) for one in curves if (said := _knee(one)))]


def _knee(curve: Curve) -> str:
    if curve.knee is None:
        return ""
    n = curve.knee
    text = (f"{curve.board}, {curve.machine}: the knee lies at {1000 * curve.wall[n]:.0f} mm, "
            f"{number(curve.litres[n], 0)} L and {number(curve.energy[n], 0)} Wh/d; beyond it "
            "litres are given for little energy.")
    if curve.thriftiest is not None and curve.thriftiest != n:
        m = curve.thriftiest
        text += (f" Least energy for each litre at {1000 * curve.wall[m]:.0f} mm, "
                 f"{number(curve.litres[m], 0)} L.")
    return text


def moved(design: DesignBook) -> list[object]:
    """Running capacity of the unit against the walls of the roomiest box that takes it."""
    fitted = design.fits.get(design.donor)
    if fitted is None:
        return [Text("No cooler is named whose unit could move: donor in [design].")]
    if fitted.unit is None:
        return [NoticeBox("doubt", "The unit's capacity is not known",
                          f"{design.book.names[design.donor]} {fitted.refused}.")]
    index = design.takes_unit
    if index is None:
        return [Text("No box in the room takes the unit.")]
    c = design.candidates
    name = (f"{number(float(c.litres[index]), 0)} L, {1000 * float(c.wall[index]):.0f} mm of "
            f"{design.wishes.boards[int(c.board[index])].material}")
    leak = design.leak(index)
    shown = list(design.book.figure(capacity_and_leak(
        design.options[int(c.machine[index])].unit, leak, design.wishes.inside,
        design.wishes.ambient, fitted.seen, style=design.book.styles[design.donor], name=name)))
    spare = float(np.median(design.build(index).duty))
    return [*shown, Text(
        f"Holds where the curve lies above the line. At {number(design.wishes.inside, 0)} °C and "
        f"{number(design.wishes.ambient, 0)} °C ambient it would run {number(100 * spare, 0)} % of "
        "the time; builders like to stay below 50 to 60 % on the hottest day (common practice, no "
        "source).")]
