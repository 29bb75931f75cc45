"""One log file: shape, clock, columns, and what was understood of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from coldbench.errors import Fault, UserError, gathered
from coldbench.logs.clock import posix_times
from coldbench.logs.columns import Column, to_role, to_trace
from coldbench.logs.lines import Lines, check_lines
from coldbench.logs.plausible import question_of, refuse_on_change, refuse_too_cold
from coldbench.logs.record import Channel, FileEcho, Trace
from coldbench.logs.shape import Shape, find_shape
from coldbench.logs.table import read_table, to_numbers
from coldbench.logs.words import many, often
from coldbench.sheets import Campaign
from coldbench.sheets.run import ColumnSheet, LogSheet

if TYPE_CHECKING:
    import pandas as pd


NO_LINE_END = "The file stops without a line end: was its last line written whole?"
NEVER_TOGETHER = "Volts and amps stand in no row together: power cannot be told from them."


@dataclass(frozen=True)
class LogFile:
    """Traces of one file, and its echo."""

    traces: tuple[Trace, ...]
    echo: FileEcho


def read_file(campaign: Campaign, run: str, number: int) -> LogFile:
    """Read one ``[[log]]`` of a run.

    Parameters
    ----------
    campaign : Campaign
        Sheets.
    run : str
        Id of the run.
    number : int
        Which of its logs.

    Returns
    -------
    LogFile

    Raises
    ------
    UserError
        All faults that could be found in it.
    """
    log = campaign.runs[run].log[number]
    file = f"runs/{run}.toml"
    at = {heading: campaign.where(file, "log", number, "columns", heading)
          for heading in log.columns}
    at = {log.time.column: campaign.where(file, "log", number, "time"), **at}
    shape = find_shape(campaign.folder / log.file, log.file, log, at)
    lines = check_lines(shape)
    t, columns, doubled = _columns(campaign, run, number, shape, at)
    refuse_on_change(columns, t, log, campaign.where(file, "log", number, "file"))
    traces = [to_trace(column, t, log, campaign) for column in columns]
    said = [f"{doubled} rows stood twice and were counted once" if doubled > 1 else
            "1 row stood twice and was counted once"] if doubled else []
    asked = [question for column in columns if (question := question_of(column))]
    if not lines.ended:
        asked.append(NO_LINE_END)
    roles = {trace.role for trace in traces}
    if "power" not in roles and {"voltage", "current"} <= roles:
        power = _power_of(traces)
        if power is None:
            asked.append(NEVER_TOGETHER)
        else:
            traces.append(power)
            said.append("power is volts × amps of the same samples")
    return LogFile(tuple(traces), _echo(log, shape, lines, t, columns, traces, said, asked))


def _columns(
    campaign: Campaign, run: str, number: int, shape: Shape, at: dict[str, str]
) -> tuple[np.ndarray, list[Column], int]:
    """Times, columns with a role, and how many rows stood twice; all faults of them at once."""
    log = campaign.runs[run].log[number]
    table = read_table(shape, log.time.column, list(log.columns))
    faults: list[Fault] = []
    columns = []
    with gathered(faults):
        t = _times(campaign, run, number, table[log.time.column], shape)
        kept = _in_order(t, table[list(log.columns)], shape)
    for heading, entry in log.columns.items():
        with gathered(faults):
            columns.append(_column(table[heading], entry, shape, at[heading]))
    if faults:
        raise UserError(faults)
    columns = [replace(column, values=column.values[kept]) for column in columns]
    return t[kept], columns, int((~kept).sum())


def _times(
    campaign: Campaign, run: str, number: int, text: pd.Series, shape: Shape
) -> np.ndarray:
    sheet = campaign.runs[run]
    log = sheet.log[number]
    tz = ZoneInfo(log.timezone) if log.timezone else campaign.tz
    start = campaign.seconds(sheet.start) if sheet.start else None
    where = campaign.where(f"runs/{run}.toml", "log", number, "time")
    return posix_times(text, log.time, tz, start, shape, where)


def _column(cells: pd.Series, sheet: ColumnSheet, shape: Shape, where: str) -> Column:
    """A column in the unit of its role; raises what is wrong with it."""
    column = to_role(cells.name, sheet, to_numbers(cells, shape), where)
    refuse_too_cold(column, cells.index.to_numpy(), shape)
    return column


def _in_order(t: np.ndarray, table: pd.DataFrame, shape: Shape) -> np.ndarray:
    """Which rows to keep so that times only grow: a row that stands twice is counted once.

    Raises
    ------
    UserError
        Time goes backwards, or two rows of one instant differ.
    """
    step = np.diff(t)
    back = np.flatnonzero(step < 0)
    if len(back):
        row = int(table.index[back[0] + 1])
        raise UserError(Fault(
            "time goes backwards", f"{shape.name}:{shape.line(row)}",
            found=f"{-step[back[0]]:.0f} s back, {often(len(back))} in the file",
            do="split the log where the clock was set, and correct the later part's times",
        ))
    same = np.flatnonzero(step == 0)
    if not len(same):
        return np.ones(len(t), bool)
    cells, blank = table.to_numpy(object), table.isna().to_numpy()
    equal = (cells[same] == cells[same + 1]) | (blank[same] & blank[same + 1])
    differ = np.flatnonzero(~equal.all(axis=1))
    if len(differ):
        row = int(table.index[same[differ[0]] + 1])
        raise UserError(Fault(
            "two rows of one instant say different things", f"{shape.name}:{shape.line(row)}",
            found=many(len(differ), "such row"), do="keep one of them in a copy of the log",
        ))
    kept = np.ones(len(t), bool)
    kept[same + 1] = False
    return kept


def _power_of(traces: list[Trace]) -> Trace | None:
    """Power from volts and amps of the same samples; None where there are none."""
    by_role = {trace.role: trace for trace in traces}
    volts, amps = by_role["voltage"], by_role["current"]
    t, i, j = np.intersect1d(volts.t, amps.t, assume_unique=True, return_indices=True)
    if not len(t):
        return None
    errors = (volts.error, amps.error)
    error = None
    if None not in errors:
        # An offset of either becomes relative at the mean of what it was seen at.
        mean = [float(np.mean(np.abs(x.y))) or 1.0 for x in (volts, amps)]
        relative = sum(e.relative + e.absolute / m for e, m in zip(errors, mean, strict=True))
        error = replace(volts.error, absolute=0.0, relative=relative)
    return replace(
        amps, role="power", t=t, y=volts.y[i] * amps.y[j], error=error,
        probe=f"{volts.probe} × {amps.probe}",
        resolution=volts.resolution * float(np.mean(np.abs(amps.y)))
        + amps.resolution * float(np.mean(np.abs(volts.y))),
    )


def _echo(
    log: LogSheet, shape: Shape, lines: Lines, t: np.ndarray, columns: list[Column],
    traces: list[Trace], repairs: list[str], questions: list[str],
) -> FileEcho:
    by_role = {trace.role: trace for trace in traces}
    channels = tuple(
        Channel(
            c.heading, c.role, c.unit, by_role[c.role].probe, int((~np.isnan(c.values)).sum()),
            int(np.isnan(c.values).sum()), float(np.nanmin(c.values)), float(np.nanmax(c.values)),
        )
        for c in columns
    )
    longest = max(traces, key=lambda trace: len(trace.t))
    # A row of blanks is as silent as no row.
    heard = t[np.any([~np.isnan(c.values) for c in columns], axis=0)]
    silent = np.diff(heard) > longest.gap
    known = {log.time.column, *log.columns}
    return FileEcho(
        file=log.file, rows=len(t), start=float(t[0]), end=float(t[-1]), step=longest.step,
        gap_limit=longest.gap, channels=channels,
        unused=tuple(h for h in shape.headings if h not in known),
        gaps=tuple(zip(heard[:-1][silent].tolist(), heard[1:][silent].tolist(), strict=True)),
        repairs=tuple(repairs), questions=tuple(questions), sha256=lines.sha256,
    )

