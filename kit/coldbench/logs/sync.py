"""Several loggers on one clock: shifted by what each one's own clock showed at a shared mark."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from zoneinfo import ZoneInfo

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.findings import Notice
from coldbench.logs.columns import Column
from coldbench.logs.readings import instant
from coldbench.logs.record import Trace
from coldbench.quantities import number
from coldbench.sheets import Campaign
from coldbench.sheets.clock import seconds
from coldbench.sheets.run import LogSheet

DAY = 86400.0
APART = 60.0  # by which clocks that were never compared may differ [s]; common practice, no source


def shifted(
    columns: tuple[Column, ...], campaign: Campaign, run: str, log: LogSheet
) -> tuple[Column, ...]:
    """Columns on the run's clock.

    Parameters
    ----------
    columns : tuple of Column
        On their logger's clock.
    campaign : Campaign
        Sheets.
    run : str
        Id of the run, whose marks ``sync`` tell when the shared events were.
    log : LogSheet
        With what its own clock showed then.

    Returns
    -------
    tuple of Column
        One event shifts them; two and more also take out a steady drift between the first and the
        last of them.

    Raises
    ------
    UserError
        More instants than marks.

    References
    ----------
    .. [1] This kit's own definition.
    """
    correction = clock_correction(campaign, run, log)
    if correction is None:
        return columns
    shown, right = correction
    shift = right[0] - shown[0]
    rate = (right[-1] - right[0]) / (shown[-1] - shown[0]) if len(shown) > 1 else 1.0
    times = {id(column.t): shown[0] + shift + (column.t - shown[0]) * rate for column in columns}
    return tuple(replace(column, t=times[id(column.t)]) for column in columns)


def clock_correction(
    campaign: Campaign, run: str, log: LogSheet
) -> tuple[np.ndarray, np.ndarray] | None:
    """What the logger's clock showed at the marks ``sync``, and when they were; None without. [s]

    Raises
    ------
    UserError
        As :func:`shifted`.
    """
    if not log.sync:
        return None
    sheet = campaign.runs[run]
    start = campaign.seconds(sheet.start) if sheet.start else None
    marks = sorted(instant(campaign, start, mark.at) for mark in sheet.mark if mark.what == "sync")
    number_of = sheet.log.index(log)
    if len(marks) < len(log.sync):
        raise UserError(Fault(
            "the log names more instants than the run has marks “sync”",
            campaign.where(f"runs/{run}.toml", "log", number_of, "sync"),
            found=f"{len(log.sync)}, and {len(marks)} marks", allowed="one for each mark",
            do='add a [[mark]] with what = "sync" and the right time of the event'))
    tz = ZoneInfo(log.timezone) if log.timezone else campaign.tz
    shown = np.array([seconds(at, tz) for at in log.sync])
    if (np.diff(shown) <= 0).any():
        raise UserError(Fault(
            "sync: the instants do not go on in time",
            campaign.where(f"runs/{run}.toml", "log", number_of, "sync"),
            do="put them in the order of the marks"))
    return shown, np.array(marks[: len(shown)])


def sync_words(campaign: Campaign, run: str, log: LogSheet) -> list[str]:
    """What the shift of a log's clock was, in a sentence."""
    correction = clock_correction(campaign, run, log)
    if correction is None:
        return []
    shown, right = correction
    text = f"its clock was shifted by {number(float(right[0] - shown[0]), 0)} s at the mark “sync”"
    if len(shown) > 1:
        drift = (right[-1] - right[0]) - (shown[-1] - shown[0])
        days = (shown[-1] - shown[0]) / DAY
        text += (f", and it drifted by {number(float(drift), 0)} s between the first and the last "
                 f"({number(float(drift / days), 1)} s a day)")
    return [text]


def clock_notices(run: str, cooler: str, traces: Iterable[Trace]) -> list[Notice]:
    """What the reader must know where two loggers' clocks were never compared.

    Parameters
    ----------
    run, cooler : str
        Ids.
    traces : iterable of Trace
        Of the run.
    """
    clocks = dict.fromkeys(trace.clock for trace in traces if not trace.by_hand)
    if len(clocks) < 2:
        return []
    names = " and ".join(name or "the run's" for name in clocks)
    return [Notice(
        "LOG-CLOCKS", "doubt", run,
        f"Several clocks ({names}) and no shared mark for all: they may differ by {APART:.0f} s or "
        "a sample. A mark “sync”, and `sync` in each [[log]] block, would settle it.", cooler,
    )]
