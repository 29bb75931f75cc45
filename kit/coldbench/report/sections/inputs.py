"""Inputs with their checksums, versions, settings; and the last cell's results on file."""

from __future__ import annotations

from dataclasses import fields

from coldbench.analysis.limits import LIMITS
from coldbench.logs.limits import QUALITY
from coldbench.quantities import us
from coldbench.report.book import Book
from coldbench.report.display import Heading, KeyValue, Table, Text
from coldbench.report.provenance import is_default, provenance, write_provenance
from coldbench.report.results import write_results
from coldbench.report.sections.completeness import items_of_a_test_report


def inputs(book: Book) -> list[object]:
    """Files with SHA-256, versions, all settings, and how to make the report again."""
    told = provenance(book.campaign, paper=book.paper, units=us.chosen())
    files = [[i["file"], str(i["bytes"]), i["sha256"]] for i in told["inputs"]]
    versions = [(name, value) for name, value in told["versions"].items()]
    draws = told["settings"]["draws"]
    return [
        Heading(2, "11 Inputs, versions and settings"),
        Table(["File", "Bytes", "SHA-256"], files, caption="Inputs, as received"),
        KeyValue([*versions, ("Draws", f"{draws['count']}, seed {draws['seed']}"),
                  ("Make this report again", told["again"])]),
        settings("Limits and assumptions of reading and analysis", LIMITS, QUALITY),
        *items_of_a_test_report(book),
    ]


def settings(caption: str, *of: object) -> Table:
    """Every limit and assumption of some, and whether it is as shipped."""
    rows = [
        [f.metadata["what"], f"{getattr(limits, f.name):g}",
         "" if f.metadata["unit"] == "-" else f.metadata["unit"],
         "default" if is_default(limits, f.name) else "changed"]
        for limits in of for f in fields(limits)
    ]
    return Table(["Limit or assumption", "Value", "Unit", "As shipped?"], rows, caption=caption)


def figure_data(book: Book) -> list[object]:
    """Where the data behind each figure are."""
    heading = Heading(2, "12 Data behind the figures")
    if book.out is None:
        return [heading, Text("They are written when the report is made into a folder.")]
    rows = [[name, f"figures/{name}.csv"] for name in dict.fromkeys(book.drawn)]
    return [heading, Table(["Figure", "Data"], rows,
                           caption="Data behind the figures, beside this report")]


def finish(book: Book) -> Text:
    """Write findings and provenance beside the report; the proof that all cells ran."""
    if book.out is None:
        return Text("Nothing was written: the notebook was given no folder for results.",
                    style="small")
    write_provenance(book.out, book.campaign, paper=book.paper, units=us.chosen())
    runs = {run: r.findings for run, r in book.result.results.items()}
    write_results(book.out, book.rows, runs, book.result.notices, book.campaign)
    told = f"{len(book.rows)} findings are in findings.csv and findings.json beside this report."
    if us.chosen() != "si":
        told += (" They, the data behind the figures and the limits above are in SI units; W/K, "
                 "kJ/K and Wh are SI throughout.")
    return Text(told, style="small")
