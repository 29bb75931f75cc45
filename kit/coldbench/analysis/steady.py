"""The steady window: what it is, its means, and its length."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from coldbench.analysis.cycles import Cycling
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Record, Trace

DAY, HOUR = 86400.0, 3600.0
EVENTS = {
    "lid opened", "lid shut", "load in", "load out", "setting changed", "power on", "power off",
}


@dataclass(frozen=True)
class SteadyWindow:
    """Where a run is judged, and why there.

    Parameters
    ----------
    t0, t1 : float
        Window, POSIX. [s]
    passed : bool
        Whether the rule passed.
    cycling : Cycling or None
        None for a machine that runs without a break.
    starts : ndarray, shape (m + 1,)
        Cycle starts in the window, the last one its end. [s]
    good : ndarray of bool, shape (m,)
        False for cycles touched by a gap or a mark; these are dropped whole.
    tests : dict of str to float
        Test values, by what was tested.
    text : str
        The rule's result in a sentence.
    ambient_move : float
        Ambient by which a window short of 24 h may differ from the run's 24 h mean. [K]
    """

    t0: float
    t1: float
    passed: bool
    cycling: Cycling | None
    starts: np.ndarray
    good: np.ndarray
    tests: dict[str, float] = field(default_factory=dict)
    text: str = ""
    ambient_move: float = 0.0

    @property
    def hours(self) -> float:
        """Length. [h]"""
        return (self.t1 - self.t0) / HOUR

    @property
    def days(self) -> int:
        """Whole days it holds, to within a cycle; 0 where it is short of one."""
        return whole_days(self.t0, self.t1, self.starts)

    def mean(self, trace: Trace) -> float:
        """Time-weighted mean of a trace over the kept cycles (or the whole window). [unit]"""
        total = cumulative(trace)
        if self.cycling is None:
            return float(total.mean(self.t0, self.t1))
        begin, end = self.starts[:-1][self.good], self.starts[1:][self.good]
        time = total.covered(begin, end).sum()
        return float(total.integral(begin, end).sum() / time) if time > 0 else float("nan")

    def coverage(self, trace: Trace) -> float:
        """Share of the window that the kept cycles (or samples) speak for. [%]"""
        if self.cycling is None:
            return cumulative(trace).coverage(self.t0, self.t1)
        begin, end = self.starts[:-1][self.good], self.starts[1:][self.good]
        kept = cumulative(trace).covered(begin, end).sum()
        return float(100 * kept / (self.t1 - self.t0)) if self.t1 > self.t0 else 0.0


def whole_days(t0: float, t1: float, starts: np.ndarray) -> int:
    """Multiple of 24 h between two instants, to within a cycle; 0 for anything else.

    Parameters
    ----------
    t0, t1 : float
        POSIX. [s]
    starts : ndarray, shape (m,)
        Cycle starts; two of them (the ends) for a machine without cycles. [s]

    Returns
    -------
    int

    References
    ----------
    .. [1] This kit's own definition.
    """
    days = int(np.rint((t1 - t0) / DAY))
    slack = float(np.diff(starts).max()) if len(starts) > 2 else 60.0
    return days if abs(t1 - t0 - days * DAY) <= slack else 0


def inside_trace(record: Record) -> Trace | None:
    """Trace that stands for the inside: air, else the first load place.

    References
    ----------
    .. [1] This kit's own definition.
    """
    loads = record.loads()
    return record.trace("air") or (loads[0] if loads else None)


def ambient_move(record: Record, t0: float, t1: float, starts: np.ndarray) -> float:
    """How far a window short of 24 h may sit from the run's 24 h mean ambient.

    Parameters
    ----------
    record : Record
        Its ambient; nothing can be said without.
    t0, t1 : float
        Window, POSIX. [s]
    starts : ndarray, shape (m,)
        Cycle starts in it. [s]

    Returns
    -------
    float
        0 for whole days; half the ambient's range where no 24 h were logged. [K]

    References
    ----------
    .. [1] This kit's own definition.
    """
    ambient = record.trace("ambient")
    if ambient is None or whole_days(t0, t1, starts):
        return 0.0
    total = cumulative(ambient)
    if record.end - record.zero >= DAY:
        return abs(float(total.mean(t0, t1) - total.mean(record.end - DAY, record.end)))
    return float(np.ptp(ambient.y)) / 2
