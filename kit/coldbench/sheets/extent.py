"""How far out the cells of a workbook stand, looked at before a reader lays out a whole page.

Readers hold a page as a full rectangle. One stray cell in the last row and column makes that
larger than any memory, and the process ends without a word.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator

MOST_CELLS = 20_000_000  # of one page
MOST_BYTES = 1_000_000_000  # of all parts, unpacked
# The name of a cell, or the number of a row.
_PLACE = re.compile(rb"""<(?:\w+:)?(?:c|row)\b[^>]*?\br=["']([A-Z]{0,3})([0-9]{1,7})["']""")
_ODS = re.compile(
    rb"""<(?:\w+:)?(?:(?P<page>table)|(?P<row>table-row)|(?P<cell>(?:covered-)?table-cell))"""
    rb"""(?=[\s/>])(?P<more>[^>]*)>"""
)
_ROWS = re.compile(rb"""number-rows-repeated=["']([0-9]{1,9})["']""")
_COLUMNS = re.compile(rb"""number-columns-repeated=["']([0-9]{1,9})["']""")


def too_far_out(data: bytes, most: int = MOST_CELLS) -> str:
    """Say of a workbook that its cells stand too far apart to be read.

    Parameters
    ----------
    data : bytes
        An xlsx or ods file. What is neither is left to its reader.
    most : int
        Most cells that the rectangle around a page's content may have.

    Returns
    -------
    str
        How large the largest page would be, or ``""``.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            if sum(part.file_size for part in parts) > MOST_BYTES:
                return f"more than {MOST_BYTES // 1_000_000} MB when unpacked"
            for rows, columns in _extents(archive, [part.filename for part in parts]):
                if rows * columns > most:
                    return f"a page of {rows} rows and {columns} columns"
    except (zipfile.BadZipFile, OSError, EOFError, NotImplementedError, RuntimeError, ValueError):
        return ""  # broken: its reader says so
    return ""


def _extents(archive: zipfile.ZipFile, names: list[str]) -> Iterator[tuple[int, int]]:
    """Rows and columns of each page."""
    if "content.xml" in names:
        yield from _ods_extents(archive.read("content.xml"))
    for name in names:
        if re.fullmatch(r"/?xl/worksheets/[^/]+\.xml", name, re.IGNORECASE):
            found = set(_PLACE.findall(archive.read(name)))
            rows = max((int(row) for _, row in found), default=0)
            yield rows, max((_number(letters) for letters, _ in found), default=0)


def _number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = 26 * number + letter - ord("A") + 1
    return number


def _ods_extents(content: bytes) -> Iterator[tuple[int, int]]:
    """Pages of an ods file, whose rows and cells may stand for many; blank ends do not count."""
    rows = columns = row = repeated = column = 0
    for tag in _ODS.finditer(content):
        if tag["page"]:
            yield rows, columns
            rows = columns = row = repeated = column = 0
        elif tag["row"]:
            row, column = row + repeated, 0
            repeated = _times(_ROWS, tag["more"])
        else:
            column += _times(_COLUMNS, tag["more"])
            if b"value-type" in tag["more"]:
                rows, columns = row + repeated, max(columns, column)
    yield rows, columns


def _times(pattern: re.Pattern[bytes], attributes: bytes) -> int:
    found = pattern.search(attributes)
    return int(found[1]) if found else 1
