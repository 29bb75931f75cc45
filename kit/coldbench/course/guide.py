"""A lab card for whoever teaches it: what to expect, what goes wrong, time, shopping.

It rests on no group's data and holds no group's answer.
"""

from __future__ import annotations

from coldbench.course.card import Asked, Card
from coldbench.course.cards import card_named
from coldbench.course.key import KELVINS, SHARES, UNSTATED
from coldbench.course.limits import CARDS
from coldbench.course.show import rubric_of
from coldbench.quantities import us
from coldbench.report.display import Bullets, ReportHead, Table
from coldbench.report.sections.inputs import settings

SAID = {"measured": "its interval", "table": f"{100 * SHARES['table']:g} %",
        "computed": f"{100 * SHARES['computed']:g} %", "chart": f"{100 * SHARES['chart']:g} %",
        "state": "its interval alone"}


def open_guide(card: str, units: str = "si") -> Card:
    """A card by its name, to be printed in the units chosen.

    Parameters
    ----------
    card : str
        Name of the card.
    units : {"si", "us"}
        What is printed.

    Raises
    ------
    UserError
        There is no such card.
    """
    us.use(units)
    return card_named(card)


def head(card: Card, paper: str = "a4") -> ReportHead:
    """Title of the page."""
    return ReportHead(title=card.title, paper=paper,
                      banner="For whoever teaches, not for students",
                      subtitle="Lab card: what to expect, what goes wrong, time, shopping",
                      report_id=f"guide/{card.name}")


def expected(card: Card) -> list[object]:
    """What is asked, how it is worked out, what sound work gives, and the width of its band."""
    rows = [[one.title, one.formula, card.guide.usual.get(one.name), _band(one)]
            for one in card.asked]
    least, unstated = (f"{100 * share:g} %" for share in (SHARES["measured"], UNSTATED))
    note = ("Usual: common practice, no source. Right within: a share of what the group's own data "
            "give, or the interval that its instruments leave where that is wider; an interval "
            f"never counts less than {least}, and {unstated} stand for it where an instrument "
            "states no error.")
    return [Table(["Asked", "How", "Usual", "Right within"], rows, caption="What is asked",
                  align="llll", widths=[3.2, 3.8, 4, 1.6], note=note),
            settings("Limits and assumptions of all cards", CARDS)]


def _band(asked: Asked) -> str:
    if asked.kind == "temperature":
        return f"{KELVINS:g} K"
    return SAID[asked.reading]


def slips(card: Card) -> list[object]:
    """What usually goes wrong."""
    return [Bullets(list(card.guide.slips))]


def plan(card: Card) -> list[object]:
    """How long what takes."""
    return [Table(["Time", "What"], list(card.guide.plan), align="ll", widths=[1, 4])]


def shopping(card: Card) -> list[object]:
    """What has to be there."""
    return [Bullets(list(card.guide.shopping))]


def safety(card: Card) -> list[object]:
    """What students sign."""
    return [Bullets(list(card.safety))]


def questions(card: Card) -> list[object]:
    """All questions of the card; each group gets one of them by the seed of its class."""
    return [Bullets(list(card.questions))]


def rubric(card: Card) -> list[object]:
    """How the work is marked."""
    return rubric_of(card)
