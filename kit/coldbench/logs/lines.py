"""Every line of a log, before its numbers are read: is it text, is it whole, does it fit?

The file is read in pieces, so that the size of a file of noise costs neither memory nor time:
the first piece that is no table ends it.
"""

from __future__ import annotations

import codecs
import csv
import hashlib
import io
from dataclasses import dataclass

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.shape import LONGEST_LINE, Shape, no_table, no_text, wrong_encoding
from coldbench.logs.words import many

PIECE = 1 << 20  # bytes
MOST_LINES = 5_000_000  # two months of one each second; what follows has to fit in memory
SHOWN = 3  # wrong rows shown


@dataclass(frozen=True)
class Lines:
    """What the lines of a file say of it.

    Parameters
    ----------
    sha256 : str
        Of the bytes as received.
    ended : bool
        Whether the last line has its line end.
    """

    sha256: str
    ended: bool


def check_lines(shape: Shape) -> Lines:
    """Read a log through once; each line below the headings must have as many cells as they have.

    Parameters
    ----------
    shape : Shape
        How to read it.

    Returns
    -------
    Lines

    Raises
    ------
    UserError
        Bytes that are no text of this encoding, a line far too long, a row with too few or too
        many cells, a last line that was cut off, more than ``MOST_LINES``.
    """
    digest = hashlib.sha256()
    decoder = codecs.getincrementaldecoder(shape.encoding)()
    line_ends = io.IncrementalNewlineDecoder(None, translate=True)
    rest, done = b"", 0  # what follows the last line end, and how many lines lie before it
    with shape.path.open("rb") as file:
        while True:
            piece = file.read(PIECE)
            digest.update(piece)
            text = line_ends.decode(_decoded(decoder, piece, shape, done, rest), not piece)
            whole, end, rest = (rest + text.encode("utf-8")).rpartition(b"\n")
            _check_rows(whole + end, done, shape)
            done += whole.count(b"\n") + len(end)
            if len(rest) > LONGEST_LINE:
                raise UserError(no_table(shape.name, done + 1))
            if done > MOST_LINES:
                raise UserError(_too_many(shape))
            if not piece:
                break
    _check_last(rest, done, shape)
    return Lines(digest.hexdigest(), ended=not rest)


def _decoded(
    decoder: codecs.IncrementalDecoder, piece: bytes, shape: Shape, done: int, rest: bytes
) -> str:
    try:
        text = decoder.decode(piece, not piece)
    except UnicodeDecodeError as error:
        line = done + 1 + error.object[: error.start].count(b"\n")
        raise UserError(wrong_encoding(shape.name, line, error)) from None
    if "\0" in text:
        line = done + 1 + text[: text.index("\0")].count("\n")
        raise UserError(no_text(shape.name, line))
    return text


def _check_rows(block: bytes, done: int, shape: Shape) -> None:
    """Count the cells of whole lines, all at once; only odd ones are looked at one by one."""
    signs = np.frombuffer(block, np.uint8)
    ends = np.flatnonzero(signs == ord("\n"))
    if not len(ends):
        return
    length = np.diff(ends, prepend=-1) - 1
    if length.max() > LONGEST_LINE:
        raise UserError(no_table(shape.name, done + 1 + int(np.argmax(length > LONGEST_LINE))))
    delimiters, quotes = signs == ord(shape.delimiter), signs == ord('"')
    if quotes.any():
        delimiters &= np.cumsum(quotes) % 2 == 0  # those inside quotes part no cells
    odd = (_per_line(delimiters, ends) + 1 != len(shape.headings)) & (length > 0)
    odd |= _per_line(quotes, ends) % 2 == 1
    odd[: max(0, shape.skip - done)] = False
    wrong = []
    for row in np.flatnonzero(odd):
        text = block[ends[row] - length[row] : ends[row]].decode("utf-8")
        seen = _cells(text, shape.delimiter)
        if seen not in (0, len(shape.headings)):
            wrong.append((done + 1 + int(row), seen, text))
    if wrong:
        raise UserError(_wrong_rows(wrong, shape))


def _per_line(there: np.ndarray, ends: np.ndarray) -> np.ndarray:
    return np.diff(np.searchsorted(np.flatnonzero(there), ends), prepend=0)


def _cells(text: str, delimiter: str) -> int:
    """Cells of a line: 0 of a blank one, −1 where a quote never ends."""
    if not text.strip(delimiter + " \t"):
        return 0
    try:
        row = next(csv.reader([text], delimiter=delimiter, skipinitialspace=True, strict=True))
    except csv.Error:
        return -1
    return len(row)


def _wrong_rows(wrong: list[tuple[int, int, str]], shape: Shape) -> Fault:
    line, seen, text = wrong[0]
    wanted = len(shape.headings)
    if seen < 0:
        return Fault("a quote that never ends in its line", f"{shape.name}:{line}", found=text[:80],
                     do='write "" for a quote inside quotes, and keep a row on one line')
    others = [f"line {n}: {many(s, 'cell')}" for n, s, _ in wrong[1:SHOWN] if s > 0]
    more = [f"and {len(wrong) - SHOWN} more"] if len(wrong) > SHOWN else []
    do = "mend the row in a copy of the log, or export it again"
    if seen == wanted + 1 and text.endswith(shape.delimiter):
        do = f"add a {shape.delimiter!r} at the end of the heading line, as the rows have one"
    elif seen > wanted and shape.delimiter == ",":
        do = "if these are decimal commas, export the log with another delimiter than a comma"
    return Fault(
        f"a row with too {'few' if seen < wanted else 'many'} cells", f"{shape.name}:{line}",
        found=", ".join([many(seen, "cell"), *others, *more]),
        allowed=f"{wanted}, one for each heading", do=do,
    )


def _too_many(shape: Shape) -> Fault:
    return Fault("the log is too long to be read whole", shape.name,
                 found=f"more than {MOST_LINES} lines", allowed=f"{MOST_LINES} lines",
                 do="split it by runs, or have the instrument log less often")


def _check_last(rest: bytes, done: int, shape: Shape) -> None:
    text = rest.decode("utf-8")
    seen = _cells(text, shape.delimiter)
    if done <= shape.skip or seen in (0, len(shape.headings)):
        return
    if seen > len(shape.headings):
        raise UserError(_wrong_rows([(done + 1, seen, text)], shape))
    count = many(seen, "cell") if seen > 0 else "a quote that never ends"
    raise UserError(Fault(
        "the last line is cut off", f"{shape.name}:{done + 1}",
        found=f"{count}, and no line end", allowed=f"{len(shape.headings)} cells",
        do="export the log again, or take the line out of a copy",
    ))
