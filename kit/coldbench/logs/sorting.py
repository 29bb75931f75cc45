"""Every line of a log, told apart: rows, and what is none.

A line is a row if it has a cell for each heading. Left out, and said, are headings that come again
after a restart and text that does not even begin like a row. A line that begins like a row and has
too few or too many cells is a fault, unless the run sheet says ``odd_rows = "leave out"``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.layout import BLANKS, Layout
from coldbench.logs.source import LONGEST_LINE, Source, no_table
from coldbench.logs.words import listed, many, often

SEPARATOR = "\x1f"  # between cells once quotes are resolved; no text has it
BEGINS = re.compile(r'\s*"?\s*[-+−]?\d')  # how the time of a row begins
LEAVE_OUT = 'if they may be lost, add to the [[log]] block: odd_rows = "leave out"'
BLANK, UNENDED = 0, -1  # cells of a blank line, and of one whose quote never ends


@dataclass(frozen=True, eq=False)
class Sorted:
    """The rows of a log, and what was left out.

    Parameters
    ----------
    data : bytes
        The rows alone, without quotes, each with its line end.
    lines : ndarray of int, shape (n,)
        Line of the file that each row stands on.
    layout : Layout
        As given, with the delimiter of ``data``, and with one column more where each row ends
        in a delimiter.
    said : tuple of str
        What was left out, in sentences.
    """

    data: bytes
    lines: np.ndarray
    layout: Layout
    said: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class _Lines:
    """All lines of a log: text without quotes, where each ends, how many cells, and their sign."""

    data: bytes
    ends: np.ndarray
    cells: np.ndarray
    sign: str

    def text(self, i: int) -> str:
        begin = int(self.ends[i - 1]) + 1 if i else 0
        return self.data[begin : int(self.ends[i])].decode("utf-8", "replace")


def sorted_lines(source: Source, layout: Layout, times: list[str], odd_rows: bool) -> Sorted:
    """Part the rows of a log from all other lines.

    Parameters
    ----------
    source : Source
        The log as text.
    layout : Layout
        Where its cells are.
    times : list of str
        Headings of the columns that tell the time.
    odd_rows : bool
        Whether rows with too few or too many cells are to be left out.

    Returns
    -------
    Sorted

    Raises
    ------
    UserError
        A line far too long, a row with too few or too many cells, a quote that never ends, a
        last line cut off.
    """
    delimiter = layout.delimiter
    lines = _lines(_refuse_long(source), delimiter)
    below = np.arange(len(lines.ends)) >= layout.first - 1
    used, rows = layout, below & (lines.cells == layout.width)
    if not rows.any() and (more := _each_ends_in_a_delimiter(lines, below, layout)) is not None:
        used, rows = replace(layout, headings=(*layout.headings, "")), more
    others = np.flatnonzero(below & ~rows & (lines.cells != BLANK))
    first = min((layout.headings.index(time) for time in times), default=0)
    odd = np.array([i for i in others
                    if begins_like_a_row(lines.text(i).split(lines.sign), first)], int)
    if len(odd) and not odd_rows:
        raise UserError(_odd_rows(source, lines, odd, layout, delimiter))
    again = np.array([], int)
    if layout.headings[0] != "column 1":
        again = _equal_lines(lines, rows, layout.heading - 1)
        rows[again] = False
    words = _without_time(lines, rows, first) if times else np.array([], int)
    rows[words] = False
    said = _said(source, again, np.sort([*np.setdiff1d(others, odd), *words]), odd)
    kept = np.repeat(rows, np.diff(lines.ends, prepend=-1))
    data = np.frombuffer(lines.data, np.uint8)[kept].tobytes()
    used = replace(used, delimiter=lines.sign, units=())
    return Sorted(data, np.flatnonzero(rows) + 1, used, said)


def _refuse_long(source: Source) -> bytes:
    length = np.diff(source.ends, prepend=-1) - 1
    if len(length) and length.max() > LONGEST_LINE:
        raise UserError(no_table(source.name, 1 + int(np.argmax(length > LONGEST_LINE))))
    data = source.data.replace(SEPARATOR.encode(), b" ")
    return data if source.ended else data + b"\n"


def _lines(data: bytes, delimiter: str) -> _Lines:
    """Lines with their cells counted, all at once."""
    if delimiter in BLANKS:
        data = re.sub(rb"(?m)^[ \t]+|[ \t]+$", b"", data)
        part = rb"[ \t]+" if delimiter == " " else rb"\t[ \t]*| {2,}\t*| \t"
        data, delimiter = re.sub(part, SEPARATOR.encode(), data), SEPARATOR
    if b'"' in data:
        return _unquoted(data, delimiter)
    signs = np.frombuffer(data, np.uint8)
    ends = np.flatnonzero(signs == ord("\n"))
    cells = _per_line(signs == ord(delimiter), ends) + 1
    cells[_per_line((signs > ord(" ")) & (signs != ord(delimiter)), ends) == 0] = BLANK
    return _Lines(data, ends, cells, delimiter)


def _unquoted(data: bytes, delimiter: str) -> _Lines:
    """The same where quotes stand: cells are parted by the separator, and quotes are gone.

    Within a line, a delimiter inside quotes parts nothing. A line with an odd number of quotes
    holds an inch mark, unless one of them opens a cell.
    """
    signs = np.frombuffer(data, np.uint8)
    ends = np.flatnonzero(signs == ord("\n"))
    quotes, parts = signs == ord('"'), signs == ord(delimiter)
    inside = np.bitwise_xor.accumulate(quotes.view(np.uint8))
    before = np.concatenate([[0], inside[ends[:-1]]]).astype(np.uint8)
    odd = _per_line(quotes, ends) % 2 == 1
    length = np.diff(ends, prepend=-1)
    inside = inside ^ np.repeat(before, length)
    odd_there = np.repeat(odd, length)
    parts &= (inside == 0) | odd_there
    opens = quotes & np.concatenate([[True], (signs[:-1] == ord(delimiter))
                                     | (signs[:-1] == ord("\n"))])
    cells = _per_line(parts, ends) + 1
    cells[_per_line((signs > ord(" ")) & ~parts & ~quotes, ends) == 0] = BLANK
    cells[odd & (_per_line(opens, ends) > 0)] = UNENDED
    text = signs.copy()
    text[parts] = ord(SEPARATOR)
    plain = text[~(quotes & ~odd_there)]
    return _Lines(plain.tobytes(), np.flatnonzero(plain == ord("\n")), cells, SEPARATOR)


def _per_line(there: np.ndarray, ends: np.ndarray) -> np.ndarray:
    return np.diff(np.searchsorted(np.flatnonzero(there), ends), prepend=0)


def _each_ends_in_a_delimiter(
    lines: _Lines, below: np.ndarray, layout: Layout
) -> np.ndarray | None:
    """Rows, if each has one cell more than the headings and that one is empty."""
    rows = below & (lines.cells == layout.width + 1)
    last = np.frombuffer(lines.data, np.uint8)[lines.ends[rows] - 1]
    return rows if rows.any() and (last == ord(lines.sign)).all() else None


def begins_like_a_row(cells: list[str], first: int) -> bool:
    """Whether a number stands where the time of a row stands.

    Parameters
    ----------
    cells : list of str
        Of a line.
    first : int
        Place of the time.
    """
    return bool(BEGINS.match(cells[first] if first < len(cells) else cells[0]))


def _equal_lines(lines: _Lines, rows: np.ndarray, heading: int) -> np.ndarray:
    """Rows that are the headings, come again."""
    length = np.diff(lines.ends, prepend=-1)
    alike = np.flatnonzero(rows & (length == length[heading]))
    wanted = lines.text(heading)
    # Rows of one length are common; the first sign tells nearly all of them apart.
    begin = np.concatenate([[0], lines.ends[:-1] + 1])
    signs = np.frombuffer(lines.data, np.uint8)
    alike = alike[signs[begin[alike]] == signs[begin[heading]]]
    return np.array([i for i in alike if lines.text(i) == wanted], int)


def _without_time(lines: _Lines, rows: np.ndarray, first: int) -> np.ndarray:
    """Rows with a word where the time belongs, where most rows have a number there.

    Sums and means below a table are such rows. Where the time is blank, a word at the begin of
    the row tells as much.
    """
    at = np.flatnonzero(rows)
    if not len(at):
        return at
    signs = np.frombuffer(lines.data, np.uint8)
    begin = np.concatenate([[0], lines.ends[:-1] + 1])[at]
    word = _is_letter(signs[begin])
    if first:
        parts = np.flatnonzero(signs == ord(lines.sign))
        cell = signs[parts[np.searchsorted(parts, begin) + first - 1] + 1]
        word = _is_letter(cell) | (word & ((cell == ord(lines.sign)) | (cell == ord("\n"))))
    return at[word] if 2 * np.count_nonzero(word) < len(at) else np.array([], int)


def _is_letter(signs: np.ndarray) -> np.ndarray:
    low = signs | 0x20  # small letters and capitals differ in one bit
    return ((low >= ord("a")) & (low <= ord("z"))) | (signs == ord("#"))


def _odd_rows(
    source: Source, lines: _Lines, odd: np.ndarray, layout: Layout, delimiter: str
) -> Fault:
    first, wanted = int(odd[0]), layout.width
    seen, text = int(lines.cells[first]), source.line(first + 1)
    place = f"{source.name}:{first + 1}"
    if seen == UNENDED:
        return Fault("a quote that never ends in its line", place, found=text[:80],
                     do='write "" for a quote inside quotes, and keep a row on one line')
    others = [f"line {i + 1}: {many(int(lines.cells[i]), 'cell')}" for i in odd[1:3]
              if lines.cells[i] > 0]
    more = [f"and {len(odd) - 3} more"] if len(odd) > 3 else []
    found = ", ".join([many(seen, "cell"), *others, *more])
    if first + 1 == len(source.ends) and not source.ended:
        return Fault("the last line is cut off", place, found=f"{found}, and no line end",
                     allowed=f"{wanted} cells", do=f"export the log again; {LEAVE_OUT}")
    do = f"mend the row in a copy of the log, or export it again; {LEAVE_OUT}"
    if seen > wanted and delimiter == ",":
        do = ("if these are decimal commas, export the log with another delimiter than a comma; "
              + LEAVE_OUT)
    return Fault(
        f"a row with too {'few' if seen < wanted else 'many'} cells", place, found=found,
        allowed=f"{wanted}, one for each heading", do=do,
    )


def _said(
    source: Source, again: np.ndarray, words: np.ndarray, odd: np.ndarray
) -> tuple[str, ...]:
    said = []
    if len(again):
        said.append(f"the headings come again {often(len(again))} and were left out: "
                    + listed(f"line {i + 1}" for i in again))
    if len(words):
        shown = listed(f"line {i + 1} “{source.line(int(i) + 1).strip()[:40]}”" for i in words)
        said.append(f"one line is no row and was left out: {shown}" if len(words) == 1 else
                    f"{len(words)} lines are no rows and were left out: {shown}")
    if len(odd):
        shown = listed(f"line {i + 1}" for i in odd)
        said.append(f"{many(len(odd), 'row')} with too few or too many cells, left out as the run "
                    f"sheet says: {shown}")
    return tuple(said)
