"""Markdown cells for both reports: one parser, two renderers, one list of headings.

Dollar signs stay dollar signs: prices are common here, formulas are written in plain signs.
Raw HTML is shown as text, pictures from elsewhere as their alt text.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import mistune
from mistune.core import BaseRenderer, BlockState
from mistune.renderers.html import HTMLRenderer

from coldbench.report.markup import html_text, one_line, typst_string, typst_text
from coldbench.report.tables import Table

_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
PLUGINS = ("table", "strikethrough")


@dataclass
class Outline:
    """Headings in order, with levels that never skip one.

    The first heading of level 1, if nothing but text came before it, is the title of the
    notebook; it is printed at the head of the report and not again.
    """

    title: str = ""
    entries: list[tuple[int, str, str]] = field(default_factory=list)

    def add(self, level: int, text: str) -> tuple[int, str] | None:
        """Level (1 is a section) and unique name of a heading; nothing for title or no text."""
        if not text:
            return None
        if level == 1 and not self.title and not self.entries:
            self.title = text
            return None
        deepest = self.entries[-1][0] + 1 if self.entries else 1
        level = min(max(level - 1, 1), deepest)
        stem = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-") or "section"
        taken = {slug for _, slug, _ in self.entries}
        slug, number = stem, 1
        while slug in taken:
            number += 1
            slug = f"{stem}-{number}"
        self.entries.append((level, slug, text))
        return level, slug


def token_text(token: dict) -> str:
    """Plain text of a token and all below it."""
    if "raw" in token:
        return token["raw"]
    if token["type"] in ("linebreak", "softbreak"):
        return " "
    return "".join(token_text(child) for child in token.get("children", ()))


def token_table(token: dict) -> Table:
    """A Markdown table as one of ours, so that both reports set it like all others."""
    head, *bodies = token["children"]
    letters = {"right": "r", "center": "c", "left": "l"}
    stated = [cell["attrs"].get("align") for cell in head["children"]]
    rows = [[token_text(cell) for cell in row["children"]] for b in bodies for row in b["children"]]
    align = "".join(letters.get(name, "l") for name in stated) if any(stated) else None
    return Table([token_text(cell) for cell in head["children"]], rows, align=align)


class MarkdownHTML(HTMLRenderer):
    """Markdown to HTML that fetches nothing."""

    def __init__(self, outline: Outline) -> None:
        super().__init__(escape=True)
        self.outline = outline

    def render_token(self, token: dict, state: BlockState) -> str:
        """As the parent, but for headings, whose plain text is needed, and tables."""
        if token["type"] == "table":
            return token_table(token).html()
        if token["type"] == "heading":
            place = self.outline.add(token["attrs"]["level"], one_line(token_text(token)))
            if place is None:
                return ""
            body = self.render_tokens(token["children"], state)
            return f'<h{place[0] + 1} id="{place[1]}">{body}</h{place[0] + 1}>\n'
        return super().render_token(token, state)

    def image(self, text: str, url: str, title: str | None = None) -> str:
        """The alt text: a picture from elsewhere would not travel with the page."""
        return f"<em>{html_text(text)}</em>"

    def block_html(self, html: str) -> str:
        """Shown as text."""
        shown = _COMMENT.sub("", html)
        return f"<p>{html_text(shown)}</p>\n" if shown.strip() else ""

    def inline_html(self, html: str) -> str:
        """Shown as text."""
        return html_text(_COMMENT.sub("", html))


class MarkdownTypst(BaseRenderer):
    """Markdown to Typst; every text travels in a string."""

    NAME = "typst"

    def __init__(self, outline: Outline) -> None:
        super().__init__()
        self.outline = outline
        self.after_heading = False

    def render_token(self, token: dict, state: BlockState) -> str:
        """Dispatch by type; anything unknown gives its text."""
        kind = token["type"]
        if kind == "table":
            return token_table(token).typst() + "\n\n"
        method = getattr(self, f"_{kind}", None)
        if method is None:
            return typst_text(token_text(token))
        if "children" in token:
            body = self.render_tokens(token["children"], state)
            return method(body, token)
        return method(token.get("raw", ""), token)

    def _text(self, raw: str, token: dict) -> str:
        # A string loses blanks at its ends only through one_line, so they are kept outside it.
        before = " " if raw[:1].isspace() else ""
        after = " " if raw[-1:].isspace() else ""
        return f"{before}{typst_text(raw)}{after}" if raw.strip() else before

    def _emphasis(self, body: str, token: dict) -> str:
        return f"#emph[{body}];"

    def _strong(self, body: str, token: dict) -> str:
        return f"#strong[{body}];"

    def _strikethrough(self, body: str, token: dict) -> str:
        return f"#strike[{body}];"

    def _codespan(self, raw: str, token: dict) -> str:
        return f"#raw({typst_string(raw)});"

    def _linebreak(self, raw: str, token: dict) -> str:
        return "#linebreak();"

    def _softbreak(self, raw: str, token: dict) -> str:
        return " "

    def _link(self, body: str, token: dict) -> str:
        target = token["attrs"]["url"]
        if target.startswith("#") and len(target) > 1:
            return f"#safe-link({typst_string(target[1:])})[{body}];"
        if not target.startswith(("https://", "http://", "mailto:")):
            return body
        # On paper a link has to be written out.
        written = "" if token_text(token) == target else f" ({typst_text(target)})"
        return f"#link({typst_string(target)})[{body}];{written}"

    def _image(self, body: str, token: dict) -> str:
        return f"#emph[{body}];"

    def _inline_html(self, raw: str, token: dict) -> str:
        shown = _COMMENT.sub("", raw)
        return typst_text(shown) if shown.strip() else ""

    def _block_html(self, raw: str, token: dict) -> str:
        shown = _COMMENT.sub("", raw)
        return f"#prose[{typst_text(shown)}];\n\n" if shown.strip() else ""

    def _paragraph(self, body: str, token: dict) -> str:
        # What leads in to a section stays with what it leads to.
        call, self.after_heading = "lead-in" if self.after_heading else "prose", False
        return f"#{call}[{body}];\n\n"

    def _block_text(self, body: str, token: dict) -> str:
        return body

    def _heading(self, body: str, token: dict) -> str:
        place = self.outline.add(token["attrs"]["level"], one_line(token_text(token)))
        if place is None:
            return ""
        self.after_heading = True
        return f"#[#heading(level: {place[0]})[{body}] #label({typst_string(place[1])})]\n\n"

    def _blank_line(self, raw: str, token: dict) -> str:
        return ""

    def _thematic_break(self, raw: str, token: dict) -> str:
        return "#line(length: 100%, stroke: 0.35pt + hair);\n\n"

    def _block_code(self, raw: str, token: dict) -> str:
        return f"#code-block({typst_string(raw.rstrip(), lines=True)});\n\n"

    def _block_quote(self, body: str, token: dict) -> str:
        return f"#quote(block: true)[{body}];\n\n"

    def _list(self, body: str, token: dict) -> str:
        call = "enumeration" if token["attrs"].get("ordered") else "bullets"
        start = f"start: {token['attrs'].get('start', 1)}, " if call == "enumeration" else ""
        return f"#{call}({start}{body});\n\n"

    def _list_item(self, body: str, token: dict) -> str:
        return f"[{body}],"


def to_html(source: str, outline: Outline) -> str:
    """Markdown as HTML; its headings go to the outline."""
    return mistune.create_markdown(renderer=MarkdownHTML(outline), plugins=PLUGINS)(source)


def to_typst(source: str, outline: Outline) -> str:
    """Markdown as Typst; its headings go to the outline."""
    return mistune.create_markdown(renderer=MarkdownTypst(outline), plugins=PLUGINS)(source)
