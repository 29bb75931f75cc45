"""Probes together in one bath: what each reads too much, and how well that is known.

A reading is ``true · (1 + gain) + offset``. Of probes that share a bath at T, reading less bath is
``offset + gain · T``, but for the probe's own scatter; the bath's own error is common to all.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.doubt import gain
from coldbench.analysis.limits import LIMITS
from coldbench.logs.record import Trace

FEWEST = 4  # blocks; the spread of fewer says too little about the spread of their mean
Baths = dict[str, tuple[float, float]]  # begin and end of each, POSIX [s]


@dataclass(frozen=True, eq=False)
class Offset:
    """What a check says of one probe.

    Parameters
    ----------
    probe : str
        Its name.
    value : float
        To be subtracted from its readings. [K]
    draws : ndarray, shape (4000,), or None
        Of its true offset; None where neither the bath nor a stated error bounds it. [K]
    note : str
        Which bath told it, and how.
    beyond : bool
        It reads further off than its stated error allows.
    """

    probe: str
    value: float
    draws: np.ndarray | None
    note: str
    beyond: bool = False


@dataclass(frozen=True, eq=False)
class _Seen:
    """One probe in one bath: its reading less the bath's, and draws of its own scatter. [K]"""

    trace: Trace
    value: float
    own: np.ndarray


def offsets(run: str, traces: list[Trace], baths: Baths) -> tuple[list[Offset], list[str]]:
    """Offset of each probe from the baths it was in.

    Parameters
    ----------
    run : str
        Id of the check, which names its hidden constants.
    traces : list of Trace
        Temperatures, one a probe, on one clock.
    baths : dict of str to pair of float
        ``ice`` and ``air``, or one of them. [s]

    Returns
    -------
    offsets : list of Offset
        Ice water tells them absolutely, to within its own error, which all probes share. Still air
        alone tells them against the mean of the probes; how far that mean is off is a constant
        that all share, within what the stated errors leave open. Where a probe stands in air
        elsewhere among the others than in ice, its offset depends on temperature: a rectangle as
        wide as that goes on top. A line through both would have to be drawn out to the cold, as
        far again, and its mean slope is not known.
    said : list of str
        Probes that could not be used, and why.

    References
    ----------
    .. [1] This kit's own definition. Bath and places in it: common practice, no source.
       Scatter of few blocks: JCGM 101:2008, 6.4.9.
    """
    ice, said = _bath(run, "ice", traces, baths)
    air, more = _bath(run, "air", traces, baths)
    said += more
    if ice:
        found = _common(run, ice, 0.0, LIMITS.ice_bath, "in ice water")
        return [_with_slope(run, offset, ice, air) for offset in found], said
    level = float(np.mean([one.trace.y.mean() for one in air.values()])) if air else 0.0
    return _common(run, air, level, np.inf, "in still air, against the others"), said


def settled_part(begin: float, end: float) -> tuple[float, float]:
    """The part of a bath that counts: not while probes settle, nor as they are taken out.

    Parameters
    ----------
    begin, end : float
        Of the bath. [s]

    Returns
    -------
    begin, end : float
        [s]

    References
    ----------
    .. [1] This kit's own definition.
    """
    length = end - begin
    return begin + LIMITS.bath_settling * length, end - LIMITS.bath_leaving * length


def _inside(trace: Trace, begin: float, end: float) -> Trace:
    return trace.part(trace.within(*settled_part(begin, end)))


def _bath(
    run: str, bath: str, traces: list[Trace], baths: Baths
) -> tuple[dict[str, _Seen], list[str]]:
    """Every probe of a bath against 0 °C (ice) or the mean of all (air)."""
    if bath not in baths:
        return {}, []
    parts = {trace.probe: _inside(trace, *baths[bath]) for trace in traces}
    counts = [len(p.t) for p in parts.values() if len(p.t) >= FEWEST]
    blocks = min(LIMITS.bath_blocks, min(counts, default=0))
    edges = np.linspace(*settled_part(*baths[bath]), blocks + 1)
    means, said = {}, []
    for probe, part in parts.items():
        mean = _block_means(part, edges)
        if mean is None:
            said.append(f"{probe} has too few samples in the bath “{bath}”: at least {FEWEST} in "
                        "the part of it that counts are needed, without a gap")
        else:
            means[probe] = mean
    level = 0.0 if bath == "ice" else float(np.median([m.mean() for m in means.values()] or [0.0]))
    for probe in [p for p, m in means.items() if abs(m.mean() - level) > LIMITS.bath_far]:
        said.append(f"{probe} was {abs(means[probe].mean() - level):.1f} K off in the bath "
                    f"“{bath}”: was it in it? It is left out")
        del means[probe]
    if not means or (bath == "air" and len(means) < 2):
        return {}, said
    shared = 0.0 if bath == "ice" else np.mean(list(means.values()), axis=0)
    seen = {}
    for probe, mean in means.items():
        off = mean - shared
        seen[probe] = _Seen(parts[probe], float(off.mean()),
                            _own_scatter(f"{probe} {run} {bath}", bath, parts[probe], off))
    return seen, said


