"""Small logs of the sixteen shapes, and the ways in which the fuzz test harms them.

Not among the ways is what nobody can see in a file: two headings swapped, a line cut inside its
last number with its line end kept, two rows swapped that carry one local time, a time or a value
that is another valid one. The last is done as a way of its own, ``digit``, of which only is asked
that nothing breaks.
"""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "logs"))

import sixteen

ROWS = 40
DATE = r"20[0-9]{2}-(0[1-9]|1[0-2])-([01][1-9]|2[0-8]) ([01][0-9]|2[0-3]):[0-5]\d:[0-5]\d"
MARK = b"\xef\xbb\xbf"
# Words for “nothing was measured”, and words that no reader knows.
WORDS = ("NaN", "---", "OL", "unavailable", "n/a", "#REF!", "ERR", "warm", "x", "1e", "+-3",
         "1e400", "\u0662\u0664", "<24", "24-", "2_4", "24 L", "24 %")
# What sensors give in place of a reading. Common practice, no source. The first is no jump among
# readings of 76 °F.
CODES = ("85.0", "-127", "-127.0", "9999", "127.94", "-999.9")
TEXTS = ("boot v2 sensors=2", "# remark", "-- page 2 --", "rst cause 4", "Max", "3 sensors found",
         "door opened", "lid: open; lamp, on", '"', "é", "\x1f")


@dataclass
class Draft:
    """A small log that can be harmed line by line.

    Parameters
    ----------
    lines : list of str
        Without line ends.
    sign : str
        Between cells.
    heading, first, last : int
        Places of the line of headings, of the first row, and behind the last.
    times : int
        Leading cells of a row that are no value.
    temperatures : tuple of int
        Places of cells that hold temperatures.
    codes : tuple of str
        Error codes that jump among these temperatures.
    encoding, end : str
        As written.
    end_at : float or None
        Where the bytes are cut, as a share of their number.
    put_in : list of (float, bytes)
        What is put in and where, as a share.
    """

    lines: list[str]
    sign: str = ","
    heading: int = 0
    first: int = 1
    last: int = 10**6
    times: int = 1
    temperatures: tuple[int, ...] = (1, 2)
    codes: tuple[str, ...] = CODES
    encoding: str = "utf-8"
    end: str = "\n"
    workbook: bool = False
    end_at: float | None = None
    put_in: list[tuple[float, bytes]] = field(default_factory=list)

    def row(self, random: Random, span: int = 1) -> int:
        """Place of some row that has as many behind it as asked for."""
        stop = min(self.last, len(self.lines)) - span + 1
        return random.randrange(self.first, stop) if stop > self.first else len(self.lines) - span

    def cell(self, random: Random, first: int = 0) -> tuple[int, int]:
        """Places of some row and of some cell of it."""
        row = self.row(random)
        cells = self.lines[row].split(self.sign)
        return row, random.randrange(min(first, len(cells) - 1), len(cells))

    def put(self, row: int, place: int, text: str) -> None:
        """Another text for a cell."""
        cells = self.lines[row].split(self.sign)
        cells[place] = text
        self.lines[row] = self.sign.join(cells)

    def data(self) -> bytes:
        """The file."""
        text = "".join(line + self.end for line in self.lines)
        data = workbook(self.lines) if self.workbook else text.encode(self.encoding, "replace")
        for share, more in self.put_in:
            at = int(share * len(data))
            data = data[:at] + more + data[at:]
        return data if self.end_at is None else data[: int(self.end_at * len(data))]


def workbook(lines: list[str]) -> bytes:
    """Lines of cells parted by tabs, as a workbook of numbers, dates and text."""
    import datetime as dt

    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet = book.add_worksheet("Saturday")
    when = book.add_format({"num_format": "dd.mm.yyyy hh:mm"})
    for row, line in enumerate(lines):
        for place, cell in enumerate(line.split("\t")):
            if re.fullmatch(DATE, cell):
                sheet.write_datetime(row, place, dt.datetime.fromisoformat(cell), when)
            elif re.fullmatch(r"-?\d{1,9}(\.\d{1,9})?", cell):
                sheet.write_number(row, place, float(cell))
            elif cell:
                sheet.write_string(row, place, "".join(c for c in cell if c >= " "))
    book.close()
    return out.getvalue()


