"""The numbers as files: ``findings.csv`` for people, ``findings.json`` for programs.

Both are written by the last cell of the comparison and hold the same numbers to six figures, so
that the same input gives the same bytes.
"""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from coldbench.errors import Fault, UserError
from coldbench.findings import COLUMNS, KINDS, Finding, Notice
from coldbench.sheets import Campaign

CSV, JSON, DESIGN = "findings.csv", "findings.json", "design.json"
SHAPE = 1  # of findings.json
FIGURES = 6
NUMBERS = ("value", "low", "high", "coverage")


@dataclass(frozen=True)
class Results:
    """What ``findings.json`` holds.

    Parameters
    ----------
    title, date : str
        Of the campaign.
    protocols : dict of str to str
        How each run was made; results are ranked together only where this is the same.
    coolers : dict of str to str
        Names by id.
    findings : tuple of Finding
        Repeats merged: one a cooler, finding and key.
    runs : dict of str to tuple of Finding
        Findings of single runs.
    notices : tuple of Notice
        What the reader must know.
    """

    title: str
    date: str
    protocols: dict[str, str]
    coolers: dict[str, str]
    findings: tuple[Finding, ...]
    runs: dict[str, tuple[Finding, ...]]
    notices: tuple[Notice, ...]


def write_results(
    out: Path | str,
    findings: Iterable[Finding],
    runs: Mapping[str, Iterable[Finding]],
    notices: Iterable[Notice],
    campaign: Campaign,
) -> Path | None:
    """Write ``findings.csv`` and, last, ``findings.json``.

    Parameters
    ----------
    out : Path or str
        Folder to write to; made if it is not there. Empty text, as in a notebook opened by hand:
        nothing is written.
    findings : iterable of Finding
        Repeats merged.
    runs : mapping of str to iterable of Finding
        Findings of single runs, by run.
    notices : iterable of Notice
        All notices.
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    Path or None
        ``findings.json``, if it was written.
    """
    if out == "":
        return None
    out = Path(out)
    out.mkdir(parents=True, exist_ok=True)
    ordered = _ordered(findings, list(campaign.coolers))
    with (out / CSV).open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(COLUMNS)
        table.writerows([_text(value) for value in f.row().values()] for f in ordered)
    told = {
        "shape": SHAPE,
        "title": campaign.sheet.title,
        "date": str(campaign.sheet.date or ""),
        "protocols": {run: sheet.protocol or "" for run, sheet in campaign.runs.items()},
        "coolers": {cooler: sheet.name for cooler, sheet in campaign.coolers.items()},
        "findings": [entry(finding) for finding in ordered],
        "runs": {
            run: [entry(finding) for finding in _ordered(runs[run], list(campaign.coolers))]
            for run in sorted(runs)
        },
        "notices": [asdict(notice) for notice in notices],
    }
    file = out / JSON
    text = json.dumps(told, indent=1, ensure_ascii=False, allow_nan=False)
    file.write_text(text + "\n", encoding="utf-8", newline="\n")
    return file


def read_results(file: Path) -> Results:
    """Read ``findings.json``, this campaign's or an earlier one's.

    Parameters
    ----------
    file : Path
        The file.

    Raises
    ------
    UserError
        No such file, or not one that ``coldbench report`` wrote.
    """
    do = "give the findings.json that coldbench report wrote"
    try:
        told = json.loads(file.read_text(encoding="utf-8"))
        if told["shape"] != SHAPE:
            raise ValueError(told["shape"])
        return Results(
            title=told["title"],
            date=told["date"],
            protocols=told["protocols"],
            coolers=told["coolers"],
            findings=tuple(_finding(entry) for entry in told["findings"]),
            runs={
                run: tuple(_finding(entry) for entry in entries)
                for run, entries in told["runs"].items()
            },
            notices=tuple(Notice(**notice) for notice in told["notices"]),
        )
    except OSError as error:
        what = f"cannot be read: {error.strerror}"
        raise UserError(Fault(what, file.name, do=do)) from error
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        what = "does not hold findings of this version"
        raise UserError(Fault(what, file.name, do=do)) from error


def _ordered(findings: Iterable[Finding], coolers: Sequence[str]) -> list[Finding]:
    """By cooler as in the campaign, then as findings are listed, then by key."""
    kinds = list(KINDS)

    def place(finding: Finding) -> tuple:
        cooler = coolers.index(finding.cooler) if finding.cooler in coolers else len(coolers)
        return (cooler, kinds.index(finding.finding), finding.at, finding.runs)

    return sorted(findings, key=place)


def rounded(number: float | None) -> float | None:
    """Six figures; what is open, infinite or not a number is empty.

    Examples
    --------
    >>> rounded(1234.56789), rounded(float("inf")), rounded(-0.0)
    (1234.57, None, 0.0)
    """
    if number is None or not math.isfinite(number):
        return None
    return float(f"{number:.{FIGURES}g}") + 0.0


def _text(value: object) -> str:
    if isinstance(value, str):
        return value
    number = rounded(value)
    return "" if number is None else repr(number).removesuffix(".0")


def entry(finding: Finding) -> dict[str, object]:
    """A finding as a JSON file holds it."""
    entry = {name: getattr(finding, name) for name in COLUMNS}
    entry |= {name: rounded(entry[name]) for name in NUMBERS}
    entry["runs"] = list(finding.runs)
    entry["conditions"] = {
        name: value if isinstance(value, str) else rounded(value)
        for name, value in finding.conditions.items()
    }
    return entry


def _finding(entry: dict) -> Finding:
    return Finding(**{**entry, "runs": tuple(entry["runs"])})
