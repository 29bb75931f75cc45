"""What is missing: gaps, repairs, doubts, and findings that were not measured."""

from __future__ import annotations

from coldbench.figures.words import printed, spoken
from coldbench.findings import KINDS, Finding
from coldbench.report.book import Book
from coldbench.report.display import Cell, Table, Text
from coldbench.report.sections.summary import NO_TARGET, targets

SEVERITY = {"note": "note", "doubt": "doubt", "disqualifies": "no number"}
NEEDS = {
    "coldest_air": "needs a run of kind “steady” at the coldest setting, with air logged",
    "pull_down_time": "needs a run of kind “pull-down” from a warm start",
    "daily_energy": "needs a run of kind “steady” with power or a counter, 24 h or longer",
    "freeze_time": "needs a run of kind “freeze” with a load probe at the centre",
    "hours_above_limit": "needs a pull-down run with a load place logged",
    "heat_leak": "needs a run of kind “heater”, “warm-up” or “ice-melt”",
    "cop": "needs a heat leak of the walls, and a steady run with power",
    "daily_energy_footing": "needs [footing] in campaign.toml, and a steady run with power",
    "usable_volume": "needs a usable volume in the cooler sheet, by a fill count",
    "price": "needs a price in the cooler sheet",
}
POWERED = ("daily_energy", "freeze_time", "coldest_air", "cop", "daily_energy_footing")


def missing(book: Book) -> list[object]:
    """Notices of all runs, and what would have to be measured for an answer."""
    # What was noticed alike in several runs of a cooler is said once.
    where: dict[tuple[str, str, str], list[str]] = {}
    for n in book.result.notices:
        where.setdefault((n.severity, n.cooler, n.message), []).append(n.where)
    notices = [
        [Cell(SEVERITY[severity], "bad" if severity == "disqualifies" else ""),
         book.names.get(cooler, ""), ", ".join(places), printed(message)]
        for (severity, cooler, message), places in where.items()
    ]
    shown: list[object] = []
    if notices:
        shown.append(Table(["Weight", "Cooler", "Where", "What"], notices,
                           caption="Notices: gaps, repairs and doubts"))
    else:
        shown.append(Text("No gaps, repairs or doubts were noticed in the logs."))
    absent = [row for c in book.coolers for row in _absent(book, c)]
    if absent:
        shown.append(Table(["Cooler", "Finding", "What it needs"], absent,
                           caption="Not measured"))
    bounds = [_bound_row(book, f) for f in book.rows
              if f.basis == "bounded" and f.note and f.finding != "peak_power"]
    if bounds:
        shown.append(Table(["Cooler", "Finding", "Why only bounds"], bounds,
                           caption="Bounds instead of a number"))
    return shown


def _absent(book: Book, cooler: str) -> list[list[object]]:
    passive = book.campaign.coolers[cooler].technology == "passive"
    rows = []
    for name, needs in NEEDS.items():
        if passive and name in POWERED:
            continue
        found = book.find(cooler=cooler, finding=name)
        if any(f.basis != "not measured" for f in found):
            continue
        note = next((f.note for f in found if f.note), needs)
        if name == "pull_down_time" and not targets(book):
            note = NO_TARGET
        rows.append([Cell(book.names[cooler], mark=book.mark(cooler)), KINDS[name].title, note])
    return rows


def _bound_row(book: Book, finding: Finding) -> list[object]:
    return [
        Cell(book.names[finding.cooler], mark=book.mark(finding.cooler)),
        finding.kind.title + (f", {spoken(finding.at)}" if finding.at else ""),
        printed(finding.note),
    ]
