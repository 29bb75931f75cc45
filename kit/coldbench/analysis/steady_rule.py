"""Where a cooler has settled, by a rule that is printed with its result."""

from __future__ import annotations

from collections.abc import Iterator

from coldbench.analysis.cycles import Cycling, find_cycles
from coldbench.analysis.energy import EnergyMeter
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.steady import HOUR, SteadyWindow, inside_trace
from coldbench.analysis.steady_continuous import continuous_window
from coldbench.analysis.steady_cycling import cycling_window
from coldbench.logs.record import Mark, Record

NEW_START = {"load in", "load out", "setting changed", "power on"}


def find_steady(
    record: Record, meter: EnergyMeter | None, chosen: tuple[float, float] | None = None
) -> SteadyWindow | None:
    """Steady window of a run.

    Parameters
    ----------
    record : Record
        Air (or load) and power; ambient where it was logged.
    meter : EnergyMeter or None
        None where nothing electrical was logged.
    chosen : (float, float) or None
        Window written in the run sheet, in seconds since time zero; found by rule without it.
        [s]

    Returns
    -------
    SteadyWindow or None
        ``passed`` is False where the rule did not pass; None where there is nothing to judge.

    References
    ----------
    .. [1] This kit's own rule, after the block idea of IEC 62552-3:2015.
    """
    inside = inside_trace(record)
    if inside is None and meter is None:
        return None
    first, last = record.zero, _running_end(record)
    if chosen:
        first, last = record.zero + chosen[0], min(last, record.zero + chosen[1])
    source = meter.power if meter and meter.power else record.trace("air")
    best: SteadyWindow | None = None
    for begin, end in _stretches(record.marks, first, last):
        cycling = find_cycles(source, begin, end) if source is not None else None
        if cycling is not None and len(cycling.starts) > _fewest_starts(cycling):
            window = cycling_window(record, meter, inside, cycling, bool(chosen))
        else:
            window = continuous_window(record, meter, inside, begin, end, bool(chosen))
        if window and (best is None or _rank(window) >= _rank(best)):
            best = window
    return best


def _fewest_starts(cycling: Cycling) -> int:
    # Power that switches is a thermostat's, be it seldom; air that moves may follow the room.
    return 1 if cycling.source == "power" else 2 * LIMITS.block_cycles


def _rank(window: SteadyWindow) -> tuple[bool, int, float]:
    return window.passed, window.days, 0.0 if window.days else window.hours


def _running_end(record: Record) -> float:
    off = [m.t for m in record.marks if m.what == "power off" and m.t > record.zero]
    return min([record.end, *off])


def _stretches(
    marks: tuple[Mark, ...], first: float, last: float
) -> Iterator[tuple[float, float]]:
    """Parts of a run between marks that give the cooler a new start."""
    cuts = [m.t for m in marks if m.what in NEW_START and first < m.t < last]
    edges = [first, *sorted(cuts), last]
    for begin, end in zip(edges[:-1], edges[1:], strict=True):
        if end - begin >= LIMITS.slope_window * HOUR:
            yield begin, end
