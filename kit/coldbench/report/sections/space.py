"""Whether each cooler fits its space with the lid shut and open, and what fits into it."""

from __future__ import annotations

from coldbench.compare.filling import packed
from coldbench.compare.space import Fit, fit_of, needs
from coldbench.figures import can_plans, fit_drawing
from coldbench.figures.words import printed
from coldbench.report.book import Book
from coldbench.report.display import Cell, Heading, Table, Text
from coldbench.report.sections.tables import side_by_side

INSIDE = ["can_count", "max_bottle_height", "wall_thickness"]


def space(book: Book) -> list[object]:
    """Fit with drawings to scale, then cans, bottles and walls.

    Parameters
    ----------
    book : Book
        Campaign.
    """
    shown: list[object] = [Heading(3, "Fit into the space"), *_fits(book)]
    inside = [
        *side_by_side(book, INSIDE, "What fits inside, and the walls around it", all_notes=False,
                      note="Cans stand upright in square or staggered rows, whichever holds more."),
        *book.figure(can_plans([p for c in book.coolers if (p := packed(book.campaign, c))],
                               styles=book.styles, names=book.names)),
    ]
    return [*shown, *([Heading(3, "Cans, bottles and walls"), *inside] if inside else [])]


def _fits(book: Book) -> list[object]:
    if book.campaign.sheet.space is None:
        return [Text("Not asked: needs [space] in campaign.toml.")]
    rows = [[Cell(book.names[c], mark=book.mark(c)), _cell(book, c, "shut"), _cell(book, c, "open")]
            for c in book.coolers]
    shown: list[object] = [Table(
        ["Cooler", "Lid shut", "Lid open"], rows, caption="Fit into the space",
        note="Box with handles and feet, and the air that is asked around it, within the tape's "
             "limits. A cooler is turned only where it does not fit as it stands.")]
    for cooler in book.coolers:
        shown += drawing(book, cooler)
    return shown


def drawing(book: Book, cooler: str) -> list[object]:
    """Three views of one cooler in its space."""
    if book.campaign.sheet.space is None:
        return []
    shut, opened = (fit_of(book.campaign, cooler, state) for state in ("shut", "open"))
    return list(book.figure(fit_drawing(shut, opened, style=book.styles[cooler],
                                        name=book.names[cooler])))


def _cell(book: Book, cooler: str, state: str) -> Cell:
    fit = fit_of(book.campaign, cooler, state)
    if fit is None:
        return Cell(printed(needs(book.campaign, cooler, state)) or "not measured", "none")
    return Cell(fit_words(fit), "bad" if fit.fits is False else "")


def fit_words(fit: Fit) -> str:
    """Verdict and margin: ``fits, 10 mm spare, least in width``."""
    pose = "" if fit.pose == "as it stands" else f", {fit.pose}"
    return f"{'fits, ' if fit.fits else ''}{fit.words}{pose}"
