"""A design that was built: what was predicted of it beside what it does, and why it differs."""

from __future__ import annotations

from collections.abc import Sequence

from coldbench.design.beside import ORDER, Beside
from coldbench.design.beside import beside as beside_of
from coldbench.design.beside_row import Row, Told
from coldbench.figures.words import spoken
from coldbench.findings import KINDS
from coldbench.quantities import number, show, two_figures
from coldbench.report.book import Book
from coldbench.report.display import Cell, Heading, NoticeBox, Table, Text

STYLES = {"yes": "good", "no": "bad", "cannot tell": "muted"}
AT_ONCE = 4  # findings side by side in a table of terms
NOTE = (
    "Predicted from its own sheet and the measured parts of the cooler it is a design of, at the "
    "conditions of its own runs. The difference is taken draw by draw, with what one run differs "
    "from the next; it agrees where it may be nothing. It cannot be told where so much is open "
    "that half of the value would not show."
)
GIVING_WAY = (
    "One predicted part after another gives way to the measured one, from above downwards; what a "
    "part makes of the difference depends on that order. Bold: surely not nothing."
)


def beside(book: Book) -> list[object]:
    """Prediction and measurement of every cooler that is a design of another one.

    Parameters
    ----------
    book : Book
        The campaign, analysed and compared.

    Returns
    -------
    list
        What to show; empty where no cooler is such a design.
    """
    shown: list[object] = []
    for cooler in book.coolers:
        found = beside_of(book.result, book.rows, cooler)
        if found is not None:
            shown += _one(book, found)
    return shown


def _one(book: Book, found: Beside) -> list[object]:
    name, first = book.names[found.cooler], book.names[found.first]
    shown: list[object] = [Heading(3, f"{name}, a design of {first}: predicted and measured")]
    if found.rows:
        rows = [[_title(row), _where(row), _told(row.predicted, row), _told(row.measured, row),
                 _told(row.apart, row, True), Cell(row.agrees, STYLES[row.agrees])]
                for row in found.rows]
        shown += [
            Table(["Finding", "At", "Predicted", "Measured", "Predicted − measured", "Agrees"],
                  rows, caption=f"{name}: predicted beside measured", note=NOTE),
            Text(_agreeing(found.rows), *[_sentence(row) for row in found.rows
                                          if row.agrees != "yes"]),
        ]
        shown += _terms(name, found.rows)
    if found.said:
        shown.append(Text("It rests on: " + "; ".join(found.said) + ".", style="small"))
    if found.lacking:
        shown.append(NoticeBox("doubt", f"{name}: what cannot be said",
                               [f"{_first_up(one)}." for one in found.lacking]))
    return shown


def _terms(name: str, rows: Sequence[Row]) -> list[object]:
    """Tables of what each part makes of each difference."""
    taken = [row for row in rows if row.remains is not None]
    shown: list[object] = []
    for begin in range(0, len(taken), AT_ONCE):
        some = taken[begin: begin + AT_ONCE]
        seen = {t.what for row in some for t in row.terms}
        parts = [part for part in ORDER if part in seen]
        lines = [[_first_up(part), *(_term(row, part) for row in some)] for part in parts]
        lines.append(["What remains", *(_told(row.remains, row, True) for row in some)])
        lines.append([Cell("Predicted − measured", "strong"),
                      *(Cell(_told(row.apart, row, True), "strong") for row in some)])
        shown.append(Table(["Part", *(f"{_title(row)}, {_where(row)}" for row in some)], lines,
                           caption=f"{name}: what makes the difference", note=GIVING_WAY))
    return shown


def _term(row: Row, part: str) -> object:
    told = next((t.told for t in row.terms if t.what == part), None)
    if told is None:
        return Cell("–", "none")
    return Cell(_told(told, row, True), "strong" if _sure(told) else "")


def _agreeing(rows: Sequence[Row]) -> str:
    agree = sum(row.agrees == "yes" for row in rows)
    return f"Of {len(rows)} findings {agree} agree with their prediction."


def _sentence(row: Row) -> str:
    """A difference in words: whether it may be nothing, and what surely makes it."""
    head, apart = f"{_title(row)}, {_where(row)}: ", row.apart
    if apart.value is None:
        return head + ("predicted not to be held, yet it is." if row.agrees == "no" else
                       "whether it would be held was not sure before.")
    more, less = ("warmer", "colder") if row.finding == "coldest_air" else ("more", "less")
    size = number(abs(apart.value), two_figures(apart.value, apart.low, apart.high))
    text = f"{head}predicted {size} {_unit(row, True)}".rstrip()
    text += f" {more if apart.value > 0 else less} than measured, "
    if row.agrees == "cannot tell":
        return text + "but too much is open to tell."
    text += "more than prediction, measurement and runs leave open."
    surely = [f"{t.what} {_told(t.told, row, True)}" for t in row.terms if _sure(t.told)]
    if surely:
        text += f" Surely of it: {'; '.join(surely)}."
    elif row.terms:
        text += " No part that was measured surely makes it."
    if row.remains is not None and _sure(row.remains):
        text += f" Unexplained: {_told(row.remains, row, True)}."
    return text


def _sure(told: Told) -> bool:
    return told.low is not None and told.high is not None and not told.low <= 0 <= told.high


def _title(row: Row) -> str:
    title = KINDS[row.finding].title
    if row.finding in ("coldest_air", "heat_leak"):
        return title
    return f"{title}, {spoken(row.at)}" if row.at else title


def _where(row: Row) -> str:
    if row.finding == "heat_leak":
        return f"{spoken(row.at)} ({' '.join(row.runs)})"
    parts = []
    if row.inside is not None and row.finding != "coldest_air":
        parts.append(f"{number(row.inside, 1)} °C inside")
    if row.ambient is not None:
        parts.append(f"{number(row.ambient, 1)} °C ambient")
    return ", ".join(parts)


def _told(told: Told | None, row: Row, difference: bool = False) -> str:
    if told is None or told.value is None:
        return "not surely held" if not difference else "–"
    return show(told.value, told.low, told.high, _unit(row, difference))


def _unit(row: Row, difference: bool) -> str:
    return "K" if difference and row.unit == "°C" else "" if row.unit == "-" else row.unit


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]
