"""Walls of a thermoelectric box without the bridge that its unpowered modules make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.leaks import MODELLED, leak_of
from coldbench.findings import Finding, measured
from coldbench.physics.thermoelectric import Module, module_from_sheet
from coldbench.physics.thermoelectric_box import array_of, bridge
from coldbench.sheets import Campaign, CoolerSheet
from coldbench.sheets.cooler import ModulesSheet

KELVIN = 273.15
NEEDS = ("needs a run with the module out and its opening closed like the wall, or i_max, v_max, "
         "dt_max and t_hot in [modules]")


def walls_modelled(rows: Sequence[Finding], campaign: Campaign) -> list[Finding]:
    """Heat leak of the walls where only the whole box was measured.

    Parameters
    ----------
    rows : sequence of Finding
        Of the campaign.
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    list of Finding
        ``heat_leak`` [W/K] at ``walls modelled`` of the thermoelectric coolers that have an
        ``off`` row and no measured ``walls`` row: off less the bridge, the modules' conductance
        in series with the resistances of their sides. Those are assumed within limits.

    References
    ----------
    .. [1] :func:`coldbench.physics.thermoelectric_box.bridge`; the ranges of the sides are this
       kit's own, from memory.
    """
    found = []
    for cooler, sheet in campaign.coolers.items():
        off = leak_of(rows, cooler, "off")
        if sheet.technology != "thermoelectric" or off is None or leak_of(rows, cooler, "walls"):
            continue
        row = replace(off.finding, at=MODELLED, basis="modelled", value=None, low=None, high=None,
                      draws=None)
        module = array_of_sheet(sheet)
        if module is None:
            found.append(replace(row, basis="not measured", note=NEEDS))
            continue
        taken = _drawn_bridge(cooler, module)
        note = (f"off less a bridge of {np.median(taken):.2g} W/K through {_modules(sheet)}, from "
                "their data sheet; resistances of their sides assumed")
        row = replace(row, note=note)
        if off.draws is None:
            found.append(replace(row, value=off.value - float(np.median(taken)),
                                 note=f"{note}; error not stated"))
            continue
        # No wall keeps all heat out: a bridge that took everything was drawn too large.
        walls = np.maximum(off.draws - taken, LIMITS.bridge_leaves * off.draws)
        found.append(replace(row, **measured(walls, float(np.median(walls)))))
    return found


def array_of_sheet(sheet: CoolerSheet) -> Module | None:
    """The modules of a cooler sheet as one, or None where the sheet lacks what tells it.

    Parameters
    ----------
    sheet : CoolerSheet

    Returns
    -------
    Module or None

    References
    ----------
    .. [1] :func:`coldbench.physics.thermoelectric.module_from_sheet`.
    """
    told = sheet.modules
    if told is None or None in (told.i_max, told.v_max, told.dt_max, told.t_hot):
        return None
    one = module_from_sheet(told.i_max.value, told.v_max.value, told.dt_max.value,
                            told.t_hot.value + KELVIN)
    return array_of(one, *strings_of(told))


def strings_of(modules: ModulesSheet) -> tuple[int, int]:
    """Modules in a string, and strings, as a sheet states them.

    Parameters
    ----------
    modules : ModulesSheet

    Returns
    -------
    series, parallel : int
        One in a string where that is not stated.

    References
    ----------
    .. [1] This kit's own definition.
    """
    series = min(modules.series or 1, modules.count)
    return series, max(modules.count // series, 1)


def _drawn_bridge(cooler: str, module: Module) -> np.ndarray:
    """Draws of the bridge. [W/K]"""
    known = 1 + draws.uniform(f"{cooler} module conductance", LIMITS.module_sheet)
    sides = [
        draws.between(f"{cooler} {side} side", least, most) for side, least, most in
        (("cold", LIMITS.cold_side_least, LIMITS.cold_side_most),
         ("hot", LIMITS.hot_side_least, LIMITS.hot_side_most))
    ]
    return bridge(replace(module, conductance=module.conductance * known), *sides)


def _modules(sheet: CoolerSheet) -> str:
    count = sheet.modules.count
    return f"{count} module{'s' if count != 1 else ''}"
