"""The printed report: Typst made from the notebook, set in this process."""

from __future__ import annotations

import datetime
import logging

from coldbench.report import assets, markdown
from coldbench.report.markup import one_line, typst_string
from coldbench.report.notebook import head, pieces

log = logging.getLogger(__name__)
CONTENTS_FROM = 4  # sections; a shorter report needs no contents
PAPERS = {"a4": "a4", "letter": "us-letter"}


def typst_report(notebook: dict, paper: str | None = None) -> str:
    """The whole Typst document.

    Parameters
    ----------
    notebook : NotebookNode
        The executed notebook.
    paper : str, optional
        ``a4`` or ``letter``; by default what the notebook says, else A4.
    """
    facts = head(notebook)
    outline = markdown.Outline()
    parts: list[str] = []
    second_section = None
    for piece in pieces(notebook):
        before = sum(level == 1 for level, _, _ in outline.entries)
        text = _piece(piece, outline)
        after = sum(level == 1 for level, _, _ in outline.entries)
        if second_section is None and before < 2 <= after:
            second_section = len(parts)
        parts.append(text)
    sections = sum(level == 1 for level, _, _ in outline.entries)
    if sections >= CONTENTS_FROM and second_section is not None:
        parts.insert(second_section, "#contents()")
    title = one_line(facts.get("title", "")) or outline.title or "Report"
    body = "\n\n".join(parts)
    return f"{assets.read('report.typ')}\n{_show_rule(facts, title, paper)}\n{body}\n"


def pdf_report(notebook: dict, paper: str | None = None) -> bytes:
    """The report as PDF, to the standard for accessible documents (PDF/UA-1) where that goes.

    Parameters
    ----------
    notebook : NotebookNode
        The executed notebook.
    paper : str, optional
        ``a4`` or ``letter``.
    """
    return compile_pdf(typst_report(notebook, paper))


def compile_pdf(source: str) -> bytes:
    """PDF of a Typst document.

    The report's own fonts come first, so that it looks the same on every system. Only a sign that
    they lack brings in the system's fonts, then matplotlib's, whose last-resort font frames
    anything. If the accessible standard still refuses, the PDF is tagged without claiming it.

    Parameters
    ----------
    source : str
        The document.

    Raises
    ------
    typst.TypstError
        The document is wrong: our fault.
    """
    import typst

    own, plotting = [str(assets.fonts())], assets.plotting_fonts()
    every = [*own, str(plotting)] if plotting else own
    attempts = ((own, False, ["ua-1"]), (own, True, ["ua-1"]), (every, True, ["ua-1"]))
    for paths, system, standards in (*attempts, (every, True, [])):
        fonts = typst.Fonts(include_system_fonts=system, font_paths=paths)
        compiler = typst.Compiler(source.encode("utf-8"), font_paths=fonts)
        try:
            pdf, warnings = compiler.compile_with_warnings(format="pdf", pdf_standards=standards)
        except typst.TypstError as error:
            if not standards or not error.message.startswith("PDF/UA"):
                raise
            log.info("PDF: %s; trying with more fonts", error.message)
            continue
        for warning in warnings:
            log.warning("PDF: %s", warning.message)
        return pdf
    raise AssertionError("the last attempt returns or raises")


def _piece(piece: object, outline: markdown.Outline) -> str:
    if piece.kind == "markdown":
        return markdown.to_typst(piece.content, outline)
    if piece.kind == "code":
        return f"#code-block({typst_string(piece.content.rstrip(), lines=True)});"
    return piece.content.typst()


def _show_rule(facts: dict[str, str], title: str, paper: str | None) -> str:
    texts = ("subtitle", "author", "question", "banner")
    stated = [f"{name}: {typst_string(facts[name])}" for name in texts if facts.get(name)]
    day = _day(facts.get("date", ""))
    date = f"datetime(year: {day.year}, month: {day.month}, day: {day.day})" if day else "none"
    return "#show: report.with({});".format(
        ", ".join((
            f"title: {typst_string(title)}",
            f"lang: {typst_string(_language(facts.get('lang', '')))}",
            f'paper: "{PAPERS.get(paper or facts.get("paper", "a4"), "a4")}"',
            f"report-id: {typst_string(facts.get('report_id', ''))}",
            f"date: {date}, date-text: {typst_string(facts.get('date', ''))}",
            *stated,
        ))
    )


def _language(tag: str) -> str:
    """The language of a tag such as ``en-GB``; Typst takes two or three letters."""
    code = tag.partition("-")[0].lower()
    return code if code.isascii() and code.isalpha() and len(code) in (2, 3) else "en"


def _day(text: str) -> datetime.date | None:
    try:
        return datetime.date.fromisoformat(text[:10])
    except ValueError:
        return None
