"""The loggers' clocks against each other, from the step that all probes take at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.doubt import noise_sd
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.same_place import Baths, settled_part
from coldbench.logs.record import Trace
from coldbench.logs.sync import clock_correction
from coldbench.sheets import Campaign
from coldbench.sheets.patterns import files_of
from coldbench.sheets.run import LogSheet


@dataclass(frozen=True, eq=False)
class Shift:
    """How far a logger's clock is ahead of the first logger's, or of the marks.

    Parameters
    ----------
    logger : str
        Id of its instrument, else its file.
    value, half : float
        Ahead by this, and the limit within which that is known. [s]
    draws : ndarray, shape (4000,)
        [s]
    note : str
        What told it.
    """

    logger: str
    value: float
    half: float
    draws: np.ndarray
    note: str

    @property
    def told(self) -> bool:
        """Whether it can be told from none at all; a smaller one is not corrected."""
        low, high = draws.interval(self.draws)
        return not low <= 0 <= high


def log_of(campaign: Campaign, run: str, trace: Trace) -> LogSheet | None:
    """The ``[[log]]`` that a trace came from.

    Returns
    -------
    LogSheet or None
        None for readings by hand.

    References
    ----------
    .. [1] This kit's own definition.
    """
    files = trace.file.split()
    for log in campaign.runs[run].log:
        if set(files) & set(files_of(campaign.folder, log.file)):
            return log
    return None


def logger_of(log: LogSheet) -> str:
    """Name of the clock that wrote a log.

    Returns
    -------
    str
        Its instrument, else the only one of its columns, else its file.

    References
    ----------
    .. [1] This kit's own definition.
    """
    of_columns = {column.instrument for column in log.columns.values()} - {None}
    if log.instrument:
        return log.instrument
    return of_columns.pop() if len(of_columns) == 1 else log.file


def onset(
    trace: Trace, before: tuple[float, float], after: tuple[float, float]
) -> tuple[float, float] | None:
    """The instants between which a step began.

    Parameters
    ----------
    trace : Trace
        Readings of one probe.
    before, after : pair of float
        Stretches at the level before and after the step. [s]

    Returns
    -------
    first, last : float, or None
        From the last sample that still had the old level to the first that had left it, and
        earlier by as long as a slow probe stays below what can be told from noise: the time it
        takes from there to four times as much. None where there is no step. [s]

    References
    ----------
    .. [1] This kit's own definition. Of a response that bends down (one time constant) or starts
       like a parabola (two), the time to a small level is at most that from it to its fourfold.
    """
    old, new = (np.median(trace.y[trace.within(*span)]) if _samples(trace, span) else np.nan
                for span in (before, after))
    step = new - old
    if not abs(step) >= LIMITS.clock_step:
        return None
    left = (trace.y - old) / step
    middle = trace.within(before[0], after[1])
    crossed = middle.start + int(np.argmax(left[middle] > 0.5))
    small = max(5 * noise_sd(trace), 1.5 * trace.resolution, 0.02 * abs(step)) / abs(step)
    still = np.flatnonzero(left[:crossed] <= small)
    if not len(still) or 4 * small >= 0.5:
        return None
    k = int(still[-1])
    up = np.maximum.accumulate(left[k:crossed + 1])
    times = np.interp([small, 4 * small], up, trace.t[k:crossed + 1])
    return float(trace.t[k] - (times[1] - times[0])), float(trace.t[k + 1])


def _samples(trace: Trace, span: tuple[float, float]) -> bool:
    return len(trace.y[trace.within(*span)]) >= 3


def _moves(baths: Baths, begin: float, end: float) -> list[tuple[tuple[float, float], ...]]:
    """Stretches before and after each move of the probes, the most telling first. [s]"""
    ordered = sorted(baths.values())
    settled = [settled_part(*bath) for bath in ordered]
    between = list(zip(settled, settled[1:], strict=False))
    return [*between, ((begin, ordered[0][0]), settled[0]), (settled[-1], (ordered[-1][1], end))]


def shifts(campaign: Campaign, run: str, traces: list[Trace], baths: Baths) -> list[Shift]:
    """Shift of each logger of a check: from marks ``sync`` where given, else from the step.

    Parameters
    ----------
    campaign : Campaign
        Sheets.
    run : str
        Id of the check.
    traces : list of Trace
        Temperatures, one a probe.
    baths : dict of str to pair of float
        POSIX. [s]

    Returns
    -------
    list of Shift
        Empty where there is one logger and no mark, or no step. The clock of a logger with marks
        counts as right, else that of the first. Of a logger's probes the one that tells the
        narrowest counts.

    References
    ----------
    .. [1] This kit's own definition.
    """
    logs = {id(log): log for t in traces if (log := log_of(campaign, run, t)) is not None}
    of_log = {key: [t for t in traces if log_of(campaign, run, t) is log]
              for key, log in logs.items()}
    by_marks = {
        key: float(seen[0][0] - seen[1][0]) for key, log in logs.items()
        if (seen := clock_correction(campaign, run, log)) is not None
    }
    begun = _onsets(of_log, baths)
    first = next((key for key in logs if key in by_marks and key in begun),
                 next(iter(begun), None))
    found = []
    for key, log in logs.items():
        name, step = logger_of(log), max(t.step for t in of_log[key])
        if key in by_marks:
            drawn = by_marks[key] + draws.uniform(f"{run} {name} sync", step)
            found.append(Shift(name, by_marks[key], step, drawn, "from the mark “sync”"))
        elif key in begun and key != first:
            found.append(_by_step(run, name, begun[key], logger_of(logs[first]), begun[first]))
    return found


def _onsets(
    of_log: dict[int, list[Trace]], baths: Baths
) -> dict[int, tuple[float, float]]:
    """Onset at each logger, by the first move that all of them saw, else by none."""
    begin = min(t.t[0] for traces in of_log.values() for t in traces) if of_log else 0.0
    end = max(t.t[-1] for traces in of_log.values() for t in traces) if of_log else 0.0
    best: dict[int, tuple[float, float]] = {}
    for before, after in _moves(baths, begin, end):
        seen = {}
        for key, traces in of_log.items():
            spans = [span for t in traces if (span := onset(t, before, after)) is not None]
            if spans:
                seen[key] = min(spans, key=lambda span: span[1] - span[0])
        if len(seen) > len(best):
            best = seen
    return best


def _by_step(
    run: str, name: str, span: tuple[float, float], first: str, of_first: tuple[float, float]
) -> Shift:
    drawn, value, half = 0.0, 0.0, 0.0
    for sign, logger, (begin, end) in ((1, name, span), (-1, first, of_first)):
        wide = (end - begin) / 2 + LIMITS.clock_hand / 2
        drawn = drawn + sign * ((begin + end) / 2 + draws.uniform(f"{run} {logger} onset", wide))
        value, half = value + sign * (begin + end) / 2, half + wide
    return Shift(name, value, half, drawn, f"against {first}, from the step between the baths")
