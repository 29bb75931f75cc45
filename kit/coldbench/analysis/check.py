"""A same-place check: offsets of its probes, shifts of its clocks, as findings."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from coldbench.analysis.clock_step import Shift, log_of, logger_of, shifts
from coldbench.analysis.quiet import to_add
from coldbench.analysis.same_place import Baths, Offset, offsets
from coldbench.errors import Fault, UserError
from coldbench.findings import Finding, Notice, measured
from coldbench.logs.record import Record, Trace
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
    clocks : frozenset of str
        Loggers whose clocks it compared, those that agree included.
    notices : tuple of Notice
        What could not be told.
    """

    run: str
    t: float
    day: str
    offsets: dict[str, Offset]
    shifts: dict[str, Shift]
    clocks: frozenset[str] = frozenset()
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
    start = campaign.runs[run].start
    begin = campaign.seconds(start) if start else record.zero
    baths = _baths(campaign, run, begin)
    traces = list({t.probe: t for t in record.traces.values() if is_probe(t)}.values())
    if not baths or not traces:
        what = "no temperatures logged" if not traces else (
            f"which part of it was in which bath is not said. {to_add(traces, begin)}")
        notice = Notice("CHECK-WINDOW", "disqualifies", run,
                        f"Nothing told by this same-place check: {what}.")
        return Check(run, record.zero, day, {}, {}, notices=(notice,))
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
    agreed = len(loggers) > 1 and len(loggers - set(told)) < 2
    return Check(run, record.zero, day, {o.probe: o for o in found}, told,
                 frozenset(loggers if agreed else ()), tuple(notices))


def is_probe(trace: Trace) -> bool:
    """Whether a trace is of a temperature probe that was logged.

    References
    ----------
    .. [1] This kit's own definition.
    """
    return ROLE_KINDS[base_role(trace.role)] == "temperature" and not trace.by_hand


def _baths(campaign: Campaign, run: str, begin: float) -> Baths:
    sheet = campaign.runs[run]
    baths = {}
    for name in ("ice", "air"):
        span = getattr(sheet.window, name) if sheet.window else None
        if span is None:
            continue
        if span.to.value <= span.from_.value:
            raise UserError(Fault(
                f"window, {name}: it ends before it begins",
                campaign.where(f"runs/{run}.toml", "window", name, "to"),
                found=span.to.text, allowed=f"after {span.from_.text}"))
        baths[name] = (begin + span.from_.value, begin + span.to.value)
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
