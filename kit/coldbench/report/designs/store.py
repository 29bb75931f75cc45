"""Ice or packs that carry a box through the hours without power."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coldbench.compare.leaks import leak_of
from coldbench.design.store import STORES, Ride, rides
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
    rows = [row for name, leak in _boxes(design) for row in _rows(design, name, leak, hours)]
    if not rows:
        return [Text("Needs a heat leak: a heater, warm-up or ice-melt run.")]
    wishes = design.wishes
    return [Table(
        ["Box", "Store", "Melts at", "Mass [kg]", "Surface [m²]"], rows, note=NOTE,
        caption=f"To hold {number(wishes.inside, 0)} °C for {number(hours, 0)} h at "
                f"{number(wishes.ambient, 0)} °C without power"), Text(_sources(rows))]


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


def _rows(
    design: DesignBook, name: Cell, leak: np.ndarray, hours: float
) -> Iterator[list[object]]:
    for one in rides(leak, design.wishes.inside, design.wishes.ambient, hours):
        yield [name, one.store.name, _melts(one), told(one.mass, ""), told(one.area, "")]


def _melts(ride: Ride) -> str:
    return f"{number(ride.store.melts, 1)} °C"


def _sources(rows: list[list[object]]) -> str:
    names = dict.fromkeys(row[1] for row in rows)
    return " ".join(f"{one.name.capitalize()}: {one.source}." for one in STORES
                    if one.name in names)
