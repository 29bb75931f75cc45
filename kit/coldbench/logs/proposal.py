"""A ``[[log]]`` block for a file that no run names, to be pasted once it has been read.

What cannot be decided stands there as lines of which one has to be uncommented, with the question
above them: a block that is pasted without an answer is refused, and computes nothing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from coldbench.logs.columns import unit_of_heading
from coldbench.logs.layout import bare_unit
from coldbench.logs.look import Look, time_places
from coldbench.logs.plausible import is_uneven
from coldbench.logs.roles import suggested_role
from coldbench.quantities import number, unit_kind
from coldbench.sheets.roles import ROLE_KINDS, base_role

ELECTRICAL = ("power", "energy", "voltage", "current")
DATE = re.compile(r"(?a)(\d{4})[-_.]?(\d{2})[-_.]?(\d{2})"
                  r"(?:[ T_-]?(\d{2})[:.h-]?(\d{2})(?:[:.-]?(\d{2}))?)?")


@dataclass
class Block:
    """Lines of a proposed block: those above the columns, and the columns."""

    head: list[str] = field(default_factory=list)
    columns: list[str] = field(default_factory=list)
    questions: list[str] = field(default_factory=list)

    def ask(self, question: str, *lines: str) -> None:
        """A question, and the lines one of which answers it."""
        self.questions.append(question)
        self.head += [f"# {question}", *(f"# {line}" for line in lines)]


def proposed(look: Look, name: str) -> tuple[str, list[str]]:
    """The block for a file, and the questions it leaves open.

    Parameters
    ----------
    look : Look
        At the file.
    name : str
        What the block calls it: the file, or a pattern.

    Returns
    -------
    block : str
        TOML lines.
    questions : list of str
        In the order of the block.
    """
    block = Block()
    block.head += ["[[log]]", f"file = {_quoted(name)}"]
    if look.source.sheet:
        block.head.append(f"sheet = {_quoted(look.source.sheet)}")
    block.head.append('# instrument = "…"    # its id in campaign.toml; without it no intervals')
    _shape(block, look)
    column, clock, ways = time_places(look)
    taken = {place for place in (column, clock) if place is not None}
    _time(block, look, column, clock, ways)
    long = _long(look, taken) if column is not None else None
    if long is not None:
        _long_columns(block, look, *long)
    else:
        steps = np.array([]) if column is None else _steps(look, column, clock, ways)
        _columns(block, look, taken, float(np.median(steps)) if len(steps) else 0.0)
        if len(steps) and is_uneven(steps):
            block.ask(f"The rows come at uneven times ({steps.min():.0f} s to {steps.max():.0f} "
                      "s): how long a silence is a gap?", 'gap = "30 min"')
    return "\n".join([*block.head, "[log.columns]", *block.columns]), block.questions


def _shape(block: Block, look: Look) -> None:
    layout = look.layout
    if not look.named:
        block.head.append('headings = "none"')
    if layout.delimiter in (" ", "  "):
        block.head.append(f"delimiter = {_quoted(layout.delimiter)}")
    if look.decimal != ".":
        block.head.append('decimal = ","')
    if look.encoding:
        block.head.append(f"encoding = {_quoted(look.encoding)}")
    lines = [line for line in look.source.head(20_000)[layout.first - 1 :] if line.strip()]
    odd = sum(1 for line in lines if re.match(r'\s*"?\d', line)
              and len(layout.split(line)) != layout.width)
    if 0 < odd < 0.1 * len(lines):
        block.head.append('odd_rows = "leave out"    # rows that were cut off')


def _time(
    block: Block, look: Look, column: int | None, clock: int | None, ways: list[str]
) -> None:
    headings = look.layout.headings
    if column is None:
        block.ask("No column holds the time: what is the step between rows, and when was the "
                  "first?", f'time = {{ every = "1 min", from = {_start(look) or "…"} }}')
        return
    of = f"column = {_quoted(headings[column])}"
    if clock is not None:
        of += f", with = {_quoted(headings[clock])}"
    lines = [f"time = {{ {of}, {way} }}" for way in ways]
    if not ways:
        block.head.append(f"time = {{ {of} }}")
    elif ways[0].startswith("elapsed"):
        _elapsed(block, look, of, ways)
    elif len(ways) == 1:
        block.head += lines
    else:
        block.ask("Both readings of the date are possible: is the day first, or the month?"
                  if "%d" in ways[0] and "%m" in ways[0] else "How is the time to be read?", *lines)
    plain = not ways and look.column(column).str.contains(r"(?:Z|[+-]\d{2}:?\d{2})$").all()
    if not plain and not (ways and ways[0].startswith(("elapsed", 'format = "epoch'))):
        block.head.append('# timezone = "UTC"    # if its clock does not show the campaign\'s time')


def _elapsed(block: Block, look: Look, of: str, ways: list[str]) -> None:
    start = _start(look)
    since = f", from = {start}" if start else ""
    lines = [f"time = {{ {of}, {way}{since} }}" for way in _by_heading(look, of, ways)]
    if start:
        block.questions.append(
            f"The count is taken to begin at {start}, from the file's name or first lines: is "
            "that its zero?")
    else:
        block.questions.append("The time counts from a zero that the file does not tell: it is "
                               "taken to be the run's start; else add from = … to time.")
    if len(lines) == 1:
        block.head += lines
    else:
        block.ask("In which unit does the time count?", *lines)


def _by_heading(look: Look, of: str, ways: list[str]) -> list[str]:
    unit = unit_of_heading(of.split('"')[1], "duration")
    if re.search(r"(?i)\bsec|second|sekunde", of):
        unit = "s"
    matching = [way for way in ways if unit and way == f'elapsed = "{unit}"']
    return matching or ways


def _start(look: Look) -> str | None:
    """Date and time that the file's name or the lines above its table tell, if one does."""
    for text in (*look.above, look.source.name):
        found = DATE.search(text)
        if found and "1970" < found[1] < "2100" and "01" <= found[2] <= "12":
            hour, minute, second = (found[k] or "00" for k in (4, 5, 6))
            return f"{found[1]}-{found[2]}-{found[3]}T{hour}:{minute}:{second}"
    return None