def drafts() -> dict[str, Draft]:
    """The small logs by the name of their file: a stretch of each shape that keeps its oddities."""
    def lines(name: str, encoding: str = "utf-8") -> list[str]:
        text = (sixteen.FOLDER / name).read_bytes().decode(encoding)
        return text.replace("\r\n", "\n").removeprefix("\ufeff").split("\n")[:-1]

    def part(name: str, head: int, begin: int = 0, rows: int = ROWS, encoding: str = "utf-8",
             ) -> list[str]:
        every = lines(name, encoding)
        return every[:head] + every[head + begin : head + begin + rows]

    name = "03-preamble.csv"
    preamble = [line.replace("318", str(ROWS)) if line.startswith("Readings") else line
                for line in [*part(name, 7), *lines(name)[-4:]]]
    sheet = hand_sheet_lines()
    days = [f"14-daily-2031-10-{day}.csv" for day in (25, 26)]
    return {
        "01-plain.csv": Draft(part("01-plain.csv", 1)),
        "02-continental.csv": Draft(part("02-continental.csv", 1), ";", times=2, end="\r\n",
                                    temperatures=(2, 3), encoding="utf-8-sig"),
        name: Draft(preamble, heading=6, first=7, last=7 + ROWS, times=2, temperatures=(2, 3)),
        "04-fahrenheit.csv": Draft(part("04-fahrenheit.csv", 2), first=2, codes=CODES[1:]),
        "05-elapsed-2031-06-14_0900.tsv": Draft(
            part("05-elapsed-2031-06-14_0900.tsv", 1, 270), "\t"),
        "06-on-change.csv": Draft(part("06-on-change.csv", 1, 245), times=2, temperatures=()),
        "07-buckets.csv": Draft(lines("07-buckets.csv"), temperatures=()),
        "08-counter.csv": Draft(part("08-counter.csv", 1, 140, 50), temperatures=()),
        "09-dc-meter.csv": Draft(part("09-dc-meter.csv", 1), ";", times=2, temperatures=()),
        "10-hub.csv": Draft(part("10-hub.csv", 1, 85)),
        "11-serial.txt": Draft(part("11-serial.txt", 5, 145), "  ", heading=1, first=5),
        "12-hand-sheet.xlsx": Draft(sheet, "\t", heading=2, first=3, workbook=True),
        "13-unicode.txt": Draft(part("13-unicode.txt", 1, encoding="utf-16"), "\t",
                                encoding="utf-16"),
        # Over the doubled hour, one of the two files being harmed.
        days[0]: Draft(part(days[0], 1, 170, 20)),
        days[1]: Draft(part(days[1], 1, 0, 60)),
        "15-sound.csv": Draft(part("15-sound.csv", 1, 100), ";", temperatures=()),
        "16-scale.csv": Draft(part("16-scale.csv", 1, 100), temperatures=()),
    }


def hand_sheet_lines() -> list[str]:
    """Rows of the hand sheet as lines."""
    from coldbench.logs.grid import grid_text

    text, _ = grid_text(sixteen.hand_sheet(), "sheet", None)
    return text.decode("utf-8").split("\n")[:-1]


# Each way takes a draft and harms it in place.
def cut(draft: Draft, random: Random) -> None:
    draft.end_at = random.random()


def delimiter_in_a_line(draft: Draft, random: Random) -> None:
    row = draft.row(random)
    draft.lines[row] = draft.lines[row].replace(draft.sign, random.choice(",;\t| "))


def delimiter_in_all(draft: Draft, random: Random) -> None:
    sign = random.choice(",;\t| ")
    draft.lines = [line.replace(draft.sign, sign) for line in draft.lines]
    draft.sign = sign


