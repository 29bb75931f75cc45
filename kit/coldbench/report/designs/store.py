"""Ice or packs that carry a box through the hours without power."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coldbench.compare.leaks import leak_of
from coldbench.design.store import rides
from coldbench.quantities import number
from coldbench.report.design_book import DesignBook
from coldbench.report.designs.answer import TITLES
from coldbench.report.designs.words import told
from coldbench.report.display import Cell, Table, Text

NEEDS = "Not asked: needs night, the hours to ride through on ice alone, in [design]."
NOTE = (
    "All of it melts within the hours; nothing is put in warm and the lid stays shut. Air must "
    "reach the packs: the area is what passes the heat at this inside. Near its melting point a "
    "pack freezes what touches it where it melts below 0 °C."
)


def store(design: DesignBook) -> list[object]:
    """Kilograms for the night, in each measured box and in each pick.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it.
    """
    hours = design.wishes.night
    if hours is None:
        return [Text(NEEDS)]
    wishes = design.wishes
    found = [(name, rides(leak, wishes.inside, wishes.ambient, hours))
             for name, leak in _boxes(design)]
    if not found:
        return [Text("Needs a heat leak: a heater, warm-up or ice-melt run.")]
    stores = [one.store for one in found[0][1]]
    if not stores:
        return [Text(f"No store here melts far enough below {number(wishes.inside, 0)} °C.")]
    heads = [f"{one.name[:1].upper()}{one.name[1:]}, melts at {number(one.melts, 1)} °C [kg]"
             for one in stores]
    rows = [[name, *(told(ride.mass, "") for ride in ridden), told(ridden[0].area, "")]
            for name, ridden in found]
    return [
        Table(["Box", *heads, f"Surface of {stores[0].name} [m²]"], rows, note=NOTE,
              caption=f"To hold {number(wishes.inside, 0)} °C for {number(hours, 0)} h at "
                      f"{number(wishes.ambient, 0)} °C without power"),
        Text(" ".join(f"{one.name[:1].upper()}{one.name[1:]}: {one.source}." for one in stores),
             style="small"),
    ]


def _boxes(design: DesignBook) -> Iterator[tuple[Cell, np.ndarray]]:
    """Heat leak of each box with its machine off, at the night's temperatures."""
    inside, ambient = design.wishes.inside, design.wishes.ambient
    book = design.book
    for cooler, sheet in book.campaign.coolers.items():
        found = leak_of(book.rows, cooler, "off") if sheet.technology == "thermoelectric" else None
        found = found or leak_of(book.rows, cooler)
        if found is not None and found.draws is not None:
            yield (Cell(book.names[cooler], mark=book.mark(cooler)),
                   found.at_temperatures(inside, ambient)[1])
    picks = design.front.picks if design.front is not None else {}
    for pick, index in picks.items():
        unit = design.options[int(design.candidates.machine[index])].unit
        back = getattr(unit, "bridge", 0.0)
        yield Cell(f"New: {TITLES[pick].lower()}"), design.leak(index) + back
