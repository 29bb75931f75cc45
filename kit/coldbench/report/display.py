"""What a notebook shows: objects that render themselves for the HTML report and for the PDF.

Each is shown by being the last expression of a cell or through ``display(...)``. Every text is
plain text and comes out as it went in; only :class:`Prose` reads Markdown.

====================  =============================================================================
``ReportHead``        ``(title, subtitle="", author="", date="", question="", lang="en",
                      paper="a4", banner="", report_id="")``; once, anywhere in the notebook
``InventedBanner``    ``(text)``; puts the text on every page, like ``ReportHead(banner=...)``
``Heading``           ``(level, text)``; 1 is the title, 2 a section, 3 and 4 below it
``Text``              ``(*paragraphs, style="")``; a paragraph is a str or a list of str and
                      ``Cell``; style ``""``, ``lead`` or ``small``
``Bullets``           ``(items)``; each item like a paragraph
``Prose``             ``(markdown)``
``KeyNumbers``        ``(cards, caption="")``; ``Card(name, rows, mark=None, verdict="",
                      trust="", facts="")``, ``KeyRow(label, value, conditions="", status="")``,
                      status one of ``pass``, ``limited``, ``fail``, ``not tested``, or ``""``
``KeyValue``          ``(rows)``; pairs of a name and a text, ``Cell`` or None ("not stated")
``Table``             ``(columns, rows, caption="", align=None, note="", widths=None,
                      header_rows=1)``, ``Cell(text, style="", mark=None)``
``Figure``            ``(svg, caption, alt, label="", width="full", csv="")``; ``width`` is
                      ``full`` or ``half``, ``csv`` the file with the data, ``figures/x.csv``
``Pair``              ``(left, right)``; two half-width figures side by side
``photo``             ``(file, caption, alt, width="half")``; a Figure from a PNG or JPEG file,
                      without what the camera wrote into it (place, owner)
``NoticeBox``         ``(kind, title, text)``; kind ``note``, ``doubt`` or ``caution``; text is a
                      str or a list of paragraphs
``Caution``           ``(title, text)``
``PageBreak``         ``()``; on paper only
``Mark``              ``(shape, colour)``; matplotlib's marker codes and ``"#rrggbb"``
====================  =============================================================================
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from coldbench.report.figure import Figure, Pair, photo
from coldbench.report.keynumbers import Card, KeyNumbers, KeyRow
from coldbench.report.marks import Mark
from coldbench.report.markup import html_text, markdown_text, one_line, typst_string
from coldbench.report.shown import Shown
from coldbench.report.tables import Cell, Table, as_cell

__all__ = [
    "Bullets", "Card", "Caution", "Cell", "Figure", "Heading", "InventedBanner", "KeyNumbers",
    "KeyRow", "KeyValue", "Mark", "NoticeBox", "PageBreak", "Pair", "Prose", "ReportHead",
    "Table", "Text", "photo",
]

HEAD_MIME = "application/vnd.coldbench.head+json"
NOTICE_WORDS = {"note": "Note", "doubt": "Doubt", "caution": "Caution"}
TEXT_STYLES = ("", "lead", "small")

Paragraph = str | Sequence[str | Cell]


def _cells(paragraph: Paragraph) -> list[Cell]:
    parts = [paragraph] if isinstance(paragraph, str | Cell) else paragraph
    return [part if isinstance(part, Cell) else Cell(part) for part in parts]


def _html(paragraph: Paragraph) -> str:
    return " ".join(cell.html() for cell in _cells(paragraph))


def _typst(paragraph: Paragraph) -> str:
    return "[" + " ".join(f"#{cell.typst()};" for cell in _cells(paragraph)) + "]"


def _plain(paragraph: Paragraph) -> str:
    return " ".join(one_line(cell.text) for cell in _cells(paragraph))


def _paragraphs(text: str | Sequence[str]) -> list[str]:
    parts = text.split("\n\n") if isinstance(text, str) else list(text)
    return [part for part in parts if one_line(part)]


@dataclass(frozen=True)
class ReportHead:
    """What stands at the head of the report. ``date`` is ISO: ``2031-06-14``."""

    title: str
    subtitle: str = ""
    author: str = ""
    date: str = ""
    question: str = ""
    lang: str = "en"
    paper: str = "a4"
    banner: str = ""
    report_id: str = ""

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict:
        facts = {name: one_line(value) for name, value in asdict(self).items()}
        lines = [facts[n] for n in ("title", "subtitle", "question", "author", "date", "banner")]
        shown = [line for line in lines if line]
        body = "".join(f"<p>{html_text(line)}</p>" for line in shown[1:])
        return {
            HEAD_MIME: facts,
            "text/html": f"<h1>{html_text(self.title)}</h1>{body}",
            "text/plain": "\n".join(shown),
        }


@dataclass(frozen=True)
class InventedBanner:
    """A line that every page of the report carries."""

    text: str

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict:
        text = one_line(self.text)
        return {
            HEAD_MIME: {"banner": text},
            "text/html": f"<p><strong>{html_text(text)}</strong></p>",
            "text/plain": text,
        }


@dataclass(frozen=True)
class Prose:
    """Markdown written by the kit, never a user's text."""

    markdown: str

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {"text/markdown": self.markdown, "text/plain": self.markdown}


