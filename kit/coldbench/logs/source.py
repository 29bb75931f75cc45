"""The bytes of a log as plain text: checksum, encoding, line ends. Workbooks become text here too.

What comes out is UTF-8 with ``\\n`` at each line's end, line for line as the file has it.
"""

from __future__ import annotations

import codecs
import hashlib
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.grid import grid_text, is_grid

LOOKED_AT = 65_536  # bytes that decide whether this is text at all
MOST_BYTES = 1_000_000_000  # what follows has to fit in memory
LONGEST_LINE = 20_000  # characters
MARKS = {codecs.BOM_UTF8: "utf-8-sig", codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}
LEGACY = "cp1252"  # proposed, never assumed: most 8-bit logs that are not UTF-8 read alike in it
_hashing = ThreadPoolExecutor(1)  # a checksum takes as long as the checks of the text


@dataclass(frozen=True, eq=False)
class Source:
    """One log file as text.

    Parameters
    ----------
    name : str
        Relative to the campaign.
    data : bytes
        UTF-8, ``\\n`` at line ends, no byte-order mark.
    digest : Future of str
        SHA-256 of the bytes as received, reckoned beside the reading.
    encoding : str
        What the bytes were.
    sheet : str
        Sheet of a workbook, else ``""``.
    """

    name: str
    data: bytes
    digest: Future[str]
    encoding: str
    sheet: str = ""

    @property
    def sha256(self) -> str:
        """Of the bytes as received."""
        return self.digest.result()

    @property
    def ended(self) -> bool:
        """Whether the last line has its line end."""
        return self.data.endswith(b"\n")

    @property
    def count(self) -> int:
        """Number of lines."""
        return self.data.count(b"\n") + (not self.ended)

    @cached_property
    def ends(self) -> np.ndarray:
        """Where each line ends, shape (n,). [byte]"""
        ends = np.flatnonzero(np.frombuffer(self.data, np.uint8) == ord("\n"))
        return ends if self.ended else np.append(ends, len(self.data))

    def line(self, number: int) -> str:
        """A line by its number, which counts from 1."""
        begin = 0 if number == 1 else int(self.ends[number - 2]) + 1
        return self.data[begin : int(self.ends[number - 1])].decode("utf-8")

    def head(self, lines: int) -> list[str]:
        """The first lines, each cut at a length that no table has."""
        some = self.data[: lines * LONGEST_LINE].decode("utf-8", "ignore")
        return [line[: LONGEST_LINE + 1] for line in some.split("\n")[:lines]]


def open_source(
    path: Path, name: str, encoding: str | None = None, sheet: str | None = None
) -> Source:
    """Read a log as text.

    Parameters
    ----------
    path : Path
        The file.
    name : str
        Relative to the campaign.
    encoding : str, optional
        As declared; without it a byte-order mark decides, else it has to be UTF-8.
    sheet : str, optional
        Sheet of a workbook, where it has several.

    Returns
    -------
    Source

    Raises
    ------
    UserError
        Missing, empty, too large, no text, text of another encoding; a workbook that cannot be
        read or whose sheet is not said.
    """
    raw = _bytes(path, name)
    digest = _hashing.submit(lambda: hashlib.sha256(raw).hexdigest())
    if is_grid(raw):
        text, used = grid_text(raw, name, sheet)
        return Source(name, text, digest, "workbook", used)
    marked = next((e for mark, e in MARKS.items() if raw.startswith(mark)), None)
    if b"\0" in raw[:LOOKED_AT] and not marked:
        wide = _unmarked_wide(raw)
        if wide is None and not (encoding or "").lower().startswith("utf-16"):
            raise UserError(no_text(name))
        marked = wide
    data = _utf8(raw, encoding or marked or "utf-8", name)
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if (at := data.find(b"\0")) >= 0:
        raise UserError(no_text(name, data.count(b"\n", 0, at) + 1))
    return Source(name, data, digest, encoding or marked or "utf-8")


def no_table(name: str, line: int) -> Fault:
    """A line so long that the file can be no table."""
    return Fault("this does not look like a table", f"{name}:{line}",
                 found=f"a line of more than {LONGEST_LINE} characters",
                 do="name the log that the instrument exported as text (CSV)")


def no_text(name: str, line: int = 0) -> Fault:
    """Zero bytes: no text of any encoding has them, but that of UTF-16."""
    return Fault("this is not a text file", f"{name}:{line}" if line else name,
                 found="zero bytes in it", do="export it from the instrument as text (CSV)")


def _bytes(path: Path, name: str) -> bytes:
    try:
        with path.open("rb") as file:
            # A file of zeros must cost neither memory nor time: the first bytes tell.
            head = file.read(LOOKED_AT)
        if head.count(b"\0") == len(head) > 0 or _blank_tail(head):
            raise UserError(no_text(name))
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise UserError(Fault(
                "the log is too long to be read whole", name, found=f"{size / 1e9:.1f} GB",
                allowed=f"{MOST_BYTES / 1e9:g} GB",
                do="split it by runs, or have the instrument log less often"))
        raw = path.read_bytes()
    except OSError as error:
        raise UserError(Fault("the log cannot be read", name, found=str(error.strerror))) from None
    if not raw or raw.isspace():
        raise UserError(Fault("the log is empty", name, do="export it again from the instrument"))
    return raw


def _blank_tail(head: bytes) -> bool:
    """Whether text runs out into zeros, as where a disk ran full."""
    return len(head) == LOOKED_AT and head.endswith(b"\0" * 4096)


def _unmarked_wide(raw: bytes) -> str | None:
    """UTF-16 that has lost its mark: of plain characters each second byte is zero."""
    head = np.frombuffer(raw[: LOOKED_AT // 2 * 2], np.uint8)
    zero = (head[: len(head) // 2 * 2].reshape(-1, 2) == 0).mean(axis=0)
    if zero[1] > 0.8 and zero[0] < 0.01:
        return "utf-16-le"
    return "utf-16-be" if zero[0] > 0.8 and zero[1] < 0.01 else None


def _utf8(raw: bytes, encoding: str, name: str) -> bytes:
    plain = raw.removeprefix(codecs.BOM_UTF8) if encoding.startswith("utf-8") else raw
    if encoding in ("utf-8", "utf-8-sig") and plain.isascii():
        return plain
    try:
        text = raw.decode(encoding)
        if not isinstance(text, str):  # Python also calls compressions and ciphers "encodings"
            raise LookupError
        return text.encode("utf-8", "surrogatepass").removeprefix(codecs.BOM_UTF8)
    except UnicodeDecodeError as error:
        raise UserError(_wrong_encoding(name, raw, error)) from None
    except (LookupError, ValueError, TypeError):
        raise UserError(Fault("no encoding of that name", name, found=encoding,
                              allowed='"utf-8", "cp1252", "latin-1", …')) from None


def _wrong_encoding(name: str, raw: bytes, error: UnicodeDecodeError) -> Fault:
    """A byte that its encoding does not know."""
    breaks = raw[: error.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n").count(b"\n")
    return Fault(
        f"this is not {error.encoding.removesuffix('-sig')} text", f"{name}:{breaks + 1}",
        found=f"byte 0x{raw[error.start]:02x}",
        do=f'name its encoding in the [[log]] block: encoding = "{LEGACY}"')
