"""A new box for the room: litres against energy, and how a moved unit meets its walls."""

from __future__ import annotations

import numpy as np

from coldbench.design.capacity_sweep import sweep
from coldbench.design.expected import DAY, expected
from coldbench.design.machines import Option
from coldbench.design.planned import FACES
from coldbench.design.search import Curve, load_heat
from coldbench.design.wishes import fits_room
from coldbench.figures import capacity_and_leak, litres_and_energy
from coldbench.quantities import number
from coldbench.report.design_book import DesignBook
from coldbench.report.designs.words import money, told
from coldbench.report.display import Cell, KeyValue, NoticeBox, Table, Text
from coldbench.sheets.campaign import PlannedBoxSheet


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
    shown = list(design.book.figure(litres_and_energy(curves, usable=design.wishes.usable)))
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


def as_drawn(design: DesignBook) -> list[object]:
    """The box that the sheet draws: what it holds, leaks and weighs, and each machine in it.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it.
    """
    asked = design.book.campaign.sheet.design
    if asked is None or asked.box is None:
        return [Text("No box is drawn: box in [design] would be worked out here.")]
    found, wishes = design.planned, design.wishes
    if found is None:
        return [NoticeBox("doubt", "The box as drawn is not worked out",
                          "Its walls are too thick for its inside: how edges and corners leak is "
                          "then not known.")]
    size = " × ".join(f"{1000 * side:.0f}" for side in found.outside)
    facts = [
        ("Walls", f"{found.material}, {_walls(asked.box)}"), ("Outside, without a machine",
                                                             f"{size} mm"),
        ("Inside", f"{number(found.inside, 1)} L, {number(found.usable, 1)} L of it usable"),
        ("Heat leak", f"{told(found.leak, 'W/K')}; by its sizes alone {told(found.walls, 'W/K')}"),
        ("Coefficient over the mean surface", told(found.coefficient, "W/(m² K)")),
        ("Board", f"{number(found.area, 2)} m² at the middle of the walls, "
                  f"{number(found.mass, 1)} kg, {money(found.price, wishes.currency)}"),
    ]
    rows = [_machine_row(design, option) for option in design.options]
    hot = f"{number(wishes.inside, 0)} °C at {number(wishes.ambient, 0)} °C"
    shown: list[object] = [KeyValue(facts)]
    if rows:
        shown.append(Table(
            ["Machine", "Fits the room?", "Coldest [°C]", f"A day, holding {hot} [Wh/d]",
             "Duty [%]"], rows, caption="Each machine in the box as drawn"))
    return shown


def _walls(sheet: PlannedBoxSheet) -> str:
    other = [f"{face} {getattr(sheet, face).text}" for face in FACES
             if getattr(sheet, face) is not None]
    return f"{sheet.wall.text}{', ' if other else ''}{', '.join(other)}"


def _machine_row(design: DesignBook, option: Option) -> list[object]:
    found, wishes = design.planned, design.wishes
    does = expected(option.unit, found.leak, wishes.ambient, wishes.inside, load_heat(wishes))
    whole = [a + b for a, b in zip(found.outside, option.machine.room, strict=True)]
    fits = {True: Cell("yes", "good"), False: Cell("no", "bad"), None: Cell("not asked", "none")}
    return [option.machine.label, fits[fits_room(whole, wishes.room)], told(does.coldest, ""),
            told(DAY * does.power, "", 0), told(100 * does.duty, "", 0)]


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
    c, option = design.candidates, design.options[int(design.candidates.machine[index])]
    name = (f"{number(float(c.litres[index]), 0)} L, {1000 * float(c.wall[index]):.0f} mm of "
            f"{design.wishes.boards[int(c.board[index])].material}")
    extra = load_heat(design.wishes)
    swept = sweep(fitted, option.unit, design.build(index), extra)
    shown = list(design.book.figure(capacity_and_leak(swept, name)))
    spare = float(np.median(design.build(index).duty))
    return [*shown, Text(
        f"Holds where the curve lies above the line. At {number(design.wishes.inside, 0)} °C and "
        f"{number(design.wishes.ambient, 0)} °C ambient it would run {number(100 * spare, 0)} % of "
        "the time; builders like to stay below 50 to 60 % on the hottest day (common practice, no "
        "source).")]
