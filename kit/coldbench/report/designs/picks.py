"""Three boxes that could be built: each to scale, with its parts, its numbers and its doubts."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coldbench.design.expected import DAY
from coldbench.design.moved import beyond
from coldbench.design.moved_checks import place_checks
from coldbench.design.parts import bill, total
from coldbench.figures import pareto, section_drawing
from coldbench.figures.words import listed
from coldbench.quantities import number
from coldbench.report.design_book import DesignBook
from coldbench.report.designs.answer import TITLES, verdict
from coldbench.report.designs.words import metered, money, told
from coldbench.report.display import Bullets, Cell, Heading, NoticeBox, Table, Text

LEFT_OUT = "Cables and their protection are not in it: they are for a qualified electrician."
MARKS = {"passes": "good", "fails": "bad", "not stated": "none"}


def search(design: DesignBook) -> list[object]:
    """What was tried, how many meet what is asked for, and the trade-off with the picks.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it.
    """
    if design.front is None:
        return [NoticeBox("doubt", "No box was looked for", _why_none(design))]
    front, c, w = design.front, design.candidates, design.wishes
    machines = "; ".join(one.machine.label for one in design.options)
    boards = listed(f"{1000 * b.thickness:.0f} mm {b.material}" for b in design.wishes.boards)
    return [
        Text(f"{len(c)} boxes: {boards}, up to {int(c.layers.max())} layers; "
             f"{len(np.unique(c.wall))} thicknesses of wall; outside from half the room to all of "
             f"it. Machines: {machines}. Musts are judged at {number(w.ambient, 0)} °C ambient."),
        Bullets(list(front.words)),
        *design.book.figure(pareto(
            front, [one.machine for one in design.options], design.wishes)),
    ]


def picks(design: DesignBook) -> list[object]:
    """Each pick: drawing, expected findings, parts, doubts; then the runs that would test it."""
    if design.front is None:
        return []
    shown: list[object] = []
    for pick, index in design.front.picks.items():
        shown += _pick(design, pick, index)
    return [*shown, *_runs_to_make(design)]


def _pick(design: DesignBook, pick: str, index: int) -> Iterator[object]:
    c, option = design.candidates, design.options[int(design.candidates.machine[index])]
    board = design.wishes.boards[int(c.board[index])]
    wall = f"{1000 * float(c.wall[index]):.0f} mm of {board.material}"
    yield Heading(3, f"{TITLES[pick]}: {wall}, {option.machine.label}")
    yield from design.book.figure(section_drawing(
        c, index, [one.machine for one in design.options], design.wishes.boards, design.wishes,
        name=pick))
    yield from _expected(design, index)
    if option.machine.kind == "compressor":
        yield _place(design, index)
    yield _parts(design, index)


def _expected(design: DesignBook, index: int) -> Iterator[object]:
    found, wishes, c = design.build(index), design.wishes, design.candidates
    hot = f"{number(wishes.ambient, 0)} °C"
    goods = (f", {number(wishes.load, 1)} kg of goods from {number(wishes.load_start, 0)} °C a day"
             if wishes.load else "")
    rows = [
        ["Usable volume", f"{number(float(c.litres[index]), 1)} L",
         "share of the inside as in the present box"],
        ["Heat leak of the walls", told(found.heat_leak, "W/K"), design.excess.source],
        ["Coldest air", told(found.coldest, "°C"), f"ambient {hot}, no goods"],
        [f"Daily energy, holding {number(wishes.inside, 0)} °C",
         told(DAY * found.power, "Wh/d", 0),
         f"ambient {hot}{goods}; {metered(design.options[int(c.machine[index])].metered_at)}"],
        ["Duty then", told(100 * found.duty, "%"), "of the hottest day"],
        [f"Time to {number(wishes.inside, 0)} °C", _hours(design.hours(index)),
         f"from {hot}{goods.replace(' a day', '')}"],
    ]
    yield Table(["Expected", "Value, 95 % interval", "Conditions and basis"], rows,
                caption="What it is expected to do", note="Modelled, not measured. "
                + verdict(design, found, index))
    fitted = design.fits[design.options[int(c.machine[index])].cooler]
    doubts = [part for part in (fitted.note, beyond(fitted, wishes.inside, wishes.ambient)) if part]
    if doubts:
        yield Text(f"Doubts: {'; '.join(doubts)}.", style="small")


def _hours(hours: np.ndarray) -> str:
    finite = np.where(np.isfinite(hours), hours, np.nan)
    said = told(finite, "h", 1)
    return said.replace("held", "reached")


def _place(design: DesignBook, index: int) -> Table:
    """Whether the unit can go in as it is, whole."""
    c, option = design.candidates, design.options[int(design.candidates.machine[index])]
    donor = design.book.campaign.coolers[option.cooler]
    inside = [float(side) for side in c.box(index).inside()]
    found = place_checks(donor, inside, float(c.wall[index]), design.wishes.room)
    rows = [[one.what, Cell(one.verdict, MARKS[one.verdict]), one.said] for one in found]
    return Table(["Asked of the unit, moved whole", "Verdict", "Why"], rows,
                 caption="Whether the unit can go in as it is",
                 note="The unit's own manual, and whoever is licensed for it, come before this "
                      "list. The circuit stays closed; lines are not bent.")


def _parts(design: DesignBook, index: int) -> Table:
    machines = [one.machine for one in design.options]
    wishes = design.wishes
    found = bill(design.candidates, index, machines, wishes.boards, wishes)
    rows = [[part.name, f"{number(part.count, 0 if part.unit == '' else 2)} {part.unit}".strip(),
             part.note if part.price == 0 else money(part.price, wishes.currency),
             "" if part.price == 0 else part.note] for part in found]
    known, without = total(found)
    rows.append([Cell("Sum of stated prices", "strong"), "", money(known, wishes.currency),
                 f"no price is stated for: {'; '.join(without)}" if without else ""])
    return Table(["Part", "How much", "Price", "Remark"], rows, caption="Bill of materials",
                 note=LEFT_OUT, align="lrrl")


def _why_none(design: DesignBook) -> str:
    if not design.options:
        return ("No machine of the campaign could be fitted, so none can be put into a new box: "
                "see what each lacks above.")
    return "It needs [space], or usable litres in [design] or [musts]."


def _runs_to_make(design: DesignBook) -> list[object]:
    wishes = design.wishes
    inside, hot = number(wishes.inside, 0), number(wishes.ambient, 0)
    load = f" with {number(wishes.load, 1)} kg of water" if wishes.load else ""
    return [
        Heading(3, "Runs that test the prediction"),
        Bullets([
            "Tape inside and outside, fill it with water from a jug: litres.",
            "Heat leak: a warm-up with the machine off, air and load logged; of modules, a heater "
            "run with the module out and its opening closed like the wall.",
            f"Coldest setting for 24 h, ambient logged where it takes its air, best near {hot} °C.",
            f"Holding {inside} °C for 24 h at the same ambient, power logged; once more 6 K "
            "away from it.",
            f"Pull-down from ambient{load} to {inside} °C, power logged.",
            f"In the new cooler's sheet: design_of = {_machines_of(design)}, the cooler whose "
            "machine it takes. The report then sets prediction and measurement side by side.",
        ]),
    ]


def _machines_of(design: DesignBook) -> str:
    """Coolers whose machines the picks take, as a sheet names them."""
    taken = {design.options[int(design.candidates.machine[index])].cooler
             for index in design.front.picks.values()}
    return " or ".join(f'"{cooler}"' for cooler in sorted(taken))
