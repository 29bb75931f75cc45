"""From the text of one log to its columns, each in the unit of its role and on one clock."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np

from coldbench.errors import Fault, UserError, gathered, nearest
from coldbench.logs.clock import Clock, kind_of_time, posix_times
from coldbench.logs.codes import error_codes
from coldbench.logs.columns import Column, to_role
from coldbench.logs.layout import Layout, find_layout, wanted_headings
from coldbench.logs.numbers import Numbers, column_numbers, text_numbers
from coldbench.logs.plausible import refuse_too_cold
from coldbench.logs.rows import Rows, read_rows
from coldbench.logs.source import Source
from coldbench.logs.stated import rows_above, stated_count
from coldbench.logs.words import listed, many, often
from coldbench.quantities import number
from coldbench.sheets import Campaign
from coldbench.sheets.run import ColumnSheet, LogSheet


@dataclass(frozen=True, eq=False)
class Parsed:
    """What a log says, before it is cut to a run.

    Parameters
    ----------
    columns : tuple of Column
        Those with a role, in the order of the run sheet.
    unused : tuple of str
        Headings or channels without a role.
    said : tuple of str
        What was left out or taken for something.
    form : str
        How the file was read, in words.
    sha256 : str
        Of the bytes as received.
    ended : bool
        Whether the last line has its line end.
    """

    columns: tuple[Column, ...]
    unused: tuple[str, ...]
    said: tuple[str, ...]
    form: str
    sha256: str
    ended: bool


def parse(campaign: Campaign, run: str, number: int, source: Source) -> Parsed:
    """Columns of one log.

    Parameters
    ----------
    campaign : Campaign
        Sheets.
    run : str
        Id of the run.
    number : int
        Which of its logs.
    source : Source
        The file as text.

    Returns
    -------
    Parsed

    Raises
    ------
    UserError
        All faults that could be found.
    """
    log = campaign.runs[run].log[number]
    file = f"runs/{run}.toml"
    at = {heading: campaign.where(file, "log", number, "columns", heading)
          for heading in log.columns}
    time = campaign.where(file, "log", number, "time")
    places = dict.fromkeys(wanted_headings(log), time) | at
    layout = find_layout(source, log, places)
    times = {name: kind_of_time(log.time) for name in (log.time.column, log.time.with_) if name}
    rows = read_rows(source, layout, times, _cells(log), log.odd_rows is not None)
    faults: list[Fault] = []
    said, t, kept = list(rows.said), None, None
    with gathered(faults):
        t, kept, left_out = posix_times(rows, _clock(campaign, run, log, time))
        said += left_out
    columns: list[Column] = []
    repeated = np.zeros(0, int)
    for heading, sheet in log.columns.items():
        with gathered(faults):
            column, words = _column(heading, sheet, rows, log, layout, at[heading], (t, kept))
            said += words
            if column is not None:
                columns.append(column)
    if faults or t is None:
        raise UserError(dict.fromkeys(faults))
    columns, repeated = _in_order(columns, rows, kept)
    if repeated:
        said.append("1 row stood twice and was counted once" if repeated == 1 else
                    f"{repeated} rows stood twice and were counted once")
    said += _nameless(log, rows) + stated_count(source, layout, rows.count)
    said += rows_above(source, layout, list(times)) if log.skip is None else []
    return Parsed(tuple(columns), _unused(log, layout, rows), tuple(said), _form(source, layout),
                  source.sha256, source.ended)


def _cells(log: LogSheet) -> dict[str, str]:
    """Columns that hold values, and what they are."""
    if log.long is None:
        return dict.fromkeys(log.columns, "number")
    unit = {log.long.unit: "text"} if log.long.unit else {}
    return {log.long.channel: "text", log.long.value: "number", **unit}


def _clock(campaign: Campaign, run: str, log: LogSheet, where: str) -> Clock:
    sheet = campaign.runs[run]
    tz = ZoneInfo(log.timezone) if log.timezone else campaign.tz
    start = campaign.seconds(sheet.start) if sheet.start else None
    return Clock(log.time, tz, start, log.decimal or ".", where)


def _column(
    heading: str, sheet: ColumnSheet, rows: Rows, log: LogSheet, layout: Layout, where: str,
    clock: tuple[np.ndarray | None, np.ndarray | None],
) -> tuple[Column | None, list[str]]:
    """A column in the unit of its role, and what was taken for what; None without times."""
    if log.long is None:
        mine = None
        numbers = column_numbers(rows, heading, layout.decimal, log.no_value)
        written = layout.unit(heading)
    else:
        mine = _rows_of(heading, rows, log, where)
        numbers = _long_numbers(heading, mine, rows, log, layout)
        written = _unit_of(heading, mine, rows, log)
    unit, values, step = to_role(heading, sheet, numbers, written, where)
    bad = error_codes(numbers.values, unit)
    said = list(numbers.said)
    if bad.any():
        codes = listed(f"“{number(v, 2)}”" for v in np.unique(numbers.values[bad]))
        said.append(f"{many(int(bad.sum()), 'value')} of “{heading}” dropped, error codes of the "
                    f"instrument that also jump: {codes}")
        values = np.where(bad, np.nan, values)
    refuse_too_cold(heading, sheet.role, unit, values, mine, rows)
    t, kept = clock
    if t is None:
        return None, said
    if mine is None:
        good = slice(None) if kept.all() else kept
        return Column(heading, sheet.role, unit, t, values[good], step, numbers.silent[good]), said
    good = kept[mine]
    row = (np.cumsum(kept) - 1)[mine[good]]
    return Column(heading, sheet.role, unit, t[row], values[good], step,
                  numbers.silent[good]), said


def _rows_of(channel: str, rows: Rows, log: LogSheet, where: str) -> np.ndarray:
    names = rows.texts[log.long.channel]
    mine = np.flatnonzero((names == channel).fillna(False).to_numpy(bool))
    if not len(mine):
        known = names.dropna().unique().tolist()
        near = nearest(channel, known)
        raise UserError(Fault(
            f'the log has no channel "{channel}"', where,
            found=", ".join(f'"{name}"' for name in known[:20]),
            do=f'did you mean "{near}"?' if near else "name one of the channels it has"))
    return mine


def _long_numbers(
    channel: str, mine: np.ndarray, rows: Rows, log: LogSheet, layout: Layout
) -> Numbers:
    if log.long.value in rows.numbers:
        return Numbers(rows.numbers[log.long.value][mine], silent=np.zeros(len(mine), bool))
    cells = rows.texts[log.long.value].iloc[mine]
    return text_numbers(cells, channel, rows, layout.decimal, log.no_value)


def _unit_of(channel: str, mine: np.ndarray, rows: Rows, log: LogSheet) -> str | None:
    if log.long.unit is None:
        return None
    units = rows.texts[log.long.unit].iloc[mine].dropna()
    several = units.unique().tolist()
    if len(several) > 1:
        first = int(units.index[(units != several[0]).to_numpy(bool)][0])
        raise UserError(Fault(
            f'channel "{channel}" changes its unit', rows.place(first),
            found=listed(several), do="split the log where the unit changes"))
    return {"C": "°C", "F": "°F"}.get(several[0], several[0]) if several else None


def _in_order(
    columns: list[Column], rows: Rows, kept: np.ndarray
) -> tuple[list[Column], int]:
    """Columns whose times only grow; a row that stands twice is counted once.

    Raises
    ------
    UserError
        Time goes backwards, or two rows of one instant differ.
    """
    shared = all(column.t is columns[0].t for column in columns)
    groups = [columns] if shared else [[column] for column in columns]
    done, most = [], 0
    for group in groups:
        once, repeated = _once(group, rows, kept if shared else None)
        most = max(most, repeated)
        if once is not None:
            t = group[0].t[once]
            group = [Column(c.heading, c.role, c.unit, t, c.values[once], c.step, c.silent[once])
                     for c in group]
        done += group
    return done, most


def _once(
    group: list[Column], rows: Rows, kept: np.ndarray | None
) -> tuple[np.ndarray | None, int]:
    """Which samples of columns with the same times to keep, None for all; and how many fell."""
    def place(i: int) -> str:
        return rows.place(int(np.flatnonzero(kept)[i])) if kept is not None else rows.name

    t = group[0].t
    step = np.diff(t)
    if (step > 0).all():
        return None, 0
    back = np.flatnonzero(step < 0)
    if len(back):
        raise UserError(Fault(
            "time goes backwards", place(int(back[0]) + 1),
            found=f"{-step[back[0]]:.0f} s back, {often(len(back))} in the file",
            do="split the log where the clock was set, and correct the later part's times",
        ))
    same = np.flatnonzero(step == 0)
    differ = np.zeros(len(same), bool)
    for column in group:
        a, b = column.values[same], column.values[same + 1]
        differ |= (a != b) & ~(np.isnan(a) & np.isnan(b))
    if differ.any():
        still = len(same) > 2 and (np.diff(same) == 1).any()
        raise UserError(Fault(
            "the clock stands still while the log goes on" if still
            else "two rows of one instant say different things",
            place(int(same[differ][0]) + 1), found=many(int(differ.sum()), "such row"),
            do='count rows instead: time = { every = "1 s", from = … }' if still
            else "keep one of them in a copy of the log",
        ))
    once = np.ones(len(t), bool)
    once[same + 1] = False
    return once, len(same)


def _nameless(log: LogSheet, rows: Rows) -> list[str]:
    """What to say of values of which no channel is named."""
    if log.long is None:
        return []
    count = int(rows.texts[log.long.channel].isna().sum())
    return [f"{many(count, 'row')} without the name of a channel, left out"] if count else []


def _unused(log: LogSheet, layout: Layout, rows: Rows) -> tuple[str, ...]:
    if log.long is not None:
        names = rows.texts[log.long.channel].dropna().unique().tolist()
        return tuple(name for name in names if name not in log.columns)
    known = set(wanted_headings(log))
    return tuple(heading for heading in layout.headings if heading and heading not in known)


def _form(source: Source, layout: Layout) -> str:
    names = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars", " ": "blanks",
             "  ": "blanks"}
    parts = [f"workbook, sheet “{source.sheet}”" if source.sheet else
             f"{source.encoding}, parted by {names[layout.delimiter]}"]
    parts.append(f"headings on line {layout.heading}")
    if layout.units:
        parts.append(f"units on line {layout.heading + 1}")
    return ", ".join(parts)
