"""What the walls alone would let in, from their sizes: a sanity line beside measured heat leaks."""

from __future__ import annotations

import numpy as np

from coldbench import draws
from coldbench.compare.tape import taped
from coldbench.findings import Finding, measured
from coldbench.physics.box import INSIDE_LEAST, even_box, heat_leak
from coldbench.physics.materials import FOAM_SLOPE, FOAM_SLOPE_LIMIT, FOAMS, foam_conductivity
from coldbench.sheets import Campaign, CoolerSheet

# Films of still air on both sides; handbook range from memory. [W/(m² K)]
FILM_INSIDE, FILM_OUTSIDE = (4.0, 9.0), (6.0, 10.0)
WALL = 15.0  # mean wall temperature where the campaign has no footing [°C]
SPELT = {"PU": "PUR", "POLYURETHANE": "PUR", "PU FOAM": "PUR", "POLYSTYRENE": "EPS"}


def geometry(campaign: Campaign) -> list[Finding]:
    """Heat leak of each cooler's walls, edges and corners.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    list of Finding
        ``heat_leak_geometry`` [W/K] of the coolers whose inside sides, insulation and thickness
        are stated.

    References
    ----------
    .. [1] :func:`coldbench.physics.box.heat_leak`; the ranges of films and conductivity are
       handbook values from memory.
    """
    footing = campaign.sheet.footing
    wall = (footing.ambient.value + footing.inside.value) / 2 if footing else WALL
    found = [_of(cooler, sheet, wall) for cooler, sheet in campaign.coolers.items()]
    return [finding for finding in found if finding is not None]


def foam_of(sheet: CoolerSheet) -> str:
    """Name of a cooler's foam as in ``FOAMS``; empty where it is not stated or not known."""
    if sheet.insulation is None:
        return ""
    stated = sheet.insulation.material.strip()
    name = SPELT.get(stated.upper(), stated)
    return next((key for key in FOAMS if key.lower() == name.lower()), "")


def _of(cooler: str, sheet: CoolerSheet, wall: float) -> Finding | None:
    inside, foam = sheet.inside, sheet.insulation
    if inside is None or foam is None or foam.thickness is None:
        return None
    sides = (inside.width, inside.depth, inside.height)
    name = foam_of(sheet)
    if not name or None in sides:
        return None
    material = FOAMS[name]
    thick = foam.thickness.value
    if min(side.value for side in sides) <= INSIDE_LEAST * thick:
        return None
    slope = FOAM_SLOPE + draws.uniform(f"{cooler} foam slope", FOAM_SLOPE_LIMIT)
    known = draws.between(f"{cooler} foam", material.lowest, material.highest)
    conducts = foam_conductivity(known, wall, slope=slope)
    box = even_box(*(taped(f"{cooler} inside {word}", side) / 1000 for word, side in
                     zip(("width", "depth", "height"), sides, strict=True)),
                   taped(f"{cooler} wall", foam.thickness) / 1000)
    films = [draws.between(f"{cooler} film {word}", *film) for word, film in
             (("inside", FILM_INSIDE), ("outside", FILM_OUTSIDE))]
    drawn = heat_leak(box, conducts, *films)
    return Finding(
        cooler=cooler, finding="heat_leak_geometry", unit="W/K", basis="modelled",
        conditions={"wall": wall, "foam": name},
        **measured(drawn, float(np.median(drawn))),
    )
