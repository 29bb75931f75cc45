"""Heat that liner, inner foam and the machine's cold side hold, as the air of a box sees it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.physics.water import SPECIFIC_HEAT
from coldbench.sheets.cooler import CoolerSheet

# Handbook values from memory; the limit of 30 % on the sum covers what they are off by.
FOAM_DENSITY, FOAM_HEAT = 35.0, 1400.0  # [kg/m³], [J/(kg K)]
PLASTIC_DENSITY, LINER_THICKNESS = 900.0, 0.002  # [kg/m³], [m]
WALL = 0.035  # thickness where the sheet states none [m]
# Inner area of a box with sides 1.7 : 1.2 : 1, from its volume to the power 2/3.
SHAPE = 6.14


@dataclass(frozen=True)
class StructureHeat:
    """Heat capacity of liner, inner foam and evaporator or cold plate. [J/K]"""

    value: float
    draws: np.ndarray
    note: str


def modelled_structure(
    cooler: str, sheet: CoolerSheet, out: bool = False
) -> StructureHeat | None:
    """Structure heat from what the sheet says of the box.

    Parameters
    ----------
    cooler : str
        Its id, which names the hidden constant.
    sheet : CoolerSheet
        Liner, inside and insulation.
    out : bool
        Whether the machine was taken out: nothing of it is inside then.

    Returns
    -------
    StructureHeat or None
        The liner's heat and a third of the foam's, ± 30 %; ± 50 % where the liner is not stated
        and 2 mm of plastic is assumed; with an evaporator or the cold side of modules, within
        wide limits. None where neither volume nor sides are known.

    References
    ----------
    .. [1] This kit's own definition; a third of the foam left less than 1 % of error in trial.
    """
    area = _inner_area(sheet)
    if area is None:
        return None
    liner, limit, note = _liner(sheet, area)
    wall = sheet.insulation.thickness if sheet.insulation else None
    thickness = wall.value / 1000 if wall is not None else WALL
    if wall is None:
        note += f", wall of {1000 * WALL:g} mm assumed"
    side = np.sqrt(area / 6)
    mean = (area + 6 * (side + 2 * thickness) ** 2) / 2
    foam = mean * thickness * FOAM_DENSITY * FOAM_HEAT / 3
    value = liner + foam
    true = value * (1 + draws.uniform(f"{cooler} structure heat", limit))
    held, open_by, said = _cold_side(sheet, out)
    true = true + held + draws.uniform(f"{cooler} cold side heat", open_by)
    return StructureHeat(float(value + held), true, note + said)


def _cold_side(sheet: CoolerSheet, out: bool) -> tuple[float, float, str]:
    """What of the machine the air sees. [J/K]"""
    if out or sheet.technology == "passive":
        return 0.0, 0.0, ""
    if sheet.technology == "thermoelectric":
        held, open_by, what = LIMITS.cold_plate, LIMITS.cold_plate_limit, "cold plate"
    else:
        held, open_by, what = LIMITS.evaporator, LIMITS.evaporator_limit, "evaporator"
    return 1000 * held, 1000 * open_by, f", {held:g} kJ/K of {what} assumed"


def _inner_area(sheet: CoolerSheet) -> float | None:
    """Area of the inner walls, None where the sheet tells no size. [m²]"""
    inside = sheet.inside
    if inside is None:
        return None
    sides = (inside.width, inside.depth, inside.height)
    if None not in sides:
        w, d, h = (side.value / 1000 for side in sides)
        return 2 * (w * d + w * h + d * h)
    volume = inside.volume or inside.usable
    return SHAPE * (volume.value / 1000) ** (2 / 3) if volume is not None else None


def _liner(sheet: CoolerSheet, area: float) -> tuple[float, float, str]:
    liner = sheet.liner
    if liner is not None and liner.mass is not None and liner.material in SPECIFIC_HEAT:
        heat = SPECIFIC_HEAT[liner.material] * liner.mass.value
        return heat, LIMITS.structure, f"structure heat modelled from {liner.mass.text} of liner"
    heat = area * LINER_THICKNESS * PLASTIC_DENSITY * SPECIFIC_HEAT["polypropylene"]
    return heat, LIMITS.structure_assumed, "structure heat modelled, liner of 2 mm plastic assumed"
