"""All that was logged and read in a run, on one clock, with its time zero."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.findings import Notice
from coldbench.logs.files import LogFile, read_file
from coldbench.logs.readings import instant, read_by_hand
from coldbench.logs.record import FileEcho, Mark, Record, Trace
from coldbench.sheets import Campaign

IDLE_AT_MOST = 1.0  # power above this is taken as switched on [W]


def read_runs(campaign: Campaign) -> dict[str, Record]:
    """Read the logs of all runs.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    dict of str to Record
        By run, in the order of the campaign.

    Raises
    ------
    UserError
        The faults of all logs of all runs.
    """
    records, faults = {}, []
    for run in campaign.runs:
        try:
            records[run] = read_run(campaign, run)
        except UserError as mistake:
            faults += mistake.faults
    if faults:
        raise UserError(dict.fromkeys(faults))
    return records


def read_run(campaign: Campaign, run: str) -> Record:
    """Read the logs and typed readings of one run.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    run : str
        Id of the run.

    Returns
    -------
    Record

    Raises
    ------
    UserError
        All faults of its logs.
    """
    sheet = campaign.runs[run]
    files, faults = [], []
    for number in range(len(sheet.log)):
        try:
            files.append(read_file(campaign, run, number))
        except UserError as mistake:
            faults += mistake.faults
    if faults:
        raise UserError(faults)
    traces = _by_role(campaign, run, files)
    for trace in read_by_hand(campaign, run):
        name = trace.role if trace.role not in traces else f"{trace.role} by hand"
        traces[name] = trace
    start = campaign.seconds(sheet.start) if sheet.start else None
    marks = tuple(sorted(
        (Mark(instant(campaign, start, m.at), m.what, m.note or "") for m in sheet.mark),
        key=lambda mark: mark.t,
    ))
    zero, zero_from = _time_zero(traces, marks, start)
    echoes = tuple(file.echo for file in files)
    notices = [*_gap_notices(campaign, run, echoes), *_repairs(campaign, run, echoes),
               *_falls(campaign, run, traces)]
    end = max(float(trace.t[-1]) for trace in traces.values())
    return Record(run, sheet.cooler, traces, zero, zero_from, end, marks, tuple(notices), echoes)


def _by_role(campaign: Campaign, run: str, files: list[LogFile]) -> dict[str, Trace]:
    """One trace a role; logs of one probe that follow each other are joined."""
    traces: dict[str, Trace] = {}
    for number, file in enumerate(files):
        for trace in file.traces:
            if trace.role not in traces:
                traces[trace.role] = trace
                continue
            before, after = sorted([traces[trace.role], trace], key=lambda x: x.t[0])
            if before.probe != after.probe or before.t[-1] >= after.t[0]:
                raise UserError(Fault(
                    f'two logs give the role "{trace.role}"',
                    campaign.where(f"runs/{run}.toml", "log", number, "columns"),
                    found=f"{before.file} and {after.file}",
                    do=f'number the places ("{trace.role}_2"), or name one probe in both where '
                       "the second log goes on after the first",
                ))
            traces[trace.role] = replace(
                before, t=np.concatenate([before.t, after.t]),
                y=np.concatenate([before.y, after.y]), file=f"{before.file} {after.file}",
                gap=max(before.gap, after.gap),
            )
    return traces


def _time_zero(
    traces: dict[str, Trace], marks: tuple[Mark, ...], start: float | None
) -> tuple[float, str]:
    """The instant of switching on, and the rule that gave it."""
    on = [m.t for m in marks if m.what == "power on"]
    if on:
        return on[0], "mark “power on”"
    if start is not None:
        return start, "start of the run"
    power = traces.get("power")
    if power is not None and (power.y > IDLE_AT_MOST).any():
        return float(power.t[np.argmax(power.y > IDLE_AT_MOST)]), "first power above idle"
    return min(float(trace.t[0]) for trace in traces.values()), "first sample"


def _gap_notices(campaign: Campaign, run: str, files: tuple[FileEcho, ...]) -> list[Notice]:
    cooler = campaign.runs[run].cooler
    notices = []
    for file in files:
        if not file.gaps:
            continue
        total = sum(b - a for a, b in file.gaps) / 60
        times = ", ".join(_span(campaign, a, b) for a, b in file.gaps[:3])
        more = f" and {len(file.gaps) - 3} more" if len(file.gaps) > 3 else ""
        count = "One silence" if len(file.gaps) == 1 else f"{len(file.gaps)} silences"
        notices.append(Notice(
            "LOG-GAP", "doubt", file.file,
            f"{count} longer than {file.gap_limit / 60:.1f} min, {total:.0f} min in all: "
            f"{times}{more}. Nothing was filled.", cooler,
        ))
    return notices


def _repairs(campaign: Campaign, run: str, files: tuple[FileEcho, ...]) -> list[Notice]:
    cooler = campaign.runs[run].cooler
    return [Notice("LOG-REPAIR", "note", file.file, f"{repair[0].upper()}{repair[1:]}.", cooler)
            for file in files for repair in file.repairs]


def _falls(campaign: Campaign, run: str, traces: dict[str, Trace]) -> list[Notice]:
    counter = traces.get("energy")
    if counter is None or (np.diff(counter.y) >= 0).all():
        return []
    at = counter.t[1:][np.diff(counter.y) < 0]
    return [Notice(
        "LOG-COUNTER-FALL", "doubt", counter.file,
        f"The energy counter fell back {len(at)} times, first at {_clock(campaign, at[0])}; it is "
        "not used across a fall.", campaign.runs[run].cooler,
    )]


def _span(campaign: Campaign, begin: float, end: float) -> str:
    return f"{_clock(campaign, begin)} to {_clock(campaign, end)}"


def _clock(campaign: Campaign, t: float) -> str:
    from datetime import datetime

    return datetime.fromtimestamp(t, campaign.tz).strftime("%Y-%m-%d %H:%M")
