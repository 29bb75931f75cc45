"""Same-place checks of a campaign, and runs corrected by them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from datetime import datetime

import numpy as np

from coldbench import draws
from coldbench.analysis.clock_step import Shift, log_of, logger_of, shifts
from coldbench.analysis.doubt import CheckedTrace
from coldbench.analysis.same_place import Baths, Offset, offsets
from coldbench.errors import Fault, UserError
from coldbench.findings import Finding, Notice, measured
from coldbench.logs.record import Record, Trace
from coldbench.logs.zero import time_zero
from coldbench.quantities import number
from coldbench.sheets import Campaign
from coldbench.sheets.roles import ROLE_KINDS, base_role

KIND = "same-place"


@dataclass(frozen=True, eq=False)
class Check:
    """What one same-place check says.

    Parameters
    ----------
    run : str
        Its run.
    t : float
        When it was, POSIX. [s]
    day : str
        The same as a date.
    offsets : dict of str to Offset
        By probe.
    shifts : dict of str to Shift
        By logger.
    notices : tuple of Notice
        What could not be told.
    """

    run: str
    t: float
    day: str
    offsets: dict[str, Offset]
    shifts: dict[str, Shift]
    notices: tuple[Notice, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """``probe_offset`` a probe and ``clock_shift`` a logger; they are no cooler's own."""
        found = []
        for offset in self.offsets.values():
            base = self._base("probe_offset", offset.probe, "K", offset.note)
            if offset.draws is None:
                note = f"{offset.note}; error not stated: no interval"
                found.append(replace(base, value=offset.value, note=note))
            else:
                found.append(replace(base, **measured(offset.draws, offset.value)))
        for shift in self.shifts.values():
            base = self._base("clock_shift", shift.logger, "s", shift.note)
            found.append(replace(base, **measured(shift.draws, shift.value)))
        return tuple(found)

    def _base(self, finding: str, at: str, unit: str, note: str) -> Finding:
        return Finding(cooler="", finding=finding, at=at, unit=unit, runs=(self.run,),
                       note=f"{note}; {self.day}")


def check_of(record: Record, campaign: Campaign) -> Check:
    """What a run of kind ``same-place`` says of its probes and loggers.

    Parameters
    ----------
    record : Record
        The run, read.
    campaign : Campaign
        Its sheets.

    Returns
    -------
    Check
        Without windows it says nothing but what to add to the run sheet.

    Raises
    ------
    UserError
        A window that ends before it begins.

    References
    ----------
    .. [1] :mod:`coldbench.analysis.same_place`, :mod:`coldbench.analysis.clock_step`.
    """
    run, day = record.run, datetime.fromtimestamp(record.zero, campaign.tz).date().isoformat()
    baths = _baths(record, campaign)
    traces = list({t.probe: t for t in record.traces.values() if _is_probe(t)}.values())
    if not baths or not traces:
        what = "no temperatures logged" if baths else (
            'which part of it was in which bath is not said; add to its sheet [window.ice] '
            'from = "5 min" to = "20 min", and the same for [window.air], as it was done')
        notice = Notice("CHECK-WINDOW", "disqualifies", run,
                        f"Nothing told by this same-place check: {what}.")
        return Check(run, record.zero, day, {}, {}, (notice,))
    told = {s.logger: s for s in shifts(campaign, run, traces, baths)}
    aligned = [_on_time(t, _by_step_only(told, campaign, run, t)) for t in traces]
    found, said = offsets(run, aligned, baths)
    notices = [Notice("CHECK-PROBE", "doubt", run, f"{s}.") for s in said]
    notices += [
        Notice("CHECK-BEYOND", "doubt", run, f"{o.probe} is {number(o.value, 2)} K off, further "
               "than its stated error allows; the check is believed.")
        for o in found if o.beyond
    ]
    loggers = {logger_of(log) for t in traces if (log := log_of(campaign, run, t)) is not None}
    if len(loggers) > 1 and not told:
        notices.append(Notice("CHECK-CLOCK", "note", run, f"The clocks of "
                              f"{' and '.join(sorted(loggers))} were not compared: no step that "
                              "all of them saw, and no mark “sync”."))
    return Check(run, record.zero, day, {o.probe: o for o in found}, told, tuple(notices))


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
        if _is_probe(own) and check is None:
            bare.append(trace.probe)
        elif check is not None:
            trace = _corrected(trace, check.offsets[trace.probe])
            used.setdefault(check.run, (check, {}))[1][trace.probe] = (
                _signed(-check.offsets[trace.probe].value, 2, "K"))
        traces[role] = trace
    notices = [_used(record, check, sizes) for check, sizes in used.values()]
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
                   notices=(*record.notices, *notices))


def _is_probe(trace: Trace) -> bool:
    return ROLE_KINDS[base_role(trace.role)] == "temperature" and not trace.by_hand


def _baths(record: Record, campaign: Campaign) -> Baths:
    sheet = campaign.runs[record.run]
    start = campaign.seconds(sheet.start) if sheet.start else record.zero
    baths = {}
    for name in ("ice", "air"):
        span = getattr(sheet.window, name) if sheet.window else None
        if span is None:
            continue
        if span.to.value <= span.from_.value:
            raise UserError(Fault(
                f"window, {name}: it ends before it begins",
                campaign.where(f"runs/{record.run}.toml", "window", name, "to"),
                found=span.to.text, allowed=f"after {span.from_.text}"))
        baths[name] = (start + span.from_.value, start + span.to.value)
    return baths


def _by_step_only(
    told: dict[str, Shift], campaign: Campaign, run: str, trace: Trace
) -> float:
    """What the check's own readings still are off: marks have shifted theirs already. [s]"""
    log = log_of(campaign, run, trace)
    shift = told.get(logger_of(log)) if log is not None and not log.sync else None
    return shift.value if shift is not None else 0.0


def _on_time(trace: Trace, ahead: float) -> Trace:
    return replace(trace, t=trace.t - ahead) if ahead else trace


def _shift(
    near: list[Check], campaign: Campaign, run: str, trace: Trace
) -> tuple[Check, Shift] | None:
    log = log_of(campaign, run, trace)
    if log is None or log.sync:
        return None
    name = logger_of(log)
    check = next((c for c in near if name in c.shifts), None)
    return (check, check.shifts[name]) if check and check.shifts[name].told else None


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
                  f"Corrected by the same-place check {check.run} of {check.day}{later}: {listed}.",
                  record.cooler)