def encoding(draft: Draft, random: Random) -> None:
    draft.encoding = random.choice([
        "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "cp437", "utf-8-sig", "shift-jis"])


def invalid_bytes(draft: Draft, random: Random) -> None:
    for _ in range(random.randint(1, 3)):
        more = random.choice([b"\0", b"\xff", b"\xc2\xa0", bytes([random.randint(128, 255)]), MARK])
        draft.put_in.append((random.random(), more))


def heading_renamed(draft: Draft, random: Random) -> None:
    cells = draft.lines[draft.heading].split(draft.sign)
    draft.put(draft.heading, random.randrange(len(cells)), random.choice(["", "other", "°", "1"]))


def heading_doubled(draft: Draft, random: Random) -> None:
    cells = draft.lines[draft.heading].split(draft.sign)
    draft.put(draft.heading, random.randrange(len(cells)), random.choice(cells))


def headings_removed(draft: Draft, random: Random) -> None:
    del draft.lines[draft.heading : draft.heading + random.randint(1, draft.first - draft.heading)]


def headings_again(draft: Draft, random: Random) -> None:
    draft.lines.insert(draft.row(random), draft.lines[draft.heading])


def blank_lines(draft: Draft, random: Random) -> None:
    for _ in range(random.randint(1, 4)):
        blank = random.choice(["", "", "   ", "\t", draft.sign * 3])
        draft.lines.insert(random.randrange(len(draft.lines) + 1), blank)


def cells_blanked(draft: Draft, random: Random) -> None:
    """Some cells, but not all numbers of a row: then it is a blank line, as silent as no row."""
    for _ in range(random.randint(1, 4)):
        row, place = draft.cell(random)
        cells = draft.lines[row].split(draft.sign)
        if re.search(r"\d", " ".join(cells[:place] + cells[place + 1 :])):
            draft.put(row, place, random.choice(["", " "]))


def blanks_around(draft: Draft, random: Random) -> None:
    rows = range(len(draft.lines)) if random.random() < 0.5 else [draft.row(random)]
    blank = random.choice([" ", "   ", "\u00a0"])
    for row in rows:
        draft.lines[row] = draft.lines[row].replace(draft.sign, f"{blank}{draft.sign}{blank}")


def error_words(draft: Draft, random: Random) -> None:
    word = random.choice(WORDS)
    for _ in range(random.randint(1, 3)):
        draft.put(*draft.cell(random, draft.times if random.random() < 0.9 else 0), word)


def error_codes(draft: Draft, random: Random) -> None:
    """A code where no such value is near: it jumps from both its neighbours."""
    if not draft.temperatures:
        return error_words(draft, random)
    code = random.choice(draft.codes)
    if "," in draft.lines[draft.first].split(draft.sign)[-1]:
        code = code.replace(".", ",")
    row = draft.row(random)
    place = random.choice(draft.temperatures)
    if place < len(draft.lines[row].split(draft.sign)):
        draft.put(row, place, code)
    return None


def rows_doubled(draft: Draft, random: Random) -> None:
    for _ in range(random.randint(1, 3)):
        row = draft.row(random)
        far = random.random() < 0.3
        draft.lines.insert(draft.row(random) if far else row, draft.lines[row])


def rows_swapped(draft: Draft, random: Random) -> None:
    one = draft.row(random, 2)
    other = one + 1 if random.random() < 0.5 else draft.row(random)
    times = [draft.lines[row].split(draft.sign)[: draft.times] for row in (one, other)]
    if times[0] == times[1]:
        return  # of the hour that comes twice: nobody can see it
    draft.lines[one], draft.lines[other] = draft.lines[other], draft.lines[one]


def rows_moved(draft: Draft, random: Random) -> None:
    """A stretch of rows stands elsewhere."""
    span = random.randint(1, 8)
    row = draft.row(random, span)
    some = draft.lines[row : row + span]
    del draft.lines[row : row + span]
    at = draft.row(random)
    draft.lines[at:at] = some


def text_lines(draft: Draft, random: Random) -> None:
    for _ in range(random.randint(1, 3)):
        text = random.choice(TEXTS)
        if random.random() < 0.3:
            text += draft.sign * random.randint(1, 3) + random.choice(["", "24.0"])
        draft.lines.insert(random.randrange(len(draft.lines) + 1), text)


def row_cut_at_a_cell(draft: Draft, random: Random) -> None:
    row, place = draft.cell(random)
    draft.lines[row] = draft.sign.join(draft.lines[row].split(draft.sign)[: max(1, place)])


def line_end_lost(draft: Draft, random: Random) -> None:
    row = draft.row(random, 2)
    draft.lines[row : row + 2] = ["".join(draft.lines[row : row + 2])]


def line_ends(draft: Draft, random: Random) -> None:
    draft.end = random.choice(["\r", "\r\n", "\n\n", "\n"])


def quotes(draft: Draft, random: Random) -> None:
    rows = range(len(draft.lines)) if random.random() < 0.5 else [draft.row(random)]
    for row in rows:
        cells = (cell.strip('"') for cell in draft.lines[row].split(draft.sign))
        draft.lines[row] = draft.sign.join(f'"{cell}"' for cell in cells)


def quote_lost(draft: Draft, random: Random) -> None:
    row, place = draft.cell(random)
    draft.put(row, place, '"' + draft.lines[row].split(draft.sign)[place])


def decimal_sign(draft: Draft, random: Random) -> None:
    row, place = draft.cell(random, draft.times)
    text = draft.lines[row].split(draft.sign)[place]
    draft.put(row, place, text.translate(str.maketrans(".,", ",.")))


def digit(draft: Draft, random: Random) -> None:
    """Another digit in a valid number: nobody can see it."""
    row = draft.row(random)
    places = [i for i, sign in enumerate(draft.lines[row]) if sign.isdigit()]
    if places:
        at = random.choice(places)
        line = draft.lines[row]
        draft.lines[row] = line[:at] + random.choice("0123456789") + line[at + 1 :]


WAYS: tuple[Callable[[Draft, Random], None], ...] = (
    cut, delimiter_in_a_line, delimiter_in_all, encoding, invalid_bytes, heading_renamed,
    heading_doubled, headings_removed, headings_again, blank_lines, cells_blanked, blanks_around,
    error_words, error_codes, rows_doubled, rows_swapped, rows_moved, text_lines,
    row_cut_at_a_cell, line_end_lost, line_ends, quotes, quote_lost, decimal_sign, digit,
)


# A workbook has cells, but no line ends, delimiters and quotes between them.
NOT_OF_WORKBOOKS = (
    delimiter_in_a_line, delimiter_in_all, encoding, line_end_lost, line_ends, quotes)


def harmed(draft: Draft, random: Random) -> tuple[bytes, list[str]]:
    """A log harmed in one to three ways, and which.

    Parameters
    ----------
    draft : Draft
        Is left as it is.
    random : Random
        Draws the ways.
    """
    copy = replace(draft, lines=list(draft.lines), put_in=[])
    known = [way for way in WAYS if not (draft.workbook and way in NOT_OF_WORKBOOKS)]
    ways = random.sample(known, random.choice([1, 1, 1, 2, 2, 3]))
    if heading_doubled in ways and heading_renamed in ways:
        ways.remove(heading_doubled)  # together they give a column the name of another
    for way in ways:
        way(copy, random)
    return copy.data(), [way.__name__ for way in ways]
