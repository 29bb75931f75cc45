"""Tables of findings: coolers side by side, and all of one cooler with conditions."""

from __future__ import annotations

from collections.abc import Sequence

from coldbench.figures.words import axis_title, listed, printed, said, spoken
from coldbench.findings import Finding, conditions_text
from coldbench.quantities import number, us
from coldbench.report.book import Book
from coldbench.report.display import Bullets, Cell, Table

ABREAST = 5
"""Coolers side by side in a table; more make a second table."""


def side_by_side(
    book: Book, findings: Sequence[str], caption: str, *, by_at: bool = False, note: str = "",
    all_notes: bool = True,
) -> list[object]:
    """A row a finding and ``at``, a column a cooler; what has to be said of cells stands below.

    Parameters
    ----------
    book : Book
        Campaign.
    findings : sequence of str
        Names of findings, in order.
    caption : str
        What the table shows.
    by_at : bool
        Rows of a single finding are called by their ``at`` alone.
    note : str
        Said below the table, before what holds for all.
    all_notes : bool
        Whether every note on a cell stands below; else those of cells without a value only, the
        others being on the cooler's own sheet.

    Notes
    -----
    Rows of a second run at another setting (their ``at`` ends with the run's name in brackets)
    stay on the cooler's own sheet.
    """
    keys = _keys(book, findings)
    if not keys:
        return []
    every = "Values with 95 % intervals; conditions stand in section 3 and on each cooler's sheet."
    shown: list[object] = []
    bands = [book.compared[i:i + ABREAST] for i in range(0, len(book.compared), ABREAST)]
    for band in bands:
        columns = ["", *[Cell(book.names[c], mark=book.mark(c)) for c in band]]
        rows = [
            [spoken(key[1]) if by_at else _label(key, book),
             *[_cell(book.one(c, *key)) for c in band]]
            for key in keys
        ]
        shown.append(Table(columns, rows, caption=caption, note=f"{note} {every}".strip(),
                           align="l" * len(columns)))
    notes = _notes(book, keys, all_notes)
    if notes:
        shown.append(Bullets(notes))
    return shown


def _keys(book: Book, findings: Sequence[str]) -> list[tuple[str, str]]:
    """Finding and ``at`` of all rows, findings in the order asked for."""
    return list(dict.fromkeys(
        f.key for name in findings for f in book.compared_rows
        if f.finding == name and f.basis != "not applicable" and not f.at.endswith(")")
    ))


def _label(key: tuple[str, str], book: Book) -> str:
    name, at = key
    unit = next((f.unit for f in book.compared_rows if f.key == key and f.unit), "")
    title = axis_title(name, unit)
    return f"{title}, {spoken(at)}" if at else title


def _cell(finding: Finding | None) -> Cell:
    if finding is None:
        return Cell("–", "none")
    if finding.basis == "not applicable":
        return Cell(finding.note or "not applicable", "none")
    if finding.basis == "not measured":
        return Cell("not measured", "none")
    if finding.basis == "not reached":
        return Cell(printed(finding.note.partition("; 0 of")[0]) or "not reached", "muted")
    return Cell(without_unit(finding), "muted" if finding.value is None else "")


def without_unit(finding: Finding) -> str:
    """Value and interval where the unit stands in the head.

    Parameters
    ----------
    finding : Finding
        With a value or bounds.
    """
    text = said(finding)
    if us.chosen() == "us" and finding.unit in us.OTHER:
        return text  # the number needs its unit to have another one beside it
    unit = "" if finding.unit in ("", "-") else finding.unit
    return text.replace(f" {unit}", "") if unit else text


SAID_ELSEWHERE = ("mean of", "not reached", "food limit not reached", "target not reached",
                  "load heat for each", "no ice counted", "largest sample", "runs without a break")
"""Beginnings of notes that a cell, a table's note or the cooler's sheet says already."""


def _notes(book: Book, keys: Sequence[tuple[str, str]], all_notes: bool) -> list[str]:
    """Notes on cells, those of the same words of one cooler together."""
    told: dict[tuple[str, str], dict[str, list[str]]] = {}
    for finding in book.rows:
        if finding.key not in keys or finding.basis in ("sheet", "not applicable", "not reached"):
            continue
        if finding.value is not None and not all_notes:
            continue
        for part in finding.note.split("; "):
            if part and not part.startswith(SAID_ELSEWHERE):
                ats = told.setdefault((book.names[finding.cooler], part), {})
                ats.setdefault(finding.kind.title.lower(), []).append(spoken(finding.at))
    return [f"{cooler}, {listed(map(_with_keys, ats.items()))}: {printed(part)}."
            for (cooler, part), ats in told.items()]


def _with_keys(titled: tuple[str, list[str]]) -> str:
    """A finding and, in brackets, what tells its rows apart."""
    title, ats = titled
    keys = [at for at in dict.fromkeys(ats) if at]
    return f"{title} ({', '.join(keys)})" if keys else title


def all_of(book: Book, cooler: str, group: str) -> list[object]:
    """All findings of one cooler in a group, with conditions, basis, coverage and runs."""
    rows = [f for f in book.rows if f.cooler == cooler and f.kind.group == group
            and f.basis != "not applicable"]
    rows.sort(key=lambda f: f.at.endswith(")"))  # second runs after those that stand for it
    if not rows:
        return []
    if all(not f.runs for f in rows):
        columns = ["Finding", "Value (95 % interval)", "Basis", "Note"]
        body = [[_titled(f), _cell_with_unit(f), f.basis, printed(f.note)] for f in rows]
        return [Table(columns, body, caption=GROUP_TITLES[group])]
    columns = ["Finding", "Value (95 % interval)", "Basis, coverage", "Conditions", "Runs", "Note"]
    body = [
        [_titled(f), _cell_with_unit(f), _basis(f), readable_conditions(f), " ".join(f.runs),
         printed(f.note)]
        for f in rows
    ]
    return [Table(columns, body, caption=GROUP_TITLES[group], align="l" * 6,
                  widths=[36, 28, 18, 38, 20, 30])]


def _titled(finding: Finding) -> str:
    return f"{finding.kind.title}{', ' + spoken(finding.at) if finding.at else ''}"


def _basis(finding: Finding) -> str:
    if finding.coverage is None:
        return finding.basis
    return f"{finding.basis}, {number(finding.coverage, 0)} %"


GROUP_TITLES = {
    "cold": "Cooling", "energy": "Energy", "freeze": "Freezing", "box": "Box", "machine": "Machine",
    "size": "Size", "money": "Price and cost",
    "supply": "Supply", "sound": "Sound",
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
    return printed(text)
