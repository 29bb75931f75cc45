"""Tables for both reports: plain text in, numbers to the right, heads repeated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from coldbench.quantities import us
from coldbench.report import columns as _columns
from coldbench.report.marks import Mark
from coldbench.report.markup import html_text, one_line, typst_string, typst_text, typst_tuple
from coldbench.report.shown import Shown

Style = Literal["", "muted", "strong", "good", "bad", "none"]
STYLES = ("", "muted", "strong", "good", "bad", "none")
PRINTED_ROWS = 200
UNCUT_ROWS = 12  # a table this short is moved to the next page rather than cut
LONG_CELL = 1500  # signs; such a cell may run over a page end, it might not fit on any page


@dataclass(frozen=True)
class Cell:
    """One cell, where plain text is not enough.

    Parameters
    ----------
    text : str
        Plain text.
    style : str
        ``muted``, ``strong``, ``good``, ``bad`` or ``none`` (nothing measured), or ``""``.
        The text has to say it too: colour is never alone.
    mark : Mark, optional
        The cooler's sign, drawn before the text.

    Raises
    ------
    ValueError
        Unknown style.
    """

    text: str
    style: Style = ""
    mark: Mark | None = None

    def __post_init__(self) -> None:
        if self.style not in STYLES:
            raise ValueError(f"style {self.style!r} is not one of {STYLES}")
        object.__setattr__(self, "text", us.beside(self.text))

    def html(self) -> str:
        """The text, in a span where it has a style."""
        sign = self.mark.html() if self.mark else ""
        text = html_text(self.text)
        return sign + (f'<span class="{self.style}">{text}</span>' if self.style else text)

    def typst(self) -> str:
        """Typst expression."""
        text = typst_string(self.text)
        if self.style:
            text = f'styled("{self.style}", {text})'
        return f"[#{self.mark.typst()}#{text}]" if self.mark else text


def as_cell(value: object) -> Cell:
    """A cell as it is; anything else as plain text, nothing as an en dash."""
    if isinstance(value, Cell):
        return value
    return Cell("–" if value is None else one_line(value))


def _in_units(grid: list[list[Cell]]) -> list[list[Cell]]:
    """Columns with a unit in their head, in the units chosen."""
    if us.chosen() == "si":
        return grid
    heads, rows = us.columns([cell.text for cell in grid[0]],
                             [[cell.text for cell in row] for row in grid[1:]])
    return [[replace(cell, text=text) for cell, text in zip(row, texts, strict=True)]
            for row, texts in zip(grid, [heads, *rows], strict=True)]


@dataclass(frozen=True)
class Table(Shown):
    """A table; see :mod:`coldbench.report.display`.

    Parameters
    ----------
    columns : sequence of str or Cell
        Heads, with the unit in brackets: ``"Daily energy [Wh/d]"``.
    rows : sequence of sequences of str, Cell, number or None
        Body; ``None`` prints as an en dash.
    caption : str
        What the table shows. Tables with a caption are numbered.
    align : str, optional
        A letter a column out of ``l``, ``r``, ``c``; by default numbers go right.
    note : str
        Small print under the table.
    widths : sequence of float, optional
        Shares of the text width on paper; by default from the text.
    header_rows : int
        Lines of the head; the second and later ones are the first rows of ``rows``.

    Raises
    ------
    ValueError
        Rows of unequal length, or ``align`` or ``widths`` that do not fit the columns.
    """

    columns: Sequence[object]
    rows: Sequence[Sequence[object]]
    caption: str = ""
    align: str | None = None
    note: str = ""
    widths: Sequence[float] | None = None
    header_rows: int = 1
    _head: list[list[Cell]] = field(init=False, repr=False)
    _body: list[list[Cell]] = field(init=False, repr=False)
    _letters: str = field(init=False, repr=False)
    _unwrapped: set[int] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        grid = [[as_cell(cell) for cell in row] for row in (self.columns, *self.rows)]
        count = len(grid[0])
        for row in grid:
            if len(row) != count:
                raise ValueError(f"a row has {len(row)} cells, the head has {count}")
        grid = _in_units(grid)
        put = object.__setattr__  # frozen: what is derived is set once, here
        put(self, "_head", grid[: self.header_rows])
        put(self, "_body", grid[self.header_rows :])
        texts = [[cell.text for cell in row] for row in self._body]
        put(self, "_letters", self.align or _columns.alignment(texts, count))
        heads = [[cell.text for cell in row] for row in self._head]
        put(self, "_unwrapped", _columns.unwrapped([*heads, *texts]))
        if len(self._letters) != count or set(self._letters) - set("lrc"):
            raise ValueError(f"align {self.align!r} needs {count} letters out of l, r, c")
        if self.widths is not None and len(self.widths) != count:
            raise ValueError(f"widths has {len(self.widths)} shares for {count} columns")

    def html(self) -> str:
        """The table in a region of its own, which scrolls where the page is too narrow."""
        named = self._letters.startswith("l")
        head = "".join(f"<tr>{self._html_row(row, 'col', False)}</tr>" for row in self._head)
        body = "".join(f"<tr>{self._html_row(row, 'row', named)}</tr>\n" for row in self._body)
        caption = note = ""
        if self.caption:
            caption = (
                f'<caption><span class="count">Table</span>{html_text(self.caption)}</caption>'
            )
        if self.note:
            note = f'<p class="table-note">{html_text(self.note)}</p>'
        label = html_text(self.caption or "Table")
        return (
            f'<div class="table"><div class="scroll" role="region" tabindex="0" '
            f'aria-label="{label}"><table>{caption}<thead>{head}</thead>\n'
            f"<tbody>{body}</tbody></table></div>{note}</div>"
        )

    def _html_row(self, row: Sequence[Cell], scope: str, named: bool) -> str:
        cells = []
        for number, (cell, letter) in enumerate(zip(row, self._letters, strict=True)):
            heading = scope == "col" or (named and number == 0)
            tag = f'th scope="{scope}"' if heading else "td"
            kinds = [letter] if letter != "l" else []
            if number in self._unwrapped:
                kinds.append("short")
            elif _columns.text_width(cell.text) > _columns.LONG:
                kinds.append("long")
            css = f' class="{" ".join(kinds)}"' if kinds else ""
            cells.append(f"<{tag}{css}>{cell.html()}</{tag[:2]}>")
        return "".join(cells)

    def typst(self) -> str:
        """A call of the template's ``data-table``."""
        shown = self._body[:PRINTED_ROWS]
        texts = [[cell.text for cell in row] for row in (*self._head, *shown)]
        layout = _columns.plan(texts, self.widths)
        note = self.note
        if len(self._body) > len(shown):
            cut = f"The first {len(shown)} of {len(self._body)} rows; the HTML report has all."
            note = f"{note} {cut}".strip()
        parts = "\n".join(self._typst_part(part, layout, shown) for part in layout.parts)
        whole = len(shown) <= UNCUT_ROWS
        return (
            f"#data-table(caption: {typst_string(self.caption)}, note: {typst_string(note)}, "
            f"scale: {layout.scale:.3f}, whole: {str(whole).lower()},\n{parts}\n);"
        )

    def _typst_part(
        self, part: Sequence[int], layout: _columns.Plan, body: Sequence[Sequence[Cell]]
    ) -> str:
        """The columns of one part: how wide, how aligned, head, and all cells in a row."""
        names = {"l": "left", "r": "right", "c": "center"}
        head = [typst_tuple([row[i].typst() for i in part]) for row in self._head]
        rows = "".join(",".join(_typst_cell(row[i]) for i in part) + ",\n" for row in body)
        return (
            f"(columns: {typst_tuple([layout.widths[i] for i in part])}, "
            f"align: {typst_tuple([names[self._letters[i]] for i in part])}, "
            f"head: {typst_tuple(head)}, cells: (\n{rows})),"
        )

    def plain(self) -> str:
        """Cells between tabs."""
        lines = [self.caption] if self.caption else []
        lines += ["\t".join(cell.text for cell in row) for row in (*self._head, *self._body)]
        return "\n".join([*lines, self.note] if self.note else lines)


def _typst_cell(cell: Cell) -> str:
    if len(cell.text) > LONG_CELL:
        return f"table.cell(breakable: true, [{typst_text(cell.text)}])"
    return cell.typst()
