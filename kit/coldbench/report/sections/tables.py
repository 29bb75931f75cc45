"""Tables of findings: coolers side by side, and all of one cooler with conditions."""

from __future__ import annotations

from collections.abc import Sequence

from coldbench.figures.words import axis_title, said, spoken
from coldbench.findings import KINDS, Finding, conditions_text
from coldbench.quantities import number
from coldbench.report.book import Book
from coldbench.report.display import Bullets, Cell, Table

ABREAST = 5
"""Coolers side by side in a table; more make a second table."""


def side_by_side(book: Book, findings: Sequence[str], caption: str) -> list[object]:
    """One table: a row a finding and ``at``, a column a cooler; notes below it.

    Parameters
    ----------
    book : Book
        Campaign.
    findings : sequence of str
        Names of findings, in order.
    caption : str
        What the table shows.

    Notes
    -----
    Rows of a second run at another setting (their ``at`` ends with the run's name in brackets)
    stay on the cooler's own sheet.
    """
    keys = _keys(book, findings)
    if not keys:
        return []
    shown: list[object] = []
    bands = [book.coolers[i:i + ABREAST] for i in range(0, len(book.coolers), ABREAST)]
    for band in bands:
        columns = ["", *[Cell(book.names[c], mark=book.mark(c)) for c in band]]
        rows = [
            [_label(key, book), *[_cell(book.one(c, *key)) for c in band]] for key in keys
        ]
        shown.append(Table(columns, rows, caption=caption,
                           note="Value with its 95 % interval in brackets. "
                                "Conditions stand in section 3 and on each cooler's sheet."))
    notes = list(dict.fromkeys(
        f"{book.names[f.cooler]}, {f.kind.title.lower()} {spoken(f.at)}".rstrip() + f": {f.note}"
        for key in keys for f in book.rows if f.key == key and _worth_saying(f)
    ))
    if notes:
        shown.append(Bullets(notes))
    return shown


def _keys(book: Book, findings: Sequence[str]) -> list[tuple[str, str]]:
    """Finding and ``at`` of all rows, findings in the order asked for."""
    return list(dict.fromkeys(
        f.key for name in findings for f in book.rows
        if f.finding == name and f.basis != "not applicable" and not f.at.endswith(")")
    ))


def _label(key: tuple[str, str], book: Book) -> str:
    name, at = key
    unit = next((f.unit for f in book.rows if f.key == key and f.unit), "")
    title = axis_title(name, unit)
    return f"{title}, {spoken(at)}" if at else title


def _cell(finding: Finding | None) -> Cell:
    if finding is None:
        return Cell("–", "none")
    if finding.basis == "not applicable":
        return Cell(finding.note or "not applicable", "none")
    if finding.basis == "not measured":
        return Cell("not measured", "none")
    return Cell(without_unit(finding), "muted" if finding.value is None else "")


def without_unit(finding: Finding) -> str:
    """Value and interval where the unit stands in the head.

    Parameters
    ----------
    finding : Finding
        With a value, bounds, or an answer in words.
    """
    text = said(finding)
    unit = "" if finding.unit in ("", "-") else finding.unit
    return text.replace(f" {unit}", "") if unit else text


def _worth_saying(finding: Finding) -> bool:
    return bool(finding.note) and finding.basis not in ("sheet", "not applicable")


def all_of(book: Book, cooler: str, group: str) -> list[object]:
    """All findings of one cooler in a group, with conditions, basis, coverage and runs."""
    rows = [f for f in book.rows if f.cooler == cooler and f.kind.group == group
            and f.basis != "not applicable"]
    if not rows:
        return []
    body = [
        [
            f"{f.kind.title}{', ' + spoken(f.at) if f.at else ''}",
            _cell_with_unit(f),
            f.basis,
            readable_conditions(f),
            "" if f.coverage is None else number(f.coverage, 0),
            " ".join(f.runs),
            f.note,
        ]
        for f in rows
    ]
    columns = ["Finding", "Value (95 % interval)", "Basis", "Conditions", "Coverage [%]", "Runs",
               "Note"]
    if all(not f.runs for f in rows):
        keep = [0, 1, 2, 6]
        columns = [columns[i] for i in keep]
        body = [[row[i] for i in keep] for row in body]
    return [Table(columns, body, caption=GROUP_TITLES[group])]


GROUP_TITLES = {
    "cold": "Cooling", "energy": "Energy", "freeze": "Freezing", "size": "Size", "money": "Price",
}


def _cell_with_unit(finding: Finding) -> Cell:
    if finding.basis == "not measured":
        return Cell("not measured", "none")
    return Cell(said(finding), "muted" if finding.value is None else "strong")


def readable_conditions(finding: Finding) -> str:
    """Conditions in print: ``ambient 24.6 °C, inside 3.9 °C``."""
    kept = {k: v for k, v in finding.conditions.items() if k != "ambient_from"}
    text = ", ".join(
        conditions_text({name: value}).replace("=", " ", 1) for name, value in kept.items()
    )
    if "ambient_from" in finding.conditions:
        text += " (ambient typed)"
    return text.replace(" -", " \u2212")


def group_of(name: str) -> str:
    """Group of a finding."""
    return KINDS[name].group
