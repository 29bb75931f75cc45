"""The key as files: one CSV for all, a page a group; for whoever teaches and nobody else."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path

from coldbench.course.card import RUBRIC
from coldbench.course.key import UNKNOWN, Marked, marked
from coldbench.course.questions import question_for
from coldbench.course.work import Work
from coldbench.errors import UserError
from coldbench.quantities import number, show, two_figures
from coldbench.report.display import Heading, NoticeBox, ReportHead, Table, Text
from coldbench.report.export import export

CSV = "key.csv"
FORMATS = ("html", "pdf")
BANNER = "KEY: for whoever teaches, not for students"
COLUMNS = (
    "group", "card", "asked", "title", "unit", "answer", "number", "expected", "low", "high",
    "carried", "band_low", "band_high", "verdict", "points", "of", "note",
)


def write_key(
    folder: Path, works: Iterable[Work], formats: Sequence[str] = FORMATS, paper: str = "a4"
) -> list[Path]:
    """Mark the work of some groups and write their key.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    works : iterable of Work
        A group's cards may be several; they share its page.
    formats : sequence of str
        ``html``, ``pdf`` or both.
    paper : str
        ``a4`` or ``letter``.

    Returns
    -------
    list of Path
        ``key.csv``, then a page a group and format, named by the group's id.

    Raises
    ------
    UserError
        No card of any group can be marked; all reasons at once.
    """
    groups: dict[str, list[tuple[Work, tuple[Marked, ...] | UserError]]] = {}
    for work in works:
        groups.setdefault(work.group, []).append((work, _attempt(work)))
    done = [part for parts in groups.values() for part in parts]
    if all(isinstance(result, UserError) for _, result in done):
        raise UserError([fault for _, result in done for fault in result.faults])
    folder.mkdir(parents=True, exist_ok=True)
    _write_rows(folder / CSV, [row for work, result in done for row in key_rows(work, result)])
    made = [folder / CSV]
    for group, parts in groups.items():
        pages = {end: folder / f"{group}.{end}" for end in FORMATS if end in formats}
        export(_notebook(_page(group, parts, paper)), **pages, paper=paper)
        made += pages.values()
    return made


def key_rows(work: Work, result: tuple[Marked, ...] | UserError) -> list[dict[str, object]]:
    """Rows of ``key.csv`` for one group and card.

    Parameters
    ----------
    work : Work
        Opened.
    result : tuple of Marked, or UserError
        What marking gave; of a mistake its first line is the note.
    """
    if isinstance(result, UserError):
        told = str(result).splitlines()[0]
        return [{"group": work.group, "card": work.card.name, "asked": one.name,
                 "title": one.title, "unit": one.unit, "verdict": UNKNOWN, "note": told}
                for one in work.card.asked]
    return [_row(work, one) for one in result]


def _attempt(work: Work) -> tuple[Marked, ...] | UserError:
    try:
        return marked(work)
    except UserError as mistake:
        return mistake


def _row(work: Work, one: Marked) -> dict[str, object]:
    expected, band = one.expected, one.band or (None, None)
    return {
        "group": work.group, "card": work.card.name, "asked": one.asked.name,
        "title": one.asked.title, "unit": one.asked.unit, "answer": one.answer.text,
        "number": _six(one.number),
        "expected": _six(expected.value if expected else None),
        "low": _six(expected.low if expected else None),
        "high": _six(expected.high if expected else None),
        "carried": _six(one.carried.value if one.carried else None),
        "band_low": _six(band[0]), "band_high": _six(band[1]), "verdict": one.verdict,
        "points": f"{one.points:.1f}", "of": f"{one.most:.1f}",
        "note": expected.note if expected else "",
    }


def _six(value: float | None) -> str:
    return "" if value is None else f"{value:.6g}"


def _write_rows(path: Path, rows: Iterable[dict[str, object]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS, restval="", lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def _page(
    group: str, parts: list[tuple[Work, tuple[Marked, ...] | UserError]], paper: str
) -> list[object]:
    sheet = parts[0][0].book.campaign.sheet
    told = sheet.disclosure
    invented = (told.invented or "") if told else ""
    shown: list[object] = [ReportHead(
        title=f"Key, group {group}", subtitle=sheet.title, date=str(sheet.date or ""), paper=paper,
        banner=f"{BANNER}. {invented}".strip(), report_id=f"key/{group}",
    )]
    for work, result in parts:
        shown.append(Heading(2, work.card.title))
        if isinstance(result, UserError):
            shown.append(NoticeBox("doubt", "This card cannot be marked", str(result)))
        else:
            shown += [_table(result), *_words(work), _by_hand(result)]
    return shown


def _table(result: tuple[Marked, ...]) -> Table:
    points, most = sum(one.points for one in result), sum(one.most for one in result)
    rows = [
        [one.asked.title, one.answer.text or "–", _expected(one), _band(one), one.verdict,
         f"{one.points:.3g} of {one.most:.3g}"]
        for one in result
    ]
    return Table(
        ["Asked", "Answer", "Expected", "Counts as right", "Verdict", "Points"], rows,
        caption=f"Answers: {points:.3g} of {most:.3g} points that the kit marks",
        note="Expected: from the group's own data, with its 95 % interval. Counts as right: that "
             "interval or the share allowed for reading, whichever is wider; after an earlier "
             "slip the band lies about what follows from the group's own answers.",
        widths=[4.2, 2.2, 3.2, 2.6, 2.4, 1.8],
    )


def _expected(one: Marked) -> str:
    found = one.expected
    return "–" if found is None else show(found.value, found.low, found.high, one.asked.unit)


def _band(one: Marked) -> str:
    if one.band is None:
        return "–"
    low, high = one.band
    decimals = two_figures((low + high) / 2, low, high)
    return f"{number(low, decimals)} to {number(high, decimals)}"


def _words(work: Work) -> list[object]:
    seed = str(work.parameters.get("seed", ""))
    shown: list[object] = [Text(f"Question: {question_for(work.card, work.group, seed)}")]
    names = {"note_1": "Answer", "conclusion": "Conclusion"}
    return shown + [
        Text(f"{names.get(name, name)}: {text or 'nothing was written'}")
        for name, text in ({"note_1": ""} | dict(work.answers.notes)).items()
    ]


def _by_hand(result: tuple[Marked, ...]) -> Table:
    """What people mark: all of the rubric that is not told by numbers."""
    counted = {one.asked.part for one in result if one.most}
    rows = [[part, f"{sum(one.points for one in result if one.asked.part == part):.3g}"
             if part in counted else "", points] for part, points in RUBRIC.items()]
    return Table(["Part", "Points", "Of"], [*rows, ["all", "", sum(RUBRIC.values())]],
                 caption="Rubric; empty fields are marked by hand", align="lrr")


def _notebook(shown: Iterable[object]) -> dict:
    outputs = [{"output_type": "display_data", "data": one._repr_mimebundle_(), "metadata": {}}
               for one in shown]
    cell = {"cell_type": "code", "metadata": {}, "source": "", "outputs": outputs,
            "execution_count": 1}
    return {"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
