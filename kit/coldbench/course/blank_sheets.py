"""Blank data sheets as PDF: one page a run, in greys, with room for a pen."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from coldbench import shipped
from coldbench.errors import Fault, UserError
from coldbench.report.markup import clean, typst_string
from coldbench.report.page_typst import PAPERS, compile_pdf
from coldbench.sheets.hand.form import (
    CHECKED,
    ERROR,
    INSTRUMENT,
    DataSheet,
    Field,
    choices_above,
    label_of,
    rows_above,
)
from coldbench.sheets.run import MARKS

HEIGHTS = {"a4": 297.0, "letter": 279.4}  # of the papers [mm]
LOWEST, TALLEST = 5.6, 9.0  # of a row to write in [mm]
WORKING = 25.0  # left below the readings, from which on it is a box of its own [mm]
HEAD, ABOVE, CHOSEN = 10.0, 6.2, 7.4  # of the readings' heads and the rows below them [mm]
WIDTHS = {1: 28.0, 2: 24.0, 3: 21.0, 4: 18.5, 5: 16.5}  # of a column, by how many there are [mm]
LINE = 100  # letters of a line of notes, at most
MOST_BESIDE = 5  # roles whose columns leave room for sketch and marks beside them
MOST_ROLES = 9  # columns on a page
HINTS = {"start": "date and time", "setting": "coldest, or what was set",
         "repeat of": "id of a run", "freeze drained": "water poured off",
         "freeze total": "all of it", "heater power": "fan included",
         "ice drained": "water poured off", "sound state": "running, idle …",
         "sound background": "switched off", "openings count": "how many",
         "openings length": "of each"}
ROW_HINTS = {INSTRUMENT: "id", ERROR: "± limit", CHECKED: "day"}
FOOT = ("Read at the printed times; strike out a time and write the true one if it was another. "
        "Leave blank what was not read. Initials and sketch stay on this paper.")


def sheets_pdf(sheets: Sequence[DataSheet], paper: str = "a4") -> bytes:
    """Data sheets as PDF, a page each.

    Parameters
    ----------
    sheets : sequence of DataSheet
    paper : str
        ``a4`` or ``letter``.

    Raises
    ------
    UserError
        More times or columns than fit on a page.
    """
    job = {"paper": PAPERS[paper], "sheets": [_page(sheet, paper) for sheet in sheets]}
    text = typst_string(json.dumps(job, ensure_ascii=False), lines=True)
    template = (shipped("templates") / "sheets" / "data-sheet.typ").read_text(encoding="utf-8")
    return compile_pdf(f"#let job = json(bytes({text}))\n{template}")


def write_sheets(
    sheets: Sequence[DataSheet], out: Path, paper: str = "a4", workbook: bool = False
) -> list[Path]:
    """Write data sheets as a PDF, and beside it the workbook to type them into.

    Parameters
    ----------
    sheets : sequence of DataSheet
    out : Path
        The PDF; replaced if it exists.
    paper : str
        ``a4`` or ``letter``.
    workbook : bool
        Whether to write the workbook of the same name too.

    Returns
    -------
    list of Path
        What was written, the PDF last.

    Raises
    ------
    UserError
        More than fits on a page, or a place in which nothing can be written.
    """
    from coldbench.sheets.hand.writing import write_pages

    pdf = sheets_pdf(sheets, paper)
    books = [write_pages(sheets, out.with_suffix(".xlsx"))] if workbook else []
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        out.write_bytes(pdf)
    except OSError as error:
        raise UserError(Fault("the data sheets cannot be written", str(out),
                              error.strerror or "", do="name a place in which you may write")
                        ) from None
    return [*books, out]


def most_rows(sheet: DataSheet, paper: str) -> int:
    """How many times of reading fit on a page, each row high enough for a pen.

    Parameters
    ----------
    sheet : DataSheet
        What else stands on it.
    paper : str
        ``a4`` or ``letter``.
    """
    return int(_room(sheet, paper) / LOWEST)


def _room(sheet: DataSheet, paper: str) -> float:
    """Height that is left for the times of the readings. [mm]"""
    gap = 3.0
    blocks = [10.4, 2.5]  # head and foot
    blocks += [6.0] * bool(sheet.banner) + [4.4 * _lines(sheet.notes)] * bool(sheet.notes)
    blocks += [9.8 * (sum(span for _, span in _spans(sheet)) // 4)]
    blocks += [6.4 + 7.6 * len(sheet.loads)] * bool(sheet.loads)
    blocks += [_below(paper)] * _is_wide(sheet)
    head = HEAD + sum(row["height"] for row in _above(sheet))
    return HEIGHTS[paper] - 19.0 - sum(blocks) - gap * len(blocks) - head


def _lines(notes: Sequence[str]) -> int:
    """Lines that the notes take at the head."""
    return 1 + sum(len(note) + 7 for note in notes) // LINE


def _page(sheet: DataSheet, paper: str) -> dict[str, Any]:
    """What the template sets: texts and numbers only."""
    most, room = most_rows(sheet, paper), _room(sheet, paper)
    if len(sheet.roles) > MOST_ROLES:
        raise UserError(Fault("these are more columns than a page holds", sheet.run,
                              f"{len(sheet.roles)} roles", f"at most {MOST_ROLES}",
                              "print two sheets, each with some of the roles"))
    if len(sheet.times) > most:
        raise UserError(Fault("these are more readings than a page holds", sheet.run,
                              f"{len(sheet.times)} times", f"at most {most}",
                              "take a longer step, or fewer hours: --step, --hours"))
    return {
        "title": clean(sheet.title), "group": clean(sheet.group), "run": sheet.run,
        "kind": ", ".join(sheet.kind), "banner": clean(sheet.banner),
        "notes": [clean(note) for note in sheet.notes],
        "fields": [_box(one, span) for one, span in _spans(sheet)],
        "load_heads": [_box(one, 1) for one in sheet.loads[0]] if sheet.loads else [],
        "loads": [[clean(one.given) for one in row] for row in sheet.loads],
        "roles": [{"label": label_of((role,)), "unit": sheet.unit_of(role)}
                  for role in sheet.roles],
        "above": _above(sheet), "times": list(sheet.times), "unit": sheet.unit,
        "row": TALLEST if room - TALLEST * len(sheet.times) > WORKING else None,
        "wide": _is_wide(sheet), "below": _below(paper), "marks": 6 if _is_wide(sheet) else 12,
        "words": "Marks: " + ", ".join(MARKS) + ".",
        "foot": FOOT, "column": WIDTHS.get(len(sheet.roles)),
    }


def _spans(sheet: DataSheet) -> list[tuple[Field, int]]:
    """Boxes four to a row; the remark takes what is left of the last one."""
    *boxes, note = (one for one in sheet.fields if one.key.path != ("kind",))
    return [*((box, 1) for box in boxes), (note, 4 - len(boxes) % 4)]


def _box(one: Field, span: int) -> dict[str, Any]:
    return {"label": one.label, "unit": one.unit, "given": clean(one.given), "span": span,
            "hint": HINTS.get(one.label, ""),
            "choices": " · ".join(one.key.choices) if one.key.path == ("machine",) else ""}


def _above(sheet: DataSheet) -> list[dict[str, Any]]:
    """Rows between the heads of the readings and the first time."""
    chosen = [choices_above(role) for role in sheet.roles]
    rows = []
    for name in rows_above(sheet):
        some = any(name in of_role for of_role in chosen)
        cells = ["  ".join(of_role[name]) if name in of_role else "" for of_role in chosen]
        # Where one column has a choice, the others have nothing to say.
        rows.append({"name": name, "hint": ROW_HINTS.get(name, ""),
                     "height": CHOSEN if some else ABOVE,
                     "cells": [cell or None for cell in cells] if some else cells})
    return rows


def _is_wide(sheet: DataSheet) -> bool:
    return len(sheet.roles) > MOST_BESIDE


def _below(paper: str) -> float:
    """Height of sketch and marks where they stand below the readings. [mm]"""
    return 66.0 if paper == "a4" else 60.0
