"""A lab card for whoever teaches it: what to expect, what goes wrong, time, shopping.

It rests on no group's data and holds no group's answer.
"""

from __future__ import annotations

from coldbench.course.card import Asked, Card
from coldbench.course.cards import card_named
from coldbench.course.key import KELVINS, SHARES, UNSTATED
from coldbench.course.show import rubric_of
from coldbench.quantities import us
from coldbench.report.display import Bullets, ReportHead, Table

SAID = {
    "measured": f"the propagated interval, at least ± {100 * SHARES['measured']:g} %; "
                f"± {100 * UNSTATED:g} % where an instrument states no error",
    "table": f"± {100 * SHARES['table']:g} %",
    "computed": f"± {100 * SHARES['computed']:g} %",
    "chart": f"± {100 * SHARES['chart']:g} %, or the interval where that is wider",
}


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
    return ReportHead(title=f"{card.title}, for whoever teaches", paper=paper,
                      subtitle="Lab card: what to expect, what goes wrong, time, shopping",
                      report_id=f"guide/{card.name}")


def expected(card: Card) -> list[object]:
    """What is asked, how it is worked out, what sound work gives, and the width of its band."""
    rows = [[one.title, one.formula, card.guide.usual.get(one.name), _band(one)]
            for one in card.asked]
    return [Table(["Asked", "How", "Usual", "Counts as right within"], rows,
                  caption="What is asked", align="llll", widths=[3, 3.4, 3.4, 2.8],
                  note="Usual: common practice, no source. The key works out each group's own "
                       "numbers from its own data.")]


def _band(asked: Asked) -> str:
    if asked.kind == "temperature":
        return f"± {KELVINS:g} K, or the interval where that is wider"
    return SAID[asked.reading]


def slips(card: Card) -> list[object]:
    """What usually goes wrong."""
    return [Bullets(list(card.guide.slips))]


def plan(card: Card) -> list[object]:
    """How long what takes."""
    return [Table(["Time", "What"], list(card.guide.plan), widths=[1, 4])]


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
