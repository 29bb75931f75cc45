"""Uncertainty budgets of the headlines: which input makes how much of each interval."""

from __future__ import annotations

from collections.abc import Sequence

from coldbench.compare.budget import Share, budgets
from coldbench.figures import budget_bars
from coldbench.figures.budget import input_words
from coldbench.figures.words import said, spoken
from coldbench.findings import Finding
from coldbench.quantities import number
from coldbench.report.book import Book
from coldbench.report.display import Cell, Table, Text
from coldbench.report.sections.summary import headlines

TOLD = 3  # inputs in a cell of the table


def budget_table(book: Book) -> list[object]:
    """A row a headline of each cooler, with the inputs that weigh most.

    Parameters
    ----------
    book : Book
        Campaign.
    """
    found = _budgets(book, [f for cooler in book.coolers for f in _headlines(book, cooler)])
    if not found:
        return []
    rows = [
        [Cell(book.names[f.cooler], mark=book.mark(f.cooler)), _titled(f), said(f),
         ", ".join(_told(share, f.cooler) for share in shares[:TOLD] if share.share > 0.005)]
        for f, shares in found
    ]
    return [
        Table(["Cooler", "Finding", "Value (95 % interval)", "Share of variance by input"], rows,
              caption="Uncertainty budgets of the headlines",
              note="The share of an input is the square of its correlation with the finding over "
                   "all draws. Inputs are named by probe, meter, run or sheet; the cooler's own "
                   "sheet has all of them in a figure, with its data."),
    ]


def budget_figure(book: Book, cooler: str) -> list[object]:
    """Budgets of one cooler's headlines in bars."""
    found = _budgets(book, _headlines(book, cooler))
    drawn = budget_bars(found, style=book.styles[cooler], cooler=book.names[cooler],
                        name=f"budget-{cooler}")
    return list(book.figure(drawn)) or [
        Text("No headline has an interval: state the errors of the instruments.")]


def _headlines(book: Book, cooler: str) -> list[Finding]:
    return [f for _, f in headlines(book, cooler) if f is not None]


def _budgets(book: Book, findings: list[Finding]) -> list[tuple[Finding, Sequence[Share]]]:
    return list(budgets(findings, book.inputs))


def _titled(finding: Finding) -> str:
    return finding.kind.title + (f", {spoken(finding.at)}" if finding.at else "")


def _told(share: Share, cooler: str) -> str:
    return f"{input_words(share.name, cooler)} {number(100 * share.share, 0)} %"
