"""Runs corrected by the same-place checks of their campaign."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.check import Check, is_probe
from coldbench.analysis.clock_step import Shift, log_of, logger_of
from coldbench.analysis.doubt import CheckedTrace
from coldbench.analysis.same_place import Offset
from coldbench.findings import Notice
from coldbench.logs.record import Record, Trace
from coldbench.logs.zero import time_zero
from coldbench.quantities import number
from coldbench.sheets import Campaign


def checked(record: Record, campaign: Campaign, checks: Iterable[Check]) -> Record:
    """A run corrected by the checks of its campaign.

    Parameters
    ----------
    record : Record
        The run, read.
    campaign : Campaign
        Its sheets.
    checks : iterable of Check
        All of the campaign. Of several that know a probe or a logger the nearest in time counts.

    Returns
    -------
    Record
        Readings less the offset of their probe, whose error's absolute part is now the check's;
        times less the shift of their logger's clock, unless it cannot be told from none, or the
        log has marks of its own. Its notices say so. Without checks the record itself.

    References
    ----------
    .. [1] This kit's own definition.
    """
    near = sorted(checks, key=lambda check: abs(check.t - record.zero))
    if not near or not any(check.offsets or check.shifts for check in near):
        return record
    traces, used, bare = {}, {}, []
    moved: dict[tuple[int, float], np.ndarray] = {}
    for role, trace in record.traces.items():
        own = trace
        shift = _shift(near, campaign, record.run, trace)
        if shift is not None:
            check, told = shift
            # Channels of one file go on sharing their times.
            at = moved.setdefault((id(trace.t), told.value), trace.t - told.value)
            trace = replace(trace, t=at)
            used.setdefault(check.run, (check, {}))[1][f"clock of {told.logger}"] = (
                _signed(-told.value, 0, "s"))
        check = next((c for c in near if trace.probe in c.offsets), None)
        if is_probe(own) and check is None:
            bare.append(trace.probe)
        elif check is not None:
            trace = _corrected(trace, check.offsets[trace.probe])
            used.setdefault(check.run, (check, {}))[1][trace.probe] = (
                _signed(-check.offsets[trace.probe].value, 2, "K"))
        traces[role] = trace
    notices = [_used(record, check, sizes) for check, sizes in used.values()]
    kept = [n for n in record.notices
            if n.code != "LOG-CLOCKS" or not _compared(near, campaign, record.run)]
    if bare:
        notices.append(Notice(
            "CHECK-NONE", "doubt", record.run, f"In no same-place check: {', '.join(bare)}; what "
            "the sheets state of their error holds.", record.cooler))
    zero, rule = record.zero, record.zero_from
    if moved:
        start = campaign.runs[record.run].start
        zero, rule = time_zero(traces, record.marks, campaign.seconds(start) if start else None)
    end = max(float(t.t[-1]) for t in traces.values())
    return replace(record, traces=traces, zero=zero, zero_from=rule, end=end,
                   notices=(*kept, *notices))


def _shift(
    near: list[Check], campaign: Campaign, run: str, trace: Trace
) -> tuple[Check, Shift] | None:
    log = log_of(campaign, run, trace)
    if log is None or log.sync:
        return None
    name = logger_of(log)
    check = next((c for c in near if name in c.shifts), None)
    return (check, check.shifts[name]) if check and check.shifts[name].told else None


def _compared(near: list[Check], campaign: Campaign, run: str) -> bool:
    """Whether one check compared the clocks of all logs of a run."""
    loggers = {logger_of(log) for log in campaign.runs[run].log}
    return any(loggers <= check.clocks for check in near)


def _corrected(trace: Trace, offset: Offset) -> Trace:
    y = trace.y - offset.value
    if trace.error is None or offset.draws is None:
        return replace(trace, y=y)  # no error is stated: corrected, and still without interval
    rest = offset.draws - offset.value
    error = replace(trace.error, absolute=max(map(abs, draws.interval(rest))))
    same = {f.name: getattr(trace, f.name) for f in fields(trace)}
    return CheckedTrace(**{**same, "y": y, "error": error}, rest=rest)


def _signed(value: float, decimals: int, unit: str) -> str:
    text = number(value, decimals)
    return f"{'+' if value > 0 else ''}{text} {unit}"


def _used(record: Record, check: Check, sizes: dict[str, str]) -> Notice:
    later = ", made after this run" if check.t > record.zero else ""
    listed = ", ".join(f"{name} {size}" for name, size in sizes.items())
    return Notice("CHECK-USED", "note", record.run,
                  f"Corrected by the same-place run {check.run} of {check.day}{later}: {listed}.",
                  record.cooler)
