"""Time zero of a run: the instant of switching on, and the rule that gave it."""

from __future__ import annotations

from collections.abc import Iterable
from zoneinfo import ZoneInfo

from coldbench.findings import Notice
from coldbench.logs.levels import first_above_idle
from coldbench.logs.record import Mark, Trace
from coldbench.logs.words import told_time

FIRST_SAMPLE = "first sample"
LATE = 86_400.0  # a log that begins so long after time zero has missed what was to be seen [s]


def time_zero(
    traces: dict[str, Trace], marks: tuple[Mark, ...], start: float | None
) -> tuple[float, str]:
    """The instant of switching on, and the rule that gave it.

    Parameters
    ----------
    traces : dict of str to Trace
        By role; at least one.
    marks : tuple of Mark
        In order of time.
    start : float or None
        Start of the run, where the sheet states it. [s]

    Returns
    -------
    zero : float
        A mark ``power on``, else the start, else the first sample with power above idle, else
        the first sample of all. POSIX. [s]
    rule : str
        Which one it was, in words.

    References
    ----------
    .. [1] This kit's own definition.
    """
    on = [mark.t for mark in marks if mark.what == "power on"]
    if on:
        return on[0], "mark “power on”"
    if start is not None:
        return start, "start of the run"
    power = traces.get("power")
    first = None if power is None or power.by_hand else first_above_idle(power.y)
    if first is not None:
        return float(power.t[first]), "first power above idle"
    return min(float(trace.t[0]) for trace in traces.values()), FIRST_SAMPLE


def zero_notice(rule: str, run: str, cooler: str) -> list[Notice]:
    """What the reader must know where nothing tells when the cooler was switched on."""
    if rule != FIRST_SAMPLE:
        return []
    return [Notice(
        "LOG-ZERO", "doubt", run,
        "When the cooler was switched on is neither stated nor seen in the power: times count "
        "from the first sample. A mark “power on” or the start of the run would settle it.",
        cooler,
    )]


def away_notices(
    traces: Iterable[Trace], zero: float, cooler: str, tz: ZoneInfo
) -> list[Notice]:
    """Logs that lie wholly before time zero, or begin a day after it: another day's, or a clock.

    Parameters
    ----------
    traces : iterable of Trace
        Of a run, files that follow each other joined.
    zero : float
        Time zero, POSIX. [s]
    cooler : str
        Its id.
    tz : ZoneInfo
        Of the campaign.

    Returns
    -------
    list of Notice
        One for each log.
    """
    found = {}
    for trace in traces:
        if trace.by_hand:
            continue
        if trace.t[-1] < zero:
            said = f"ends at {told_time(float(trace.t[-1]), tz)}, before"
        elif trace.t[0] > zero + LATE:
            said = f"begins at {told_time(float(trace.t[0]), tz)}, more than a day after"
        else:
            continue
        found[trace.file] = Notice(
            "LOG-AWAY", "doubt", trace.file,
            f"It {said} the run's time zero, {told_time(zero, tz)}. Is it the log of this run, and "
            "are its date and the run's start right?", cooler)
    return list(found.values())