def _columns(block: Block, look: Look, taken: set[int], step: float) -> None:
    roles: dict[str, int] = {}
    for place, heading in enumerate(look.layout.headings):
        if place in taken or not heading:
            continue
        values = look.numbers(place)
        if not len(values):
            filled = look.column(place)
            if len(filled) and not _with_unit(filled):
                continue  # text: a remark, a state
            if not len(filled):
                continue
            values = _numbers_with_unit(filled)
        if len(values) > 2 and (values.diff().iloc[1:] == 1).all() and values.iloc[0] in (0, 1):
            continue  # numbers of the rows
        written = look.layout.units[place] or None if look.layout.units else None
        _column(block, heading, values, written or _unit_in(look.column(place)), roles,
                step)
    _where_metered(block, roles)


def _column(
    block: Block, heading: str, values: pd.Series, written: str | None, roles: dict[str, int],
    step: float = 0.0,
) -> None:
    role = suggested_role(heading, written)
    seen = f"{_short(values.max())} to {_short(values.min())}" if len(values) else "empty"
    name = _quoted(heading)
    if role is None:
        kind = unit_kind(written) if written else None
        unit = "" if written or unit_of_heading(heading, "temperature") else ', unit = "…"'
        of = f", a {kind}" if kind else ""
        block.questions.append(f"What does column {heading} measure ({seen}{of})?")
        block.columns.append(f'# {name} = {{ role = "…"{unit} }}    # {seen}{of}: which role?')
        return
    roles[role] = roles.get(role, 0) + 1
    numbered = role if roles[role] == 1 else f"{role}_{roles[role]}"
    kind = ROLE_KINDS[role]
    known = kind == "count" or written or unit_of_heading(heading, kind)
    each = single = _each(values, role, step)
    if role in ("power", "current") and len(values) and float((values < 0).mean()) > 0.5:
        each += ", factor = -1"
        block.questions.append(f"Column {heading} is negative while the cooler draws: is it right "
                               "to turn its sign?")
    if single:
        block.ask(f"Column {heading} holds the energy of single intervals: does a row's time stand "
                  "at the start or at the end of its interval?", 'label = "start"', 'label = "end"')
    if known:
        block.columns.append(f"{name} = {{ role = {_quoted(numbered)}{each} }}    # {seen}")
        return
    units = _units_of(kind)
    block.questions.append(f"In which unit is column {heading} ({seen})?")
    block.columns.append(f"# In which unit is it? {seen}")
    block.columns += [f"# {name} = {{ role = {_quoted(numbered)}, unit = {_quoted(unit)}{each} }}"
                      for unit in units]


def _each(values: pd.Series, role: str, step: float) -> str:
    """The key of a column of single amounts: a counter does not fall every few rows."""
    if role != "energy" or step <= 0 or (values.diff().dropna() < 0).mean() < 0.1:
        return ""
    return f', bucket = "{step / 3600:g} h"' if step >= 3600 else f', bucket = "{step / 60:g} min"'


