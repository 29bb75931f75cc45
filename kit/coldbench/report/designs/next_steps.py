"""Next steps for the cooler that stands on the bench, ranked by what they gain for the money."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coldbench.design.expected import SURE
from coldbench.design.steps import Step
from coldbench.quantities import number
from coldbench.report.design_book import DesignBook
from coldbench.report.designs.words import metered, money, told
from coldbench.report.display import Cell, NoticeBox, Table, Text

RULE = (
    "First the step that saves most watt-hours for the money, then the one that gains most kelvin "
    "for it, then the next; one of a kind, and only steps that surely gain something and lose "
    "nothing. Gains are differences with the same draws before and after: what is not known of "
    "the box cancels."
)
WIDTHS = (5.6, 1.9, 2.2, 1.3, 2.3, 1.2, 1.5)


def next_steps(design: DesignBook) -> list[object]:
    """All steps in a table, those to begin with first, and the three of them together.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it.
    """
    if design.present is None:
        return [NoticeBox("doubt", "No step is judged", why_not(design))]
    first = design.first
    rest = [one for one in design.steps if one not in first]
    rows = [_row(design, one, f"{n}") for n, one in enumerate(first, start=1)]
    if len(first) > 1:
        rows.append(_row(design, design.together, f"1 to {len(first)}"))
    rows += [_row(design, one, "") for one in rest]
    ambient, inside = design.wishes.footing
    return [
        Table(_heads(design), rows, note=RULE, widths=WIDTHS, caption=(
            f"Next steps for {design.book.names[design.improve]}, each alone, holding "
            f"{number(inside, 0)} °C at {number(ambient, 0)} °C; "
            f"{metered(design.fits[design.improve].metered_at)}")),
        *_doubts(design.steps),
    ]


def short(design: DesignBook) -> list[object]:
    """The three to begin with, for page one."""
    if design.present is None:
        return []
    rows = [[f"{n}. {one.what}", money(one.price, design.wishes.currency),
             told(one.saved, "", 0), told(one.colder, "")]
            for n, one in enumerate(design.first, start=1)]
    if len(rows) > 1:
        one = design.together
        rows.append([one.what, money(one.price, design.wishes.currency),
                     told(one.saved, "", 0), told(one.colder, "")])
    if not rows:
        return [Text("No step that the sheets allow surely gains something.")]
    ambient, inside = design.wishes.footing
    return [Table(["Step", "Price", "Saves [Wh/d]", "Colder by [K]"], rows, caption=(
        f"First steps for {design.book.names[design.improve]}, holding {number(inside, 0)} °C at "
        f"{number(ambient, 0)} °C"), align="lrrr")]


def why_not(design: DesignBook) -> str:
    """What is missing before a step can be judged."""
    fitted = design.fits.get(design.improve)
    name = design.book.names[design.improve]
    if fitted is None:
        return f"{name} has no machine whose runs could be fitted."
    return f"{name} {fitted.refused}." if fitted.refused else f"{name} needs a heat leak."


def _heads(design: DesignBook) -> list[str]:
    each = design.wishes.currency or "price"
    return ["Step", "Price", "Saves [Wh/d]", f"Wh/d for one {each}", "Colder by [K]",
            f"For ten {each} [K]", "Then"]


def _row(design: DesignBook, one: Step, rank: str) -> list[object]:
    saved, colder = one.each(one.saved), one.each(one.colder)
    after = _after(one.holds)
    if not one.fits:
        after += "; " + one.doubt
    style = "strong" if rank else "" if one.sure else "muted"
    name = f"{rank}. {one.what}" if rank else one.what
    return [Cell(name if one.sure or rank else f"{name} (no sure gain)", style),
            money(one.price, design.wishes.currency), told(one.saved, "", 0),
            _each(saved, 1), told(one.colder, ""), _each(colder and 10 * colder, 2), after]


def _after(holds: float) -> str:
    if 1 - SURE < holds < SURE:
        return f"holds in {100 * holds:.0f} % of the draws"
    return "holds" if holds >= SURE else "does not hold"


def _each(gain: float | None, decimals: int) -> str:
    if gain is None or np.isinf(gain):
        return "–"
    return number(gain, decimals)


def _doubts(found: Sequence[Step]) -> list[object]:
    """What the numbers leave out, steps of the same doubt together."""
    by_doubt: dict[str, list[str]] = {}
    for one in found:
        if one.doubt and one.fits:
            by_doubt.setdefault(one.doubt, []).append(one.what)
    said = [f"{'; '.join(steps)}: {doubt}." for doubt, steps in by_doubt.items()]
    return [Text(" ".join(said), style="small")] if said else []
