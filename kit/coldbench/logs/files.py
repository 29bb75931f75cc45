"""One log file: shape, clock, columns, and what was understood of it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.clock import posix_times
from coldbench.logs.columns import Column, to_role, to_trace
from coldbench.logs.record import Channel, FileEcho, Trace
from coldbench.logs.shape import Shape, find_shape
from coldbench.logs.table import read_table
from coldbench.sheets import Campaign
from coldbench.sheets.run import LogSheet

if TYPE_CHECKING:
    import pandas as pd


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
    sheet = campaign.runs[run]
    log = sheet.log[number]
    place = f"runs/{run}.toml"
    where = campaign.where(place, "log", number, "file")
    path = campaign.folder / log.file
    shape = find_shape(path, log.file, log, where)
    table = read_table(shape, log.time.column, list(log.columns))
    tz = ZoneInfo(log.timezone) if log.timezone else campaign.tz
    start = campaign.seconds(sheet.start) if sheet.start else None
    t = posix_times(table[log.time.column], log.time, tz, start, shape,
                    campaign.where(place, "log", number, "time"))
    t, table, repairs = _in_order(t, table, shape)
    columns = [
        to_role(heading, entry, table[heading].to_numpy(float),
                campaign.where(place, "log", number, "columns", heading))
        for heading, entry in log.columns.items()
    ]
    faults = [c for c in columns if isinstance(c, Fault)]
    if faults:
        raise UserError(faults)
    traces = [to_trace(c, t, log, campaign, where) for c in columns]
    faults = [c for c in traces if isinstance(c, Fault)]
    if faults:
        raise UserError(faults)
    traces, said = _power_of(traces)
    echo = _echo(log, shape, path, t, columns, traces, [*repairs, *said])
    return LogFile(tuple(traces), echo)


def _in_order(
    t: np.ndarray, table: pd.DataFrame, shape: Shape
) -> tuple[np.ndarray, pd.DataFrame, list[str]]:
    """Times that only grow; identical rows are dropped and told, anything else is a fault."""
    step = np.diff(t)
    back = np.flatnonzero(step < 0)
    if len(back):
        row = int(table.index[back[0] + 1])
        raise UserError(Fault(
            "time goes backwards", f"{shape.name}:{shape.line(row)}",
            found=f"{-step[back[0]]:.0f} s back, {len(back)} times in the file",
            do="split the log where the clock was set, and correct the later part's times",
        ))
    same = np.flatnonzero(step == 0)
    if not len(same):
        return t, table, []
    first, second = table.iloc[same], table.iloc[same + 1]
    equal = (first.to_numpy() == second.to_numpy()) | (first.isna() & second.isna()).to_numpy()
    differ = np.flatnonzero(~equal.all(axis=1))
    if len(differ):
        row = int(second.index[differ[0]])
        raise UserError(Fault(
            "two rows of one instant say different things", f"{shape.name}:{shape.line(row)}",
            found=f"{len(differ)} such rows", do="keep one of them in a copy of the log",
        ))
    kept = np.ones(len(t), bool)
    kept[same + 1] = False
    return t[kept], table[kept], [f"{len(same)} rows stood twice and were counted once"]


def _power_of(traces: list[Trace]) -> tuple[list[Trace], list[str]]:
    """Power from volts and amps of the same samples, where no power was logged."""
    by_role = {trace.role: trace for trace in traces}
    volts, amps = by_role.get("voltage"), by_role.get("current")
    if "power" in by_role or volts is None or amps is None:
        return traces, []
    t, i, j = np.intersect1d(volts.t, amps.t, assume_unique=True, return_indices=True)
    errors = (volts.error, amps.error)
    error = None
    if None not in errors:
        # An offset of either becomes relative at the mean of what it was seen at.
        mean = [float(np.mean(np.abs(x.y))) or 1.0 for x in (volts, amps)]
        relative = sum(e.relative + e.absolute / m for e, m in zip(errors, mean, strict=True))
        error = replace(volts.error, absolute=0.0, relative=relative)
    power = replace(
        amps, role="power", t=t, y=volts.y[i] * amps.y[j], error=error,
        probe=f"{volts.probe} × {amps.probe}",
        resolution=volts.resolution * float(np.mean(np.abs(amps.y)))
        + amps.resolution * float(np.mean(np.abs(volts.y))),
    )
    return [*traces, power], ["power is volts × amps of the same samples"]


def _echo(
    log: LogSheet, shape: Shape, path: Path, t: np.ndarray, columns: list[Column],
    traces: list[Trace], repairs: list[str],
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
    silent = np.diff(t) > longest.gap
    known = {log.time.column, *log.columns}
    return FileEcho(
        file=log.file, rows=len(t), start=float(t[0]), end=float(t[-1]), step=longest.step,
        gap_limit=longest.gap, channels=channels,
        unused=tuple(h for h in shape.headings if h not in known),
        gaps=tuple(zip(t[:-1][silent].tolist(), t[1:][silent].tolist(), strict=True)),
        repairs=tuple(repairs), sha256=_digest(path),
    )


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
