"""Repeats of a test become one row a cooler; their spread enters every difference."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from coldbench.findings import Finding, measured
from coldbench.quantities import number, two_figures
from coldbench.sheets import Campaign


@dataclass(frozen=True)
class Deviation:
    """Standard deviation between the repeats of one test at one ``at``. [relative or unit]"""

    spread: float
    freedom: int
    relative: bool


@dataclass(frozen=True)
class Spread:
    """Run-to-run spread of one finding.

    Parameters
    ----------
    pooled : float or None
        Standard uncertainty seen between repeats, in ``unit`` or relative; None without repeats.
    freedom : int
        Its degrees of freedom, over all coolers.
    relative : bool
        Whether it is relative to the value.
    """

    pooled: float | None
    freedom: int
    relative: bool


def one_row_each(
    findings: Iterable[Finding], campaign: Campaign
) -> tuple[list[Finding], dict[str, Spread]]:
    """One row a cooler, finding and ``at``: the mean of repeats, with their runs.

    Parameters
    ----------
    findings : iterable of Finding
        Of single runs.
    campaign : Campaign
        Its run sheets say which run repeats which.

    Returns
    -------
    rows : list of Finding
        A run that is no repeat but gives the same finding is kept apart: the one at the coldest
        setting comes first, and the ``at`` of the others gains their run's name. Of several
        bounds on the coldest air only the tightest stays, and none beside a measured one.
    spreads : dict of str to Spread
        By finding.

    References
    ----------
    .. [1] This kit's own definition; pooled standard deviation after JCGM 100:2008, H.3.6 and
       ISO 5725-2:2019 (clause from memory).
    """
    groups: dict[tuple[str, str, str], dict[str, list[Finding]]] = {}
    for finding in findings:
        key = (finding.cooler, finding.finding, finding.at)
        first = first_run(finding.runs[0], campaign) if finding.runs else ""
        groups.setdefault(key, {}).setdefault(first, []).append(finding)
    rows: list[Finding] = []
    deviations: dict[str, dict[tuple[str, ...], list[Deviation]]] = {}
    for (_, name, at), by_test in groups.items():
        merged = {run: _merged(group, deviations) for run, group in by_test.items()}
        if name == "coldest_air":
            rows.append(_tightest(list(merged.values())))
            continue
        # The run at the coldest setting stands for a cooler; others keep their run's name.
        ordered = sorted(merged, key=lambda run: not _is_coldest(run, campaign))
        ordered = [merged[run] for run in ordered]
        rows.append(ordered[0])
        rows += [replace(f, at=f"{at} ({f.runs[0]})".strip()) for f in ordered[1:]]
    return rows, {name: _pooled(by_runs) for name, by_runs in deviations.items()}


def _is_coldest(run: str, campaign: Campaign) -> bool:
    return run in campaign.runs and campaign.runs[run].setting == "coldest"


def first_run(run: str, campaign: Campaign) -> str:
    """The run that a run repeats, however many repeats stand between.

    Parameters
    ----------
    run : str
        Its id.
    campaign : Campaign

    Returns
    -------
    str
        Its own id where it repeats none.

    References
    ----------
    .. [1] This kit's own definition.
    """
    seen = set()
    while run not in seen and (sheet := campaign.runs.get(run)) and sheet.repeat_of:
        seen.add(run)
        run = sheet.repeat_of
    return run


def _merged(
    group: list[Finding], deviations: dict[str, dict[tuple[str, ...], list[Deviation]]]
) -> Finding:
    """Mean of repeats that have a value; else the first, with the others told of."""
    valued = [f for f in group if f.value is not None]
    # A repeat without a value does not make the mean of the others more certain.
    runs = tuple(r for f in (valued or group) for r in f.runs)
    if len(valued) < 2:
        chosen = valued[0] if valued else group[0]
        if len(group) < 2:
            return chosen
        note = f"{len(valued)} of {len(group)} repeats gave a value"
        return replace(chosen, runs=runs, note="; ".join(n for n in (chosen.note, note) if n))
    values = np.array([f.value for f in valued])
    relative = valued[0].kind.varies != "temperature"
    scale = abs(values.mean()) if relative else 1.0
    if scale > 0:
        part = Deviation(float(values.std(ddof=1) / scale), len(values) - 1, relative)
        of_runs = tuple(r for f in valued for r in f.runs)
        deviations.setdefault(valued[0].finding, {}).setdefault(of_runs, []).append(part)
    conditions = {
        name: float(np.mean([f.conditions[name] for f in valued]))
        if isinstance(value, float | int) and all(name in f.conditions for f in valued) else value
        for name, value in valued[0].conditions.items()
    }
    note = f"mean of {len(valued)} runs, {_listed(values, valued[0].unit)}"
    value = float(values.mean())
    numbers: dict[str, object] = {"value": value, "low": None, "high": None, "draws": None}
    if all(f.draws is not None for f in valued):
        numbers = measured(np.mean([f.draws for f in valued], axis=0), value)
    coverages = [f.coverage for f in valued if f.coverage is not None]
    return replace(
        valued[0], **numbers, runs=runs, conditions=conditions,
        coverage=min(coverages) if coverages else None,
        note="; ".join(n for n in (note, valued[0].note) if n),
    )


def _listed(values: np.ndarray, unit: str) -> str:
    """Values in print, the unit after the last: ``46.0 and 45.8 W``."""
    # Numbers of one size are told apart only by the figures that differ.
    decimals = max(two_figures(float(v), None, None) for v in values)
    *front, last = (number(float(v), max(decimals, 0)) for v in values)
    listed = f"{', '.join(front)} and {last}"
    return listed if unit in ("", "-") else f"{listed} {unit}"


def _tightest(bounds: list[Finding]) -> Finding:
    """A measured coldest air, else the lowest bound."""
    valued = [f for f in bounds if f.value is not None]
    if valued:
        return valued[0]
    with_high = [f for f in bounds if f.high is not None]
    return min(with_high, key=lambda f: f.high) if with_high else bounds[0]


def _pooled(by_runs: dict[tuple[str, ...], list[Deviation]]) -> Spread:
    """Pooled over tests; the targets of one test move together and count once."""
    tests = [(np.mean([d.spread**2 for d in parts]), max(d.freedom for d in parts), parts[0])
             for parts in by_runs.values()]
    freedom = sum(n for _, n, _ in tests)
    variance = sum(v * n for v, n, _ in tests) / freedom
    return Spread(float(np.sqrt(variance)), freedom, tests[0][2].relative)
