"""Time zero of a run: the instant of switching on, and the rule that gave it."""

from __future__ import annotations

from coldbench.findings import Notice
from coldbench.logs.levels import first_above_idle
from coldbench.logs.record import Mark, Trace

FIRST_SAMPLE = "first sample"


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
