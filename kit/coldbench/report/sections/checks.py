"""Same-place checks: what each probe read too much, and each clock was ahead."""

from __future__ import annotations

from coldbench.figures.words import listed
from coldbench.findings import Finding
from coldbench.quantities import number
from coldbench.report.book import Book
from coldbench.report.display import Table, Text

DECIMALS = {"probe_offset": 2, "clock_shift": 0}


def checks(book: Book) -> list[object]:
    """A line on the checks of the campaign and a row a probe and logger; nothing without them."""
    runs = [check for check in book.result.checks if check.offsets or check.shifts]
    if not runs:
        return []
    rows = [
        [f.runs[0], f.at, number(f.value, DECIMALS[f.finding]) + f" {f.unit}", _interval(f),
         f.note]
        for check in runs for f in check.findings
    ]
    told = listed([f"{check.run} ({check.day})" for check in runs])
    return [
        Text(f"All probes were together in one bath in {told}. The readings of the other runs are "
             "corrected by it, and their clocks where the shift can be told from none; notices "
             "say by how much."),
        Table(["Check", "Probe or logger", "Reads high, or is ahead, by", "95 % interval",
               "Known from"], rows, caption="Same-place checks"),
    ]


def _interval(finding: Finding) -> str:
    if finding.low is None or finding.high is None:
        return "not stated"
    low, high = (number(x, DECIMALS[finding.finding]) for x in (finding.low, finding.high))
    return f"{low} to {high}"
