"""An executed notebook written as HTML and PDF, without nbconvert's command line."""

from __future__ import annotations

import json
from pathlib import Path

from coldbench.report.page_html import html_report


def export(
    notebook: Path | str | dict,
    html: Path | None = None,
    pdf: Path | None = None,
    paper: str | None = None,
) -> None:
    """Write the reports that are asked for.

    Parameters
    ----------
    notebook : Path, str or NotebookNode
        The executed notebook, or its file.
    html, pdf : Path, optional
        Files to write; their folders are made.
    paper : str, optional
        ``a4`` or ``letter``; by default what the notebook says, else A4.
    """
    if not isinstance(notebook, dict):
        notebook = json.loads(Path(notebook).read_text(encoding="utf-8"))
    if html is not None:
        html.parent.mkdir(parents=True, exist_ok=True)
        html.write_text(html_report(notebook, paper), encoding="utf-8", newline="\n")
    if pdf is not None:
        from coldbench.report.page_typst import pdf_report

        pdf.parent.mkdir(parents=True, exist_ok=True)
        pdf.write_bytes(pdf_report(notebook, paper))
