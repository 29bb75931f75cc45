"""The HTML report: one file, no script, nothing fetched."""

from __future__ import annotations

import html
import re
from functools import cache

from coldbench.report import assets, markdown
from coldbench.report.markup import clean, css_text, one_line
from coldbench.report.notebook import head, pieces

CONTENTS_FROM = 4  # sections; a shorter report needs no contents
_COUNT = re.compile(r'<span class="count">(Figure|Table)</span>')


def html_report(notebook: dict, paper: str | None = None) -> str:
    """The whole page.

    Parameters
    ----------
    notebook : NotebookNode
        The executed notebook.
    paper : str, optional
        ``a4`` or ``letter``, for printing from a browser; by default what the notebook says.
    """
    facts = head(notebook)
    outline = markdown.Outline()
    body = _numbered("\n".join(_piece(piece, outline) for piece in pieces(notebook)))
    title = one_line(facts.get("title", "")) or outline.title or "Report"
    banner = facts.get("banner", "")
    sections = [entry for entry in outline.entries if entry[0] <= 2]
    return _template().render(
        lang=facts.get("lang", "en"),
        title=clean(title),
        **{name: clean(facts.get(name, "")) for name in ("subtitle", "question", "author", "date")},
        report_id=clean(facts.get("report_id", "")),
        banner=clean(banner),
        css=assets.font_faces() + assets.read("report.css"),
        page_css=_page_css(paper or facts.get("paper", "a4"), banner),
        contents=sections if sum(e[0] == 1 for e in sections) >= CONTENTS_FROM else [],
        body=body,
    )


@cache
def _template() -> object:
    from jinja2 import Environment, StrictUndefined

    # Everything is escaped; the parts that are markup already say so in the template.
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return environment.from_string(assets.read("report.html.j2"))


def _piece(piece: object, outline: markdown.Outline) -> str:
    if piece.kind == "markdown":
        return markdown.to_html(piece.content, outline)
    if piece.kind == "code":
        return f'<pre tabindex="0">{html.escape(clean(piece.content).rstrip())}</pre>'
    return piece.content.html()


def _numbered(body: str) -> str:
    """Figures and tables numbered in order, each kind on its own."""
    counts = {"Figure": 0, "Table": 0}

    def number(match: re.Match[str]) -> str:
        counts[match[1]] += 1
        return f'<span class="count">{match[1]} {counts[match[1]]}</span> '

    return _COUNT.sub(number, body)


def _page_css(paper: str, banner: str) -> str:
    size = {"a4": "A4", "letter": "letter"}.get(paper, "A4")
    return (
        f"@page{{size:{size};margin:22mm 20mm;"
        f"@top-left{{content:{css_text(banner)}}}"
        '@bottom-right{content:"Page " counter(page) " of " counter(pages)}}'
    )
