"""What the kit holds of one run once its sheets and logs are read: the canonical frame.

Samples stay native: each role keeps its own times, nothing is resampled or filled. Times are
POSIX seconds in UTC; values are in the unit of their role.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from typing import Literal

import numpy as np

from coldbench.findings import Notice
from coldbench.logs.counter import Break
from coldbench.quantities import ErrorLimit
from coldbench.sheets.roles import ROLE_UNITS, base_role

PowerMode = Literal["hold", "mean"]


@dataclass(frozen=True, eq=False)  # arrays have no plain equality; a trace is itself only
class Trace:
    """Native samples of one role in one run.

    Parameters
    ----------
    role : str
        Role, out of ``ROLE_UNITS``, perhaps numbered.
    t : ndarray, shape (n,)
        Sample times, strictly increasing, POSIX, UTC. [s]
    y : ndarray, shape (n,)
        Values without blanks. [unit of the role]
    gap : float
        Gap limit: a longer silence is a gap. [s]
    step : float
        Median step. [s]
    probe : str
        Name of the probe; its hidden constants carry this name.
    error : ErrorLimit or None
        Limit of the instrument's error; None when the sheet states none.
    resolution : float
        Step of the reading, 0 where unknown. [unit of the role]
    counter_step : float
        Step of an energy counter, 0 where unknown. [Wh]
    counter_range : float
        Where a counter starts again at 0, 0 where unknown. [Wh]
    broken : tuple of Break
        Steps of a counter whose energy is only bounded.
    power : {"hold", "mean"}
        A power sample holds until the next one, or is the mean of an interval.
    label : {"start", "end"}
        Whether a mean is labelled at the start or at the end of its interval.
    metered_at : str
        ``dc``, ``wall``, ``battery``, or ``""`` for roles that are not electrical.
    by_hand : bool
        Typed readings, not a log.
    file : str
        Where it came from, relative to the campaign.
    clock : str
        Whose clock gave the times: a log that no shared mark ties to the run has its own.
    on_change : bool
        Written when the value changes: then each switching is known, however rare the samples.
    cut : ndarray of bool, shape (n,), or None
        True where nothing is known between a sample and the next, however soon that comes.
    bucket : float
        Length of the intervals whose totals were logged, 0 where it was no such log: then the
        shape within an interval is not known. [s]
    """

    role: str
    t: np.ndarray
    y: np.ndarray
    gap: float
    step: float
    probe: str
    error: ErrorLimit | None = None
    resolution: float = 0.0
    counter_step: float = 0.0
    counter_range: float = 0.0
    broken: tuple[Break, ...] = ()
    power: PowerMode = "hold"
    label: Literal["start", "end"] = "start"
    metered_at: str = ""
    by_hand: bool = False
    file: str = ""
    clock: str = ""
    on_change: bool = False
    cut: np.ndarray | None = None
    bucket: float = 0.0

    @cached_property
    def covered(self) -> np.ndarray:
        """Whether something is known between each sample and the next, shape (n − 1,)."""
        near = _near(_Same(self.t), self.gap)
        return near if self.cut is None else near & ~self.cut[:-1]

    @property
    def even(self) -> float:
        """Step of samples that follow each other evenly and without a gap, else 0. [s]"""
        least, most, _ = steps_of(self.t)
        whole = self.cut is None and most <= self.gap * (1 + 1e-9)
        return most if whole and most - least < 1e-6 else 0.0

    def within(self, t0: float, t1: float) -> slice:
        """Samples from one instant to another, both counted."""
        return slice(int(np.searchsorted(self.t, t0, "left")),
                     int(np.searchsorted(self.t, t1, "right")))

    def part(self, used: slice | np.ndarray) -> Trace:
        """Some of its samples, in their order."""
        cut = None if self.cut is None else self.cut[used]
        return replace(self, t=self.t[used], y=self.y[used], cut=cut)

    @property
    def unit(self) -> str:
        """Unit of the values."""
        return ROLE_UNITS[base_role(self.role)]


class _Same:
    """An array that equals itself only: channels of one file share their times."""

    __slots__ = ("array",)

    def __init__(self, array: np.ndarray) -> None:
        self.array = array

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.array is other.array

    def __hash__(self) -> int:
        return id(self.array)


def steps_of(t: np.ndarray) -> tuple[float, float, float]:
    """Least, greatest and median step between instants; 0 of a single one. [s]"""
    return _steps(_Same(t)) if len(t) > 1 else (0.0, 0.0, 0.0)


@lru_cache(maxsize=8)
def _steps(times: _Same) -> tuple[float, float, float]:
    steps = np.diff(times.array)
    least, most = float(steps.min()), float(steps.max())
    return least, most, most if most == least else float(np.median(steps))


@lru_cache(maxsize=8)
def _near(times: _Same, gap: float) -> np.ndarray:
    limit, most = gap * (1 + 1e-9), steps_of(times.array)[1]
    if most <= limit:
        return np.broadcast_to(True, max(0, len(times.array) - 1))
    return np.diff(times.array) <= limit


@dataclass(frozen=True)
class Mark:
    """Something that happened at an instant of a run."""

    t: float
    what: str
    note: str = ""


@dataclass(frozen=True)
class Channel:
    """One column of a file as the kit understood it, for the echo card."""

    column: str
    role: str
    unit: str
    probe: str
    samples: int
    blanks: int
    low: float | None
    high: float | None


@dataclass(frozen=True)
class FileEcho:
    """What was understood of one file.

    ``gaps`` are pairs of POSIX seconds between which the file is silent; ``repairs`` and
    ``questions`` are plain sentences, ``unused`` the columns that have no role, ``form`` says how
    the file was read.
    """

    file: str
    rows: int
    start: float
    end: float
    step: float
    gap_limit: float
    channels: tuple[Channel, ...]
    unused: tuple[str, ...] = ()
    gaps: tuple[tuple[float, float], ...] = ()
    repairs: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    sha256: str = ""
    form: str = ""


@dataclass(frozen=True)
class Record:
    """One run, read: its traces by role, its time zero, its marks and notices.

    Parameters
    ----------
    run, cooler : str
        Ids.
    traces : dict of str to Trace
        By role. Typed readings of a role that a log also has are kept under ``"ROLE by hand"``.
    zero : float
        Time zero, POSIX. [s]
    zero_from : str
        Which rule gave it: mark, start, first power above idle, or first sample.
    end : float
        Last sample of any trace. [s]
    marks : tuple of Mark
        In order of time.
    notices : tuple of Notice
        What the reader of the report must know about the logs.
    files : tuple of FileEcho
        One a file.
    """

    run: str
    cooler: str
    traces: dict[str, Trace]
    zero: float
    zero_from: str
    end: float
    marks: tuple[Mark, ...] = ()
    notices: tuple[Notice, ...] = ()
    files: tuple[FileEcho, ...] = field(default=())

    def trace(self, role: str) -> Trace | None:
        """Trace of a role, or None."""
        return self.traces.get(role)

    def loads(self) -> list[Trace]:
        """Traces of all load places, logged or read by eye, in order of their number."""
        found = [t for r, t in self.traces.items() if base_role(r) == "load"]
        return sorted(found, key=lambda trace: trace.role)
