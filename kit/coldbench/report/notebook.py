"""An executed notebook as a row of pieces that either report can set.

Code, prompts and stderr stay out. Cells tagged ``not-in-report`` stay out whole.
"""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Iterator
from dataclasses import dataclass

from coldbench.report.display import HEAD_MIME, NoticeBox, Text
from coldbench.report.figure import Figure, from_raster
from coldbench.report.markup import without_colours
from coldbench.report.tables import Table

LEFT_OUT = "not-in-report"
HTML_ROWS = 2000  # rows of a bare frame; such a table is for looking at, not for keeping


@dataclass(frozen=True)
class Piece:
    """Something to set.

    Parameters
    ----------
    kind : str
        ``markdown`` or ``code`` (``content`` is text), or ``shown`` (``content`` is a display
        object or :class:`Ready`).
    """

    kind: str
    content: object


@dataclass(frozen=True)
class Ready:
    """What a display object of the kit left in the notebook: both forms as it made them."""

    html_form: str
    typst_form: str

    def html(self) -> str:
        """As stored."""
        return self.html_form

    def typst(self) -> str:
        """As stored."""
        return self.typst_form


def head(notebook: dict) -> dict[str, str]:
    """What the report heads in the outputs and the notebook's metadata say; the last word wins.

    Parameters
    ----------
    notebook : NotebookNode
        The executed notebook.
    """
    facts = dict(notebook.get("metadata", {}).get("coldbench", {}))
    for cell in notebook["cells"]:
        for output in cell.get("outputs", ()):
            stated = output.get("data", {}).get(HEAD_MIME, {})
            facts.update({name: value for name, value in stated.items() if value})
    return {name: str(value) for name, value in facts.items()}


def pieces(notebook: dict) -> Iterator[Piece]:
    """Pieces of the report in order.

    Parameters
    ----------
    notebook : NotebookNode
        The executed notebook.
    """
    for cell in notebook["cells"]:
        if LEFT_OUT in cell.get("metadata", {}).get("tags", ()):
            continue
        if cell["cell_type"] == "markdown":
            yield Piece("markdown", _text(cell["source"]))
        for output in cell.get("outputs", ()):
            yield from _output(output)


def _output(output: dict) -> Iterator[Piece]:
    kind = output["output_type"]
    if kind == "stream" and output["name"] == "stdout":
        yield Piece("code", without_colours(_text(output["text"])))
    elif kind == "error":
        what = f"{output['ename']}: {output['evalue']}"
        yield Piece("shown", NoticeBox("caution", "This part could not be made",
                                       without_colours(what).split("\n")))
    elif kind in ("display_data", "execute_result"):
        yield from _bundle(output["data"], output.get("metadata", {}))


def _bundle(data: dict, metadata: dict) -> Iterator[Piece]:
    """The richest form that both reports can set."""
    if HEAD_MIME in data:
        return
    if "text/vnd.typst" in data and "text/html" in data:
        yield Piece("shown", Ready(_text(data["text/html"]), _text(data["text/vnd.typst"])))
    elif "text/markdown" in data:
        yield Piece("markdown", _text(data["text/markdown"]))
    elif "text/html" in data:
        yield from (Piece("shown", part) for part in from_html(_text(data["text/html"])))
    elif picture := _picture(data, metadata):
        yield Piece("shown", picture)
    elif "text/plain" in data:
        yield Piece("code", _text(data["text/plain"]))


def _picture(data: dict, metadata: dict) -> Figure | None:
    """A figure shown by hand: ``display(fig, metadata={"caption": ..., "alt": ...})``."""
    caption = str(metadata.get("caption", ""))
    alt = str(metadata.get("alt", "")) or caption or "Figure without a description"
    if "image/svg+xml" in data:
        return Figure(_text(data["image/svg+xml"]), caption, alt)
    for mime in ("image/png", "image/jpeg"):
        if mime in data:
            return from_raster(b64decode(_text(data[mime])), caption, alt)
    return None


def from_html(markup: str) -> list[Table | Text]:
    """Tables and text of foreign HTML, such as a bare pandas frame; all else is left out.

    Examples
    --------
    >>> from_html("<table><tr><th>a</th></tr><tr><td>1</td></tr></table>")[0].plain()
    'a\\n1'
    """
    from bs4 import BeautifulSoup

    soup = BeautifulSoup(markup, "html.parser")
    for element in soup(["script", "style", "template", "head"]):
        element.decompose()
    found: list[Table | Text] = []
    for element in soup("table"):
        if element.find_parent("table") is None:
            found.append(_table(element))
    for element in soup("table"):
        element.decompose()
    rest = soup.get_text(" ").strip()
    return [*found, Text(rest, style="small")] if rest else found


def _table(element: object) -> Table:
    caption = element.caption.get_text(" ") if element.caption else ""
    lines = element("tr")
    head_lines = len(element.thead("tr")) if element.thead else 1
    grid = _grid(lines)
    note = ""
    if len(grid) - head_lines > HTML_ROWS:
        note = f"The first {HTML_ROWS} of {len(grid) - head_lines} rows."
        grid = grid[: head_lines + HTML_ROWS]
    if not grid:
        return Table([""], [], caption=caption)
    return Table(grid[0], grid[1:], caption, note=note, header_rows=max(head_lines, 1))


def _grid(lines: list) -> list[list[str]]:
    """Cells in a rectangle; the text of a spanning cell stands in its first place."""
    placed: dict[tuple[int, int], str] = {}
    for y, line in enumerate(lines):
        x = 0
        for cell in line(["th", "td"], recursive=False):
            while (y, x) in placed:
                x += 1
            for dy in range(_span(cell, "rowspan")):
                for dx in range(_span(cell, "colspan")):
                    placed[(y + dy, x + dx)] = "" if dy or dx else cell.get_text(" ").strip()
    wide = 1 + max((x for _, x in placed), default=-1)
    return [[placed.get((y, x), "") for x in range(wide)] for y in range(len(lines))]


def _span(cell: object, name: str) -> int:
    value = str(cell.get(name, 1))
    return min(max(int(value), 1), 1000) if value.isdigit() else 1


def _text(value: str | list[str]) -> str:
    return value if isinstance(value, str) else "".join(value)