@dataclass(frozen=True)
class Heading:
    """A heading made from data; it appears in the contents like a written one."""

    level: int
    text: str

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        text = f"{'#' * min(max(self.level, 1), 6)} {markdown_text(self.text)}"
        return {"text/markdown": text, "text/plain": one_line(self.text)}


class Text(Shown):
    """Paragraphs of plain text."""

    def __init__(self, *paragraphs: Paragraph, style: str = "") -> None:
        if style not in TEXT_STYLES:
            raise ValueError(f"style {style!r} is not one of {TEXT_STYLES}")
        self.paragraphs = paragraphs
        self.style = style

    def html(self) -> str:
        """A ``<p>`` each."""
        css = f' class="{self.style}"' if self.style else ""
        return "\n".join(f"<p{css}>{_html(p)}</p>" for p in self.paragraphs)

    def typst(self) -> str:
        """A call of ``prose`` each."""
        return "\n".join(f'#prose(style: "{self.style}", {_typst(p)});' for p in self.paragraphs)

    def plain(self) -> str:
        """Blank line between paragraphs."""
        return "\n\n".join(_plain(p) for p in self.paragraphs)


@dataclass(frozen=True)
class Bullets(Shown):
    """A list with dots."""

    items: Sequence[Paragraph]

    def html(self) -> str:
        """An ``<ul>``."""
        return f"<ul>{''.join(f'<li>{_html(item)}</li>' for item in self.items)}</ul>"

    def typst(self) -> str:
        """A call of ``bullets``."""
        return f"#bullets({''.join(_typst(item) + ',' for item in self.items)});"

    def plain(self) -> str:
        """A line each."""
        return "\n".join(f"- {_plain(item)}" for item in self.items)


@dataclass(frozen=True)
class KeyValue(Shown):
    """Names and what is stated for them; what is missing says so."""

    rows: Sequence[tuple[str, object]]

    def _pairs(self) -> list[tuple[str, Cell]]:
        missing = Cell("not stated", "none")
        return [
            (name, missing if value is None or value == "" else as_cell(value))
            for name, value in self.rows
        ]

    def html(self) -> str:
        """A definition list."""
        rows = "".join(
            f"<div><dt>{html_text(name)}</dt><dd>{cell.html()}</dd></div>"
            for name, cell in self._pairs()
        )
        return f'<dl class="facts">{rows}</dl>'

    def typst(self) -> str:
        """A call of ``key-values``."""
        rows = "".join(f"({typst_string(n)}, {cell.typst()})," for n, cell in self._pairs())
        return f"#key-values({rows});"

    def plain(self) -> str:
        """A line each."""
        return "\n".join(f"{name}: {cell.text}" for name, cell in self._pairs())


@dataclass(frozen=True)
class NoticeBox(Shown):
    """A box the reader must not miss. Kind is ``note``, ``doubt`` or ``caution``."""

    kind: str
    title: str
    text: str | Sequence[str]

    def __post_init__(self) -> None:
        if self.kind not in NOTICE_WORDS:
            raise ValueError(f"kind {self.kind!r} is not one of {tuple(NOTICE_WORDS)}")

    def html(self) -> str:
        """An ``<aside>`` that says its kind in words."""
        body = "".join(f"<p>{html_text(p)}</p>" for p in _paragraphs(self.text))
        word = NOTICE_WORDS[self.kind]
        return (
            f'<aside class="notice {self.kind}"><p class="notice-title">'
            f"<span>{word}</span> {html_text(self.title)}</p>{body}</aside>"
        )

    def typst(self) -> str:
        """A call of ``notice-box``."""
        body = "".join(f"{typst_string(p)}," for p in _paragraphs(self.text))
        return f'#notice-box("{self.kind}", {typst_string(self.title)}, {body});'

    def plain(self) -> str:
        """Kind and title, then the text."""
        body = "\n\n".join(one_line(p) for p in _paragraphs(self.text))
        return f"{NOTICE_WORDS[self.kind]}: {one_line(self.title)}\n{body}"


def Caution(title: str, text: str | Sequence[str]) -> NoticeBox:
    """A notice of kind ``caution``; named like the classes it stands among."""
    return NoticeBox("caution", title, text)


@dataclass(frozen=True)
class PageBreak(Shown):
    """A new page on paper; nothing on a screen."""

    def html(self) -> str:
        """An empty block that only print sees."""
        return '<div class="page-break"></div>'

    def typst(self) -> str:
        """A weak page break: none where the page is empty anyway."""
        return "#pagebreak(weak: true)"

    def plain(self) -> str:
        """Nothing."""
        return ""
