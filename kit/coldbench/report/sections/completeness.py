"""What ISO/IEC 17025:2017, 7.8.2 asks of a test report, and where this one carries it.

The items are named from memory, in words of our own. It is a check of completeness; the report
claims no accreditation.
"""

from __future__ import annotations

from coldbench.report.book import Book
from coldbench.report.display import Cell, Table

NOT_STATED = "not stated"

# Item of 7.8.2.1, what it asks for, where it stands; an empty place is asked of the sheet.
ITEMS: dict[str, tuple[str, str]] = {
    "a": ("Title", "head of page one"),
    "b": ("Name and address of the laboratory", "laboratory"),
    "c": ("Where the work was done", "place"),
    "d": ("Identification of the report on every page, and its end", "foot of each page"),
    "e": ("Name of the customer and how to reach them", "customer"),
    "f": ("Method used", "section 7"),
    "g": ("Description, identity and state of what was tested", "section 2"),
    "h": ("Day on which it was received", "received"),
    "i": ("Days of the tests", "section 3, section 11 (logs)"),
    "j": ("Day of issue", "date"),
    "k": ("Plan and method of sampling", "sample"),
    "l": ("That results hold for the tested units only", "page one (trust), section 2"),
    "m": ("Results with their units", "section 4, findings.csv"),
    "n": ("What was added to, left out of or changed in the method", "section 6"),
    "o": ("Who authorises the report", "released_by"),
    "p": ("Results that others supplied", "section 9 (claims), earlier campaigns"),
}
FROM_SHEET = ("laboratory", "place", "customer", "received", "date", "sample", "released_by")


def items_of_a_test_report(book: Book) -> list[object]:
    """A row an item: what is asked, and where it stands or that it is not stated.

    Parameters
    ----------
    book : Book
        Campaign.
    """
    rows = [[f"{letter})", asked, _stands(book, where)] for letter, (asked, where) in ITEMS.items()]
    return [Table(
        ["Item", "Asked for", "Where it stands"], rows,
        caption="Items of ISO/IEC 17025:2017, 7.8.2.1 (from memory) in this report",
        note="A check of completeness: no accreditation is claimed.")]


def _stands(book: Book, where: str) -> Cell:
    if where not in FROM_SHEET:
        return Cell(where)
    sheet = book.campaign.sheet
    told = sheet.date if where == "date" else getattr(sheet.disclosure, where, None)
    return Cell(str(told)) if told else Cell(NOT_STATED, "muted")
