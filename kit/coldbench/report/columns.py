"""How wide the columns of a printed table become, from the text in them.

This kit's own rule: widths are counted in em of the table's type from a coarse table of letter
widths; a table that is too wide wraps its text columns, then shrinks, and is at last cut into
parts that repeat the first column. No page is turned: the parts stay in the flow of the text.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

TYPE = 8.4  # pt, type of tables at full size
ROOM = 170.0 / 25.4 * 72 / TYPE  # em; both papers have this text width
SCREEN, SCREEN_INSET = 68.0, 0.9  # em; the same two on a wide screen, by report.css
INSET = 10.5 / TYPE  # em, both sides of a cell together
LONG = 22.0  # em; longer text may be broken into lines
SHORT = 16.0  # em; shorter text is kept on one line where there is room
LONGEST_WORD = 15.0  # em; longer words, such as checksums, may be broken too
SMALLEST = 0.8  # of full type; a table that needs smaller type is cut

_NUMBER = re.compile(
    r"[≤≥<>≈~±+−-]?\s?\d[\d\u2009\u202f\u2007 .,]*(\s?±\s?[\d.,]+)?(\s?[^\s\d]{1,9})?"
)
_NARROW = set("iljtfrI.,:;'|!()[]{} \u2009\u202f")
_WIDE = set("mwMW@%—")


@dataclass(frozen=True)
class Plan:
    """Layout of one printed table.

    Parameters
    ----------
    parts : tuple of tuple of int
        Columns of each part.
    widths : tuple of str
        Typst width of every column.
    scale : float
        Type, as a share of full size.
    """

    parts: tuple[tuple[int, ...], ...]
    widths: tuple[str, ...]
    scale: float


def text_width(text: str) -> float:
    """Estimated width of a line. [em]

    Examples
    --------
    >>> text_width("12.4") < text_width("WWWW")
    True
    """
    return 1.04 * sum(_sign_width(sign) for sign in text)


def _sign_width(sign: str) -> float:
    if sign in _NARROW:
        return 0.32
    if sign in _WIDE or sign > "\u2e7f":
        return 1.02
    return 0.66 if sign.isupper() or sign.isdigit() else 0.6


def is_number(text: str) -> bool:
    """Whether a cell is a number, perhaps with a sign, an interval and a unit.

    Examples
    --------
    >>> [is_number(t) for t in ("6.2 ± 0.4", "−18 °C", "2031-06-14", "not reached")]
    [True, True, False, False]
    """
    return _NUMBER.fullmatch(text.strip()) is not None


def alignment(body: Sequence[Sequence[str]], count: int) -> str:
    """``r`` for each column in which at least half of the filled cells are numbers, else ``l``."""
    letters = ""
    for column in range(count):
        filled = [row[column] for row in body if row[column].strip(" –—-")]
        numbers = sum(is_number(cell) for cell in filled)
        letters += "r" if filled and 2 * numbers >= len(filled) else "l"
    return letters


def unwrapped(table: Sequence[Sequence[str]]) -> set[int]:
    """Columns that a wide screen keeps on one line: the short ones, if all have room then."""
    natural = [max(text_width(cell) for cell in column) for column in zip(*table, strict=True)]
    if sum(min(width, SHORT) + SCREEN_INSET for width in natural) > SCREEN:
        return set()
    return {column for column, width in enumerate(natural) if width <= SHORT}


def plan(table: Sequence[Sequence[str]], widths: Sequence[float] | None = None) -> Plan:
    """Layout of a table on paper.

    Parameters
    ----------
    table : sequence of rows of cells
        Head and body.
    widths : sequence of float, optional
        Shares of the text width, where the author knows better.
    """
    count = len(table[0])
    every = tuple(range(count))
    if widths is not None:
        return Plan((every,), tuple(f"{share:g}fr" for share in widths), 1.0)
    columns = list(zip(*table, strict=True))
    natural = [INSET + max(text_width(cell) for cell in column) for column in columns]
    least = [INSET + max(_least(cell) for cell in column) for column in columns]
    scale = min(1.0, ROOM / sum(least))
    if scale >= SMALLEST:
        return Plan((every,), _shares(natural, least, ROOM / scale), scale)
    return Plan(_cut(least, ROOM / SMALLEST), ("auto",) * count, SMALLEST)


def _least(cell: str) -> float:
    """Width below which a cell would break inside a number or a word. [em]"""
    if is_number(cell):
        return text_width(cell)
    return min(LONGEST_WORD, max((text_width(word) for word in cell.split()), default=0.0))


def _shares(natural: Sequence[float], least: Sequence[float], room: float) -> tuple[str, ...]:
    """Typst widths: short columns keep their own, the long ones share what is left."""
    if sum(natural) <= room:
        if sum(natural) < 0.72 * room:
            return ("auto",) * len(natural)
        return (f"{natural[0]:.2f}fr", *("auto",) * (len(natural) - 1))
    shares = [""] * len(natural)
    left, open_columns = room, len(natural)
    for column in sorted(range(len(natural)), key=natural.__getitem__):
        fair = max(left / open_columns, least[column])
        given = min(natural[column], fair)
        shares[column] = "auto" if natural[column] <= fair else f"{given:.2f}fr"
        left, open_columns = left - given, open_columns - 1
    return tuple(shares)


def _cut(least: Sequence[float], room: float) -> tuple[tuple[int, ...], ...]:
    """Columns in parts of about the same width, each with the first column."""
    free = room - least[0]
    count = math.ceil(sum(least[1:]) / free)
    fill = max(sum(least[1:]) / count, max(least[1:]))
    parts: list[list[int]] = [[0]]
    width = 0.0
    for column in range(1, len(least)):
        if len(parts[-1]) > 1 and width + 0.5 * least[column] > fill:
            parts.append([0])
            width = 0.0
        parts[-1].append(column)
        width += least[column]
    return tuple(tuple(part) for part in parts)
