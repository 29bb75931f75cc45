"""The steady window of a thermostat: neighbouring blocks of whole cycles that agree."""

from __future__ import annotations

import numpy as np

from coldbench.analysis.cycles import Cycling
from coldbench.analysis.energy import EnergyMeter
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.steady import DAY, EVENTS, HOUR, SteadyWindow, ambient_move
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Record, Trace


def cycling_window(
    record: Record, meter: EnergyMeter | None, inside: Trace | None, cycling: Cycling, whole: bool
) -> SteadyWindow:
    """The longest window of whole cycles whose blocks agree, or the last ones as not steady.

    Parameters
    ----------
    record : Record
        The run.
    meter : EnergyMeter or None
        Its electrical side.
    inside : Trace or None
        Stands for the inside.
    cycling : Cycling
        Cycles found in the stretch.
    whole : bool
        Take the stretch as it is: the run sheet names the window.

    Returns
    -------
    SteadyWindow

    References
    ----------
    .. [1] This kit's own rule, after the block idea of IEC 62552-3:2015.
    """
    starts = cycling.starts
    table, good = _cycle_table(record, meter, inside, starts)
    total = np.concatenate([np.zeros((1, table.shape[1])), np.cumsum(table, axis=0)])
    count = np.concatenate([[0], np.cumsum(good)])
    if whole:
        picked = (0, len(starts) - 1)
    else:
        picked = _longest_passing(starts, total, count)
    passed = picked is not None
    i, j = picked if picked else (max(0, len(starts) - 1 - 2 * LIMITS.block_cycles),
                                  len(starts) - 1)
    cuts = _block_cuts(starts, np.array([i]), np.array([j]))
    tests, ok = _block_tests(total, count, cuts)
    passed = passed and bool(ok[0])
    values = {k: float(v[0]) for k, v in tests.items()}
    return SteadyWindow(
        starts[i], starts[j], passed, cycling, starts[i:j + 1], good[i:j], values,
        _cycling_text(passed, starts[i:j + 1], good[i:j], cuts.shape[0] - 1, values),
        ambient_move(record, starts[i], starts[j], starts[i:j + 1]),
    )


def _cycle_table(
    record: Record, meter: EnergyMeter | None, inside: Trace | None, starts: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Per cycle: duration and integrals of power, inside, ambient; zero where dropped."""
    begin, end = starts[:-1], starts[1:]
    power = meter.power if meter else None
    traces = [power, inside, record.trace("ambient")]
    good = np.ones(len(begin), bool)
    columns = [end - begin]
    for trace in traces:
        if trace is None:
            columns.append(np.full(len(begin), np.nan))
            continue
        total = cumulative(trace)
        good &= total.covered(begin, end) >= (end - begin) - 1.0
        # A start that follows a gap may have come inside it.
        good &= total.covered(begin - trace.step, begin) > 0
        columns.append(total.integral(begin, end))
    for mark in record.marks:
        if mark.what in EVENTS:
            good &= ~((begin <= mark.t) & (mark.t < end))
    table = np.column_stack(columns)
    return np.where(good[:, None], table, np.where(np.isnan(table), np.nan, 0.0)), good


def _longest_passing(
    starts: np.ndarray, total: np.ndarray, count: np.ndarray
) -> tuple[int, int] | None:
    """Largest multiple of 24 h that passes, the latest of them; else the longest shorter one."""
    n = len(starts) - 1
    whole = starts[-1] - starts[0]
    cycle = np.max(np.diff(starts))
    for days in range(int((whole + cycle) // DAY), 0, -1):
        first = np.arange(n)
        last = _nearest(starts, starts[:-1] + days * DAY)
        # The nearest cycle border lies within half a cycle, unless the run ends before it.
        fits = np.abs(starts[last] - starts[first] - days * DAY) <= cycle / 2
        found = _latest(starts, total, count, first[fits], last[fits])
        if found:
            return found
    most = np.searchsorted(starts, starts + DAY) - np.arange(n + 1)
    for span in range(min(int(most.max()), n), 2 * LIMITS.block_cycles - 1, -1):
        first = np.arange(n - span + 1)
        found = _latest(starts, total, count, first, first + span)
        if found:
            return found
    return None


def _latest(
    starts: np.ndarray, total: np.ndarray, count: np.ndarray, first: np.ndarray, last: np.ndarray
) -> tuple[int, int] | None:
    if not len(first):
        return None
    days = np.maximum(np.rint((starts[last] - starts[first]) / DAY).astype(int), 1)
    for number in np.unique(days)[::-1]:
        of = days == number
        _, ok = _block_tests(total, count, _block_cuts(starts, first[of], last[of]))
        if ok.any():
            at = np.flatnonzero(of)[np.flatnonzero(ok)[-1]]
            return int(first[at]), int(last[at])
    return None


def _block_cuts(starts: np.ndarray, first: np.ndarray, last: np.ndarray) -> np.ndarray:
    """Indices of block borders, shape (blocks + 1, n): halves, or days from 48 h on."""
    days = int(np.rint((starts[last[0]] - starts[first[0]]) / DAY))
    blocks = days if days >= 2 else 2
    share = np.arange(blocks + 1)[:, None] / blocks
    return _nearest(starts, starts[first] + share * (starts[last] - starts[first]))


def _nearest(starts: np.ndarray, when: np.ndarray) -> np.ndarray:
    right = np.clip(np.searchsorted(starts, when), 1, len(starts) - 1)
    return right - (when - starts[right - 1] < starts[right] - when)


def _block_tests(
    total: np.ndarray, count: np.ndarray, cuts: np.ndarray
) -> tuple[dict[str, np.ndarray], np.ndarray]:
    """Largest difference of neighbouring blocks, and whether all limits hold."""
    block = total[cuts[1:]] - total[cuts[:-1]]
    cycles = count[cuts[1:]] - count[cuts[:-1]]
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = block[..., 1:] / block[..., :1]
        step = np.abs(np.diff(mean, axis=0)).max(axis=0)
        power = step[:, 0] / mean[..., 0].mean(axis=0)
    tests = {"inside": step[:, 1], "power": power, "ambient": step[:, 2]}
    ok = (cycles >= LIMITS.block_cycles).all(axis=0)
    limits = (LIMITS.block_inside, LIMITS.block_power, LIMITS.block_ambient)
    for value, limit in zip(tests.values(), limits, strict=True):
        ok &= np.isnan(value) | (value <= limit)
    return tests, ok


def _cycling_text(
    passed: bool, starts: np.ndarray, good: np.ndarray, blocks: int, tests: dict[str, float]
) -> str:
    hours = (starts[-1] - starts[0]) / HOUR
    dropped = int((~good).sum())
    lost = f", {dropped} dropped for a gap or a mark" if dropped else ""
    parts = [
        f"inside {tests['inside']:.2f} K (limit {LIMITS.block_inside:g} K)",
        f"power {100 * tests['power']:.1f} % (limit {100 * LIMITS.block_power:g} %)",
        f"ambient {tests['ambient']:.2f} K (limit {LIMITS.block_ambient:g} K)",
    ]
    known = [p for p, v in zip(parts, tests.values(), strict=True) if np.isfinite(v)]
    verdict = "steady" if passed else "not steady"
    found = f"{verdict}: {hours:.1f} h, {len(good)} whole cycles{lost}"
    if len(good) < 2 * LIMITS.block_cycles:
        return f"{found}; the rule needs two blocks of {LIMITS.block_cycles} whole cycles"
    return f"{found}, {blocks} blocks; neighbours differ by {', '.join(known)}"
