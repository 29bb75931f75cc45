"""What a file is before its numbers are read: encoding, delimiter, heading line."""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from coldbench.errors import Fault, UserError, nearest
from coldbench.sheets.run import LogSheet

LOOKED_AT = 65_536  # bytes that decide whether this is a table at all
LONGEST_LINE = 20_000
DELIMITERS = (",", ";", "\t", "|")
MARKS = {codecs.BOM_UTF8: "utf-8-sig", codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}


@dataclass(frozen=True)
class Shape:
    """How a file is to be read.

    Parameters
    ----------
    path : Path
        The file.
    name : str
        Relative to the campaign.
    encoding, delimiter, decimal : str
        Declared, or found.
    skip : int
        Lines above the headings.
    headings : tuple of str
        In order.
    """

    path: Path
    name: str
    encoding: str
    delimiter: str
    decimal: str
    skip: int
    headings: tuple[str, ...]

    def line(self, row: int) -> int:
        """Line of the file that a row of the table stands on."""
        return self.skip + 2 + row


def find_shape(path: Path, name: str, log: LogSheet, places: dict[str, str]) -> Shape:
    """Look at the first bytes of a log and say how it is to be read.

    Parameters
    ----------
    path : Path
        The file.
    name : str
        Relative to the campaign.
    log : LogSheet
        What the run sheet declares of it.
    places : dict of str to str
        File and line that declare each column, by heading.

    Returns
    -------
    Shape

    Raises
    ------
    UserError
        Missing, empty, no text, other encoding, or headings that lack a declared column.
    """
    head = _first_bytes(path, name)
    encoding = log.encoding or _marked(head) or "utf-8"
    lines = re.split(r"\r\n|\r|\n", _text(head, encoding, name))
    skip = log.skip or 0
    if len(lines) <= skip or not lines[skip].strip():
        raise UserError(Fault("no heading line", f"{name}:{skip + 1}",
                              do="the first line names the columns; `skip` counts lines above it"))
    lengths = [len(line) for line in lines[: skip + 1]]
    if max(lengths) > LONGEST_LINE:
        raise UserError(no_table(name, 1 + lengths.index(max(lengths))))
    wanted = [log.time.column, *log.columns]
    delimiter, headings = _headings(lines[skip], log.delimiter, wanted)
    missing = [column for column in wanted if column not in headings]
    if missing:
        raise UserError([_no_column(c, headings, places[c], f"{name}:{skip + 1}") for c in missing])
    double = sorted({h for h in wanted if headings.count(h) > 1})
    if double:
        raise UserError(Fault(f'two columns are called "{double[0]}"', f"{name}:{skip + 1}",
                              do="give each column its own name"))
    return Shape(path, name, encoding, delimiter, log.decimal or ".", skip, tuple(headings))


def no_table(name: str, line: int) -> Fault:
    """A line so long that the file can be no table."""
    return Fault("this does not look like a table", f"{name}:{line}",
                 found=f"a line of more than {LONGEST_LINE} characters",
                 do="name the log that the instrument exported as text (CSV)")


def no_text(name: str, line: int = 0) -> Fault:
    """Zero bytes: no text of any encoding has them, but that of UTF-16."""
    return Fault("this is not a text file", f"{name}:{line}" if line else name,
                 found="zero bytes in it", do="export it from the instrument as text (CSV)")


def wrong_encoding(name: str, line: int, error: UnicodeDecodeError) -> Fault:
    """A byte that its encoding does not know."""
    return Fault(f"this is not {error.encoding.removesuffix('-sig')} text", f"{name}:{line}",
                 found=f"byte 0x{error.object[error.start]:02x}",
                 do='name its encoding in the [[log]] block: encoding = "cp1252"')


def _first_bytes(path: Path, name: str) -> bytes:
    try:
        with path.open("rb") as file:
            head = file.read(LOOKED_AT)
    except OSError as error:
        raise UserError(Fault("the log cannot be read", name, found=str(error.strerror))) from None
    if not head.strip():
        raise UserError(Fault("the log is empty", name, do="export it again from the instrument"))
    if b"\0" in head and not _marked(head):
        raise UserError(no_text(name))
    return head


def _marked(head: bytes) -> str | None:
    return next((name for mark, name in MARKS.items() if head.startswith(mark)), None)


def _text(head: bytes, encoding: str, name: str) -> str:
    try:
        # The last character may be cut in two.
        text = codecs.getincrementaldecoder(encoding)().decode(head)
    except UnicodeDecodeError as error:
        line = head[: error.start].count(b"\n") + 1
        raise UserError(wrong_encoding(name, line, error)) from None
    except (LookupError, ValueError, TypeError):
        text = None
    if not isinstance(text, str):  # Python also calls compressions and ciphers "encodings"
        raise UserError(Fault("no encoding of that name", name, found=encoding,
                              allowed='"utf-8", "cp1252", "latin-1", …'))
    return text


def _headings(line: str, declared: str | None, wanted: list[str]) -> tuple[str, list[str]]:
    """Delimiter and headings: the delimiter that gives most of the declared columns."""
    def split(delimiter: str) -> list[str]:
        return [h.strip() for h in next(csv.reader([line], delimiter=delimiter))]

    candidates: Iterator[str] | tuple[str, ...] = (declared,) if declared else DELIMITERS
    found = [(delimiter, split(delimiter)) for delimiter in candidates]
    return max(found, key=lambda f: (sum(w in f[1] for w in wanted), len(f[1])))


def _no_column(column: str, headings: list[str], where: str, place: str) -> Fault:
    near = nearest(column, headings)
    return Fault(
        f'the log has no column "{column}"', where,
        found=f"{place}: " + ", ".join(f'"{h}"' for h in headings[:20]),
        do=f'did you mean "{near}"?' if near else "name one of the columns it has",
    )
