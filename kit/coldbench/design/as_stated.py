"""A new design as its own sheet states it, with the measured parts of the cooler it came from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.bridge import array_of_sheet
from coldbench.compare.geometry import foam_of
from coldbench.compare.tape import sides_of, taped, taped_sides
from coldbench.design.box import drawn_walls, excess_of, rim_of
from coldbench.design.compressor_unit import CompressorUnit
from coldbench.design.expected import Unit
from coldbench.design.fitted import Fitted
from coldbench.design.limits import DESIGN
from coldbench.design.moved import in_new_box
from coldbench.design.proposals import regulator, with_hot_side
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.design.wishes import Board, wishes_of
from coldbench.findings import Finding
from coldbench.physics.box import INSIDE_LEAST, even_box
from coldbench.physics.materials import FOAMS
from coldbench.physics.thermoelectric import Module
from coldbench.sheets import Campaign

KELVIN = 273.15
Leaks = Callable[[float, float], np.ndarray]
"""Draws of a heat leak [W/K] at an inside and an ambient [°C]."""


@dataclass(frozen=True)
class Stated:
    """What a sheet makes of a part, and what was assumed beside it.

    Parameters
    ----------
    part : callable, ThermoelectricUnit, CompressorUnit or None
        None where the sheet does not tell it.
    said : tuple of str
        Sentences without their stop.
    """

    part: Leaks | Unit | None
    said: tuple[str, ...] = ()


def stated_walls(
    campaign: Campaign, rows: Sequence[Finding], cooler: str, first: str, same_lot: bool = False
) -> Stated:
    """Heat leak of a box by its sheet, with what the box before it leaks beyond its walls.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    rows : sequence of Finding
        Of the campaign.
    cooler, first : str
        Ids of the new design and of the cooler that it is a design of.
    same_lot : bool
        Its foam is known to be of the same lot as that of the cooler before it, such as boards
        that were left over: what is not known of one is not known of the other.

    Returns
    -------
    Stated
        Its ``part`` takes inside and ambient [°C] and gives draws, shape (4000,). [W/K]

    References
    ----------
    .. [1] :func:`coldbench.design.box.drawn_walls` and :class:`coldbench.design.box.Excess`. The
       foam is a new one of its kind: a declared conductivity stands for it where a board states
       one.
    """
    sheet = campaign.coolers[cooler]
    sides, foam = sides_of(sheet.inside), foam_of(sheet)
    wall = sheet.insulation.thickness if foam else None
    if sides is None or wall is None:
        return Stated(None, ("its sheet does not state inside, insulation and thickness",))
    if min(side.value for side in sides) <= INSIDE_LEAST * wall.value:
        return Stated(None, ("its walls are too thick for their sum by sizes",))
    inside = taped_sides(f"{cooler} inside", sides) / 1000
    thick = taped(f"{cooler} wall", wall) / 1000
    boards = wishes_of(campaign).boards
    board = next((one for one in boards if one.material == foam), Board(foam, wall.value / 1000))
    conducts = board.conducts(first if same_lot else "")
    excess = excess_of(campaign, rows, first).built_again(first)
    rim = rim_of(*inside[:2])

    def leak(cold: float, ambient: float) -> np.ndarray:
        box = even_box(*inside, thick)
        walls = drawn_walls(box, [(conducts, thick)], (cold + ambient) / 2, first)
        return excess.carry(walls, rim)

    known = f"any of its kind, {FOAMS[foam].lowest:g} to {FOAMS[foam].highest:g} W/(m·K)"
    if board.conductivity is not None:
        known = f"declared, {board.conductivity:g} W/(m·K)"
    elif same_lot:
        known = "of the lot of the box before it"
    return Stated(leak, (f"{foam} of {wall.text}, {known}", f"beyond its walls: {excess.source}"))


def stated_machine(
    campaign: Campaign, fitted: Fitted, cooler: str, driven: str = ""
) -> Stated:
    """The machine fitted to one cooler, in another one as that one's sheet states it.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    fitted : Fitted
        Of the cooler that the new one is a design of.
    cooler : str
        Id of the new design.
    driven : {"", "steady", "switched"}
        How its modules are driven; as before where it is not known.

    Returns
    -------
    Stated
        Machine with draws; None where the fit was refused or the technology is another one.

    References
    ----------
    .. [1] This kit's own arrangement. Modules go by the ratio of the two data sheets: what the
       samples differ by from their sheet is taken to be the same.
    """
    sheet, before = campaign.coolers[cooler], campaign.coolers[fitted.cooler]
    if fitted.unit is None:
        return Stated(None, (f"{before.name} {fitted.refused}",))
    if sheet.technology != before.technology:
        return Stated(None, (f"{before.name} is cooled otherwise: {before.technology}",))
    if isinstance(fitted.unit, CompressorUnit):
        return Stated(in_new_box(fitted.unit, fitted.cooler), (
            "unit as in its own box; air at its plate may stand "
            f"{DESIGN.unit_place:g} K warmer or colder in the new one",))
    return _modules(campaign, fitted, cooler, driven)


def _modules(campaign: Campaign, fitted: Fitted, cooler: str, driven: str) -> Stated:
    sheet, before = campaign.coolers[cooler], campaign.coolers[fitted.cooler]
    unit: ThermoelectricUnit = fitted.unit
    hot = next((one for one in campaign.sheet.hot_side if one.name == sheet.hot_side), None)
    said = ["hot and cold side as before"]
    if hot is not None:
        unit, said = with_hot_side(unit, hot), [f"hot side as stated: {hot.name}"]
    now, was = array_of_sheet(sheet), array_of_sheet(before)
    if now is not None and was is not None:
        ratios = (getattr(now, name) / getattr(was, name) * getattr(unit.module, name)
                  for name in ("seebeck", "resistance", "conductance"))
        unit = replace(unit, module=Module(*ratios))
    else:
        said.append("modules as before: its sheet does not state them")
    if sheet.supply is not None and before.supply is not None:
        unit = replace(unit, volts=unit.volts * (sheet.supply.value / before.supply.value))
    if sheet.auxiliary is not None:
        limit = sheet.auxiliary.limit
        limit = LIMITS.electrical * sheet.auxiliary.value if limit is None else limit
        unit = replace(unit, auxiliary=sheet.auxiliary.value
                       + draws.uniform(f"{cooler} auxiliary", limit))
    if driven and driven != unit.driven:
        lost = regulator(campaign.sheet.design) if driven == "steady" else 1.0
        unit = replace(unit, driven=driven, efficiency=lost)
    said.append(f"modules {'regulated' if unit.driven == 'steady' else 'switched'}")
    return Stated(unit, tuple(said))
