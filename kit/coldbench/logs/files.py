"""One log file: text, layout, rows, clock, columns, and what was understood of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.cache import from_cache, to_cache
from coldbench.logs.codes import extent
from coldbench.logs.columns import Column, to_traces
from coldbench.logs.parse import Parsed, parse
from coldbench.logs.plausible import question_of, refuse_on_change
from coldbench.logs.readings import instant
from coldbench.logs.record import Channel, FileEcho, Trace, steps_of
from coldbench.logs.source import open_source
from coldbench.logs.sync import shifted, sync_words
from coldbench.logs.words import many
from coldbench.sheets import Campaign
from coldbench.sheets.patterns import files_of
from coldbench.sheets.run import LogSheet

NO_LINE_END = "The file stops without a line end: was its last line written whole?"
NEVER_TOGETHER = "Volts and amps stand in no row together: power cannot be told from them."


@dataclass(frozen=True)
class LogFile:
    """Traces of one file, and its echo."""

    traces: tuple[Trace, ...]
    echo: FileEcho


def read_files(campaign: Campaign, run: str, number: int) -> list[LogFile]:
    """Read one ``[[log]]`` of a run: one file, or all that its pattern names.

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
    list of LogFile

    Raises
    ------
    UserError
        All faults that could be found in them.
    """
    log = campaign.runs[run].log[number]
    return [_read(campaign, run, number, name) for name in files_of(campaign.folder, log.file)]


def _read(campaign: Campaign, run: str, number: int, name: str) -> LogFile:
    log = campaign.runs[run].log[number]
    parsed = from_cache(campaign, run, number, name)
    if parsed is None:
        source = open_source(campaign.folder / name, name, log.encoding, log.sheet)
        parsed = parse(campaign, run, number, source)
        to_cache(campaign, run, number, name, parsed)
    columns = shifted(_part(parsed.columns, campaign, run, log), campaign, run, log)
    if not any(len(column.t) for column in columns):
        raise UserError(Fault(
            "no row of the log lies in this part of it", name,
            found=f"{many(len(parsed.columns[0].t), 'row')}, all before `from` or after `to`",
            do="mend `from` and `to` in the [[log]] block"))
    columns = [column for column in columns if np.isfinite(extent(column.values)[0])]
    where = campaign.where(f"runs/{run}.toml", "log", number, "file")
    refuse_on_change(columns, log, where)
    traces = to_traces(columns, log, name, campaign)
    said = [*parsed.said, *sync_words(campaign, run, log)]
    asked = [question for column in columns if (question := question_of(column))]
    if not parsed.ended:
        asked.append(NO_LINE_END)
    roles = {trace.role for trace in traces}
    if "power" not in roles and {"voltage", "current"} <= roles:
        power = _power_of(traces)
        if power is None:
            asked.append(NEVER_TOGETHER)
        else:
            traces.append(power)
            said.append("power is volts × amps of the same samples")
    return LogFile(tuple(traces), _echo(parsed, columns, traces, said, asked, name))


def _part(
    columns: tuple[Column, ...], campaign: Campaign, run: str, log: LogSheet
) -> tuple[Column, ...]:
    """The part of a log that belongs to this run."""
    if log.from_ is None and log.to is None:
        return columns
    sheet = campaign.runs[run]
    start = campaign.seconds(sheet.start) if sheet.start else None
    first = instant(campaign, start, log.from_) if log.from_ is not None else -np.inf
    last = instant(campaign, start, log.to) if log.to is not None else np.inf
    parts = {}
    for column in columns:
        if id(column.t) not in parts:
            inside = slice(int(np.searchsorted(column.t, first)),
                           int(np.searchsorted(column.t, last, side="right")))
            parts[id(column.t)] = inside, column.t[inside]
    return tuple(
        replace(column, t=t, values=column.values[inside], silent=column.silent[inside])
        for column in columns for inside, t in [parts[id(column.t)]]
    )


def _power_of(traces: list[Trace]) -> Trace | None:
    """Power from volts and amps of the same samples; None where there are none."""
    by_role = {trace.role: trace for trace in traces}
    volts, amps = by_role["voltage"], by_role["current"]
    if len(volts.t) == len(amps.t) and np.array_equal(volts.t, amps.t):
        t, i, j = volts.t, slice(None), slice(None)
    else:
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
    cut = None if amps.cut is None else amps.cut[j]
    if volts.cut is not None:
        cut = volts.cut[i] if cut is None else cut | volts.cut[i]
    return replace(
        amps, role="power", t=t, y=volts.y[i] * amps.y[j], error=error, cut=cut,
        probe=f"{volts.probe} × {amps.probe}",
        resolution=volts.resolution * float(np.mean(np.abs(amps.y)))
        + amps.resolution * float(np.mean(np.abs(volts.y))),
    )


def _echo(
    parsed: Parsed, columns: list[Column], traces: list[Trace],
    repairs: list[str], questions: list[str], name: str,
) -> FileEcho:
    by_column = dict(zip((column.heading for column in columns), traces, strict=False))
    channels = tuple(_channel(column, by_column[column.heading]) for column in columns)
    longest = max(traces, key=lambda trace: len(trace.t))
    heard = _heard(columns)
    if steps_of(heard)[1] > longest.gap * (1 + 1e-9):
        silent = np.diff(heard) > longest.gap * (1 + 1e-9)
    else:
        silent = np.zeros(max(0, len(heard) - 1), bool)
    return FileEcho(
        file=name, rows=len(heard), start=float(heard[0]), end=float(heard[-1]),
        step=longest.step, gap_limit=longest.gap, channels=channels, unused=parsed.unused,
        gaps=tuple(zip(heard[:-1][silent].tolist(), heard[1:][silent].tolist(), strict=True)),
        repairs=tuple(repairs), questions=tuple(questions), sha256=parsed.sha256, form=parsed.form,
    )


def _channel(column: Column, trace: Trace) -> Channel:
    there = len(trace.t) if trace.bucket == 0 and trace.cut is None else int(
        np.count_nonzero(~np.isnan(column.values)))
    return Channel(
        column.heading, trace.role, column.unit, trace.probe, there, len(column.values) - there,
        *extent(column.values),
    )


def _heard(columns: list[Column]) -> np.ndarray:
    """Instants at which anything was logged: a row of blanks is as silent as no row."""
    t = columns[0].t
    if all(column.t is t for column in columns):
        there = ~np.isnan(columns[0].values)
        for column in columns[1:]:
            if there.all():
                return t
            there |= ~np.isnan(column.values)
        return t[there]
    return np.unique(np.concatenate([c.t[~np.isnan(c.values)] for c in columns]))
