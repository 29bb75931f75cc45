"""Page one of the design report: what to do first, and three boxes that could be built."""

from __future__ import annotations

import numpy as np

from coldbench.design.expected import DAY, SURE, Expected
from coldbench.figures.words import listed
from coldbench.quantities import number
from coldbench.report.design_book import DesignBook
from coldbench.report.designs.next_steps import short
from coldbench.report.designs.words import money, told
from coldbench.report.display import Card, KeyNumbers, KeyRow, PageBreak, ReportHead, Text
from coldbench.report.sections.summary import head

TITLES = {"coldest": "Coldest", "thriftiest": "Thriftiest", "roomiest": "Roomiest",
          "nearest": "Nearest to what is asked"}


def opening(design: DesignBook) -> ReportHead:
    """Title, author, date and question; the banner of an invented campaign."""
    return head(design.book, "What to build next")


def answer(design: DesignBook) -> list[object]:
    """The answer in words, the first steps, and a card for each pick.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it.
    """
    return [Text(*_words(design), style="lead"), *short(design), *_cards(design), PageBreak()]


def _words(design: DesignBook) -> list[str]:
    said = []
    if design.present is not None and design.first:
        one = design.together
        said.append(
            f"{design.book.names[design.improve]}, {told(_now(design), 'Wh/d', 0)} now: "
            f"{_lower(design.first[0].what)} comes first for the money. The first "
            f"{len(design.first)} steps together save {told(one.saved, 'Wh/d', 0)} and make it "
            f"{told(one.colder, 'K')} colder.")
    front = design.front
    if front is not None and front.picks:
        kinds = {design.options[int(front.candidates.machine[i])].machine.label
                 for i in front.picks.values()}
        wishes = design.wishes
        count = int(front.passes.sum())
        meets = f"{count} of {len(front.passes)} designs meet the musts" if count else (
            "no design meets all musts, the nearest is shown")
        said.append(f"A new box for {number(wishes.inside, 0)} °C at {number(wishes.ambient, 0)} "
                    f"°C: best with {listed(sorted(kinds))}; {meets}.")
    return said or ["Nothing can be said yet: see what is missing below."]


def _now(design: DesignBook) -> np.ndarray:
    """What the present cooler uses at the footing, by its fitted machine. [Wh/d]"""
    ambient, inside = design.wishes.footing
    _, leak = design.present.leak.at_temperatures(inside, ambient)
    return DAY * design.present.unit.hold(inside, ambient, leak * (ambient - inside)).power


def _cards(design: DesignBook) -> list[object]:
    front = design.front
    if front is None or not front.picks:
        return []
    cards = [_card(design, pick, index) for pick, index in front.picks.items()]
    caption = ("Modelled, with 95 % intervals: machines as fitted to their runs, walls by their "
               "sizes and what the present box leaks beyond its own. Not measured until built.")
    return [KeyNumbers(cards, caption=caption)]


def _card(design: DesignBook, pick: str, index: int) -> Card:
    found, c, wishes = design.build(index), design.candidates, design.wishes
    option = design.options[int(c.machine[index])]
    board = wishes.boards[int(c.board[index])]
    at = f"{number(wishes.inside, 0)} °C at {number(wishes.ambient, 0)} °C"
    rows = [
        KeyRow("Usable volume", f"{number(float(c.litres[index]), 0)} L"),
        KeyRow(f"Coldest at {number(wishes.ambient, 0)} °C", told(found.coldest, "°C")),
        KeyRow(f"A day, holding {at}", told(DAY * found.power, "Wh/d", 0)),
        KeyRow("Duty then", told(100 * found.duty, "%")),
        KeyRow("Heat leak", told(found.heat_leak, "W/K")),
        KeyRow("Still to buy", money(float(c.price[index]), wishes.currency)),
    ]
    walls = f"{1000 * float(c.wall[index]):.0f} mm {board.material}"
    return Card(TITLES[pick], rows, verdict=verdict(design, found, index),
                facts=f"{walls}, {option.machine.label}")


def verdict(design: DesignBook, found: Expected, index: int) -> str:
    """Whether a build meets each must beyond doubt.

    Parameters
    ----------
    design : DesignBook
    found : Expected
    index : int
        Candidate.
    """
    wishes, doubtful, missed = design.wishes, [], []
    asked = [(f"holding {number(wishes.inside, 0)} °C", found.power, np.inf)]
    if wishes.coldest is not None:
        asked.append((f"coldest at most {number(wishes.coldest, 0)} °C", found.coldest,
                      wishes.coldest))
    if wishes.energy is not None:
        asked.append((f"energy at most {number(wishes.energy, 0)} Wh/d", DAY * found.power,
                      wishes.energy))
    for words, values, most in asked:
        share = float((np.isfinite(values) & (np.nan_to_num(values) <= most)).mean())
        if share < 1 - SURE:
            missed.append(words)
        elif share < SURE:
            doubtful.append(words)
    if missed:
        return f"Misses {listed(missed)}."
    if doubtful:
        return f"Cannot tell whether it meets: {listed(doubtful)}."
    return "Meets what is asked for, by prediction."


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