def _units_of(kind: str) -> tuple[str, ...]:
    return {"temperature": ("°C", "°F"), "power": ("W",), "energy": ("Wh", "kWh"),
            "voltage": ("V", "mV"), "current": ("A", "mA"), "mass": ("g", "kg"),
            "sound": ("dB(A)",), "fraction": ("%",)}.get(kind, ("…",))


def _where_metered(block: Block, roles: dict[str, int]) -> None:
    if any(base_role(role) in ELECTRICAL for role in roles):
        block.ask("Where was the electricity metered: at the cooler, at the wall, at the battery?",
                  'metered_at = "dc"', 'metered_at = "wall"', 'metered_at = "battery"')


def _steps(look: Look, column: int, clock: int | None, ways: list[str]) -> np.ndarray:
    """Steps between rows, as far as the time can be read without an answer. [s]"""
    if clock is not None:
        return np.array([])
    cells = look.column(column)
    scale = {'format = "epoch s"': 1.0, 'format = "epoch ms"': 1e-3, 'elapsed = "s"': 1.0}
    if ways and ways[0] in scale:
        return np.diff(look.numbers(column).to_numpy(float)) * scale[ways[0]]
    if ways and "%" not in ways[0]:
        return np.array([])
    form = ways[0].split('"')[1] if ways else "ISO8601"
    t = pd.to_datetime(cells, format=form, errors="coerce", utc=not ways)
    return t.diff().dt.total_seconds().dropna().to_numpy(float)


def _long(look: Look, taken: set[int]) -> tuple[int, int, int | None] | None:
    """Places of channel, value and unit, where each row holds one value of one channel."""
    rest = [place for place in range(look.layout.width) if place not in taken]
    rest = [p for p in rest if len(look.column(p)) > 0.8 * len(look.cells)]
    names = [p for p in rest if not len(look.numbers(p)) and not _with_unit(look.column(p))
             and 2 <= look.column(p).nunique() <= min(60, 0.5 * len(look.column(p)))]
    values = [p for p in rest if len(look.numbers(p)) > 0 or _mostly_numbers(look, p)]
    if len(values) != 1 or not names or look.layout.width > 6:
        return None
    units = [p for p in names if _unit_in_all(look.column(p))]
    channels = [p for p in names if p not in units]
    return (channels[0], values[0], units[0] if units else None) if channels else None


def _mostly_numbers(look: Look, place: int) -> bool:
    cells = look.column(place)
    return len(cells) > 0 and bool(cells.str.fullmatch(r"[-+]?\d*[.,]?\d+").mean() > 0.5)


def _unit_in_all(cells: pd.Series) -> bool:
    return all(unit_kind(bare_unit(text)) is not None for text in cells.unique())


def _long_columns(block: Block, look: Look, channel: int, value: int, unit: int | None) -> None:
    headings = look.layout.headings
    parts = [f"channel = {_quoted(headings[channel])}", f"value = {_quoted(headings[value])}"]
    if unit is not None:
        parts.append(f"unit = {_quoted(headings[unit])}")
    block.head.append(f"long = {{ {', '.join(parts)} }}")
    block.ask("A value holds until the next: after how long a silence is it a gap?",
              'gap = "30 min"')
    roles: dict[str, int] = {}
    cells = look.cells.map(str.strip)
    for name in cells[channel].unique():
        mine = cells[cells[channel] == name]
        values = pd.to_numeric(mine[value].str.replace(look.decimal, ".", regex=False),
                               errors="coerce").dropna()
        written = bare_unit(mine[unit].iloc[0]) if unit is not None else None
        if name and len(values):
            _column(block, name, values, written, roles)
    _where_metered(block, roles)


WITH_UNIT = r"[-+\u2212]?\d*[.,]?\d+\s*([^\d\s.,][^\d]*)"


def _with_unit(cells: pd.Series) -> bool:
    return bool(cells.str.fullmatch(WITH_UNIT).mean() > 0.5)


def _unit_in(cells: pd.Series) -> str | None:
    units = cells.str.extract(rf"^{WITH_UNIT}$")[0].dropna().unique()
    known = [bare_unit(unit) for unit in units if unit_kind(bare_unit(unit)) is not None]
    return known[0] if known else None


def _numbers_with_unit(cells: pd.Series) -> pd.Series:
    part = cells.str.extract(r"([-+]?\d*[.,]?\d+)")[0].str.replace(",", ".", regex=False)
    return pd.to_numeric(part, errors="coerce").dropna()


def _short(value: float) -> str:
    return number(round(float(value), 2), 2).rstrip("0").rstrip(".")


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\t", "\\t")
    return f'"{escaped}"'