def _block_means(part: Trace, edges: np.ndarray) -> np.ndarray | None:
    if len(edges) <= FEWEST:
        return None
    block = np.clip(np.searchsorted(edges, part.t, "right") - 1, 0, len(edges) - 2)
    count = np.bincount(block, minlength=len(edges) - 1)
    if (count == 0).any():
        return None
    return np.bincount(block, part.y, minlength=len(edges) - 1) / count


def _own_scatter(name: str, bath: str, part: Trace, off: np.ndarray) -> np.ndarray:
    """Noise by blocks, since neighbouring samples hang together; rounding; its place."""
    n = len(off)
    spread = off.std(ddof=1) / np.sqrt(n) * np.sqrt((n - 1) / (n - 3))
    half = n // 2
    still = abs(off[-half:].mean() - off[:half].mean()) / 2  # not yet settled
    steps = max(1.0, np.ptp(part.y) / part.resolution) if part.resolution else 1.0
    places = LIMITS.ice_places if bath == "ice" else LIMITS.air_places
    return (draws.normal(f"{name} noise", max(spread, still))
            + draws.uniform(f"{name} rounding", part.resolution / 2 / steps)
            + draws.uniform(f"{name} place", places))


def _common(
    run: str, seen: dict[str, _Seen], level: float, bath: float, note: str
) -> list[Offset]:
    """Offsets with what all share: the bath's error, or that of the mean of the probes."""
    limits = {
        probe: one.trace.error.absolute + abs(level) * one.trace.error.relative
        + max(map(abs, draws.interval(one.own)))
        for probe, one in seen.items() if one.trace.error is not None
    }
    middle, half = shared_part([(seen[p].value, limit) for p, limit in limits.items()], bath)
    common = draws.uniform(f"{run} common", half) + middle if np.isfinite(half) else None
    found = []
    for probe, one in seen.items():
        value = one.value + middle
        of_gain = gain(one.trace)
        drawn = None if common is None else one.value + one.own + common
        if drawn is not None and of_gain is not None:
            drawn = drawn - level * of_gain
        beyond = probe in limits and abs(value) > limits[probe] + half
        found.append(Offset(probe, value, drawn, note, beyond))
    return found


def shared_part(offsets_and_limits: list[tuple[float, float]], bath: float) -> tuple[float, float]:
    """Middle and half width of what may be added to the offsets of all probes alike.

    Parameters
    ----------
    offsets_and_limits : list of (float, float)
        Offset as seen in the bath, and limit of the probe's stated error. [K]
    bath : float
        Limit of the bath's own error, infinite where its temperature is not known. [K]

    Returns
    -------
    middle, half : float
        All offsets have to lie within their limits. Where they cannot, the bath counts alone;
        without one, the smallest limit about the middle. [K]

    References
    ----------
    .. [1] This kit's own definition: offsets that are rectangular within their limits, seen up to
       one common amount, leave that amount rectangular where all limits hold.

    Examples
    --------
    >>> shared_part([(0.25, 0.5), (-0.25, 0.5)], float("inf"))
    (0.0, 0.25)
    >>> shared_part([(0.25, 0.5)], 0.1)
    (0.0, 0.1)
    """
    low = max([-bath, *(-limit - value for value, limit in offsets_and_limits)])
    high = min([bath, *(limit - value for value, limit in offsets_and_limits)])
    if not offsets_and_limits and np.isinf(bath):
        return 0.0, np.inf
    if low < high:
        return (low + high) / 2, (high - low) / 2
    if np.isfinite(bath):
        return 0.0, bath
    return (low + high) / 2, min(limit for _, limit in offsets_and_limits)


def _with_slope(
    run: str, offset: Offset, ice: dict[str, _Seen], air: dict[str, _Seen]
) -> Offset:
    """An ice offset, wider where the probe stands elsewhere among the others in air."""
    both = [probe for probe in ice if probe in air]
    if offset.probe not in both or len(both) < 2 or offset.draws is None:
        return offset
    there = {p: air[p].value - ice[p].value for p in both}
    moved = there[offset.probe] - float(np.mean(list(there.values())))
    level = float(np.mean(air[offset.probe].trace.y))
    own = {p: air[p].own - ice[p].own - level * _gain(air[p].trace) for p in both}
    low, high = draws.interval(own[offset.probe] - np.mean(list(own.values()), axis=0) + moved)
    if low <= 0 <= high:
        return replace(offset, note=f"{offset.note}; still air agrees")
    slope = draws.uniform(f"{offset.probe} {run} slope", abs(moved))
    return replace(offset, draws=offset.draws + slope, note=(
        f"{offset.note}; in still air {abs(moved):.2f} K elsewhere among the others, so it depends "
        "on temperature: the interval is that much wider"))


def _gain(trace: Trace) -> np.ndarray | float:
    of_gain = gain(trace)
    return 0.0 if of_gain is None else of_gain
