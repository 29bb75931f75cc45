"""Logs in a campaign that no run names: how they look, and the block that a run sheet needs."""

from __future__ import annotations

import re
import textwrap
import tomllib
from pathlib import Path

from coldbench.errors import UserError
from coldbench.logs.look import Look, look_at, time_places
from coldbench.logs.proposal import proposed
from coldbench.sheets import Campaign
from coldbench.sheets.patterns import files_of

FOLDER = "logs"
SHOWN = 12  # columns shown of one file
NO_LOGS = {".toml", ".md", ".pdf", ".png", ".jpg", ".jpeg", ".json", ".html", ".py", ".ipynb"}


def unnamed(folder: Path, campaign: Campaign | None) -> dict[str, str]:
    """Files in ``logs/`` that no run sheet names.

    Parameters
    ----------
    folder : Path
        The campaign.
    campaign : Campaign or None
        Its sheets; None where they cannot be read as they are.

    Returns
    -------
    dict of str to str
        By what a block would call them, a pattern where several are alike but for numbers, the
        first of the files; relative to the campaign.
    """
    named = _named(folder) if campaign is None else {
        name for run in campaign.runs.values() for log in run.log
        for name in files_of(folder, log.file)}
    found: dict[str, list[str]] = {}
    for path in sorted((folder / FOLDER).rglob("*")):
        name = path.relative_to(folder).as_posix()
        if name in named or path.suffix.lower() in NO_LOGS or path.name.startswith(
                (".", "README", "~")):
            continue
        if path.is_file():
            found.setdefault(re.sub(r"\d+", "*", name), []).append(name)
    together = {}
    for names in found.values():
        pattern = _pattern(names)
        alike = len(names) > 1 and set(files_of(folder, pattern)) == set(names) and _alike(
            folder, names)
        together |= {pattern: names[0]} if alike else {name: name for name in names}
    return together


def _pattern(names: list[str]) -> str:
    """What names have in common, a star for each number that differs."""
    parts = [re.split(r"(\d+)", name) for name in names]
    same = "".join(column[0] if len(set(column)) == 1 else "*"
                   for column in zip(*parts, strict=True))
    return re.sub(r"\*([-_.:T ]?\*)+", "*", same)  # stars that stand side by side are one


def unnamed_text(path: Path, name: str) -> str:
    """The card of a log that no run names.

    Parameters
    ----------
    path : Path
        The file, or the first of many.
    name : str
        What a block is to call it.

    Returns
    -------
    str
        How it looks, the questions, and the block to paste.
    """
    lines = [f"{name}  (no run names it)"]
    try:
        look = look_at(path, name)
        block, questions = proposed(look, name)
    except UserError as mistake:
        return "\n".join([*lines, *(f"    {line}" for line in str(mistake).splitlines())])
    lines += _card(look)
    for question in questions:
        lines += textwrap.wrap(question, 100, initial_indent="    question  ",
                               subsequent_indent=" " * 14)
    lines.append("  Paste into its run sheet (runs/ID.toml), with an answer to each question:")
    return "\n".join([*lines, "", *block.splitlines()])


def look_text(path: Path, name: str) -> str:
    """The card of a log that a run names but that cannot be read yet.

    Parameters
    ----------
    path : Path
        The file.
    name : str
        As the run calls it.
    """
    try:
        return "\n".join([f"{name}  (not read yet: see below)", *_card(look_at(path, name))])
    except UserError:  # told where the run names it
        return f"{name}  (not read: see below)"


def _card(look: Look) -> list[str]:
    layout, cells = look.layout, look.cells
    column, clock, _ = time_places(look)
    rows = max(look.source.count - layout.first + 1, 0)
    encoding = look.encoding or look.source.encoding
    form = f"workbook, sheet “{look.source.sheet}”" if look.source.sheet else encoding
    where = f"headings on line {layout.heading}" if look.named else "no line of headings"
    lines = [f"    form      {form}, {layout.width} columns, {where}",
             f"    rows      about {rows}"]
    if column is not None:
        timed = cells[cells[column].str.match(r"\s*[-+]?\d")]
        first, last = (" ".join(timed[p].iloc[i].strip() for p in (column, clock) if p is not None)
                       for i in (0, -1))
        lines.append(f"    time      column {layout.headings[column]}, from {first} to {last}"
                     + (" …" if len(cells) < rows else ""))
    for place, heading in list(enumerate(layout.headings))[:SHOWN]:
        if place not in (column, clock):
            some = ", ".join(look.column(place).iloc[:4])
            lines.append(f"    column    {heading}: {some} …" if some else
                         f"    column    {heading}: empty")
    return [line if len(line) <= 100 else f"{line[:99]}…" for line in lines]


def _alike(folder: Path, names: list[str]) -> bool:
    """Whether files begin with the same line of headings."""
    try:
        looks = [look_at(folder / name, name) for name in (names[0], names[-1])]
    except UserError:
        return False
    return looks[0].layout.headings == looks[1].layout.headings


def _named(folder: Path) -> set[str]:
    """Files that run sheets name, read as far as they are TOML at all."""
    named: set[str] = set()
    for sheet in sorted((folder / "runs").glob("*.toml")):
        try:
            logs = tomllib.loads(sheet.read_text(encoding="utf-8")).get("log", [])
            for log in logs if isinstance(logs, list) else []:
                if isinstance(log, dict) and isinstance(log.get("file"), str):
                    named |= set(files_of(folder, log["file"]))
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
            continue  # told as a fault of the sheet
    return named
