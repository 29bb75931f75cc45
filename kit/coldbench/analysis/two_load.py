"""Two warm-ups with different loads: heat leak and structure heat solved together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations

import numpy as np

from coldbench.analysis.balance import Balance
from coldbench.analysis.heat_leak import of_method
from coldbench.analysis.limits import LIMITS
from coldbench.findings import Finding, measured

Number = float | np.ndarray


def two_load(
    rows: Mapping[str, Finding], balances: Mapping[str, Balance]
) -> Iterator[Finding]:
    """Heat leak and structure heat of each cooler with two warm-ups of unlike loads.

    Parameters
    ----------
    rows : mapping of str to Finding
        The warm-up's own ``heat_leak`` row of each run.
    balances : mapping of str to Balance
        Of the same runs.

    Yields
    ------
    Finding
        ``heat_leak`` [W/K] and ``structure_heat`` [kJ/K].

    Notes
    -----
    ``UA·D = Q + C·R`` of both runs, D the time integral of the difference, Q the heat the load
    gained and R the rise of the air: two equations for UA and C.

    References
    ----------
    .. [1] This kit's own definition.
    """
    runs = sorted(run for run in balances if balances[run].rise > 0)
    for one, two in combinations(runs, 2):
        a, b = rows[one], rows[two]
        if (a.cooler, a.at) != (b.cooler, b.at):
            continue
        # The heat of the load for each kelvin: alike loads give two equations that say the same.
        each = sorted(balances[run].load / balances[run].rise for run in (one, two))
        if each[0] <= 0 or each[1] < LIMITS.loads_apart * each[0]:
            continue
        yield from _solved(a, (one, two), balances[one], balances[two])


def _solved(
    row: Finding, runs: tuple[str, str], one: Balance, two: Balance
) -> Iterator[Finding]:
    leak, structure = _solution(one.drive, one.load, one.rise, two.drive, two.load, two.rise)
    at = row.at.replace("warm-up", "two loads")
    base = replace(row, at=at, runs=runs, value=None, low=None, high=None, draws=None,
                   basis="measured", note="", coverage=min(one.coverage, two.coverage))
    other = replace(base, finding="structure_heat", unit="kJ/K")
    if not (one.stated and two.stated):
        yield replace(base, value=leak, note="error not stated")
        yield replace(other, value=structure / 1000, note="error not stated")
        return
    leaks, structures = _solution(one.drive_true, one.load_true, one.rise_true,
                                  two.drive_true, two.load_true, two.rise_true)
    leaks = of_method(leaks, base, LIMITS.model_two_loads)
    yield replace(base, **measured(leaks, leak))
    yield replace(other, **measured(structures / 1000, structure / 1000))


def _solution(
    d1: Number, q1: Number, r1: Number, d2: Number, q2: Number, r2: Number
) -> tuple[Number, Number]:
    """Heat leak [W/K] and structure heat [J/K] of two balances."""
    determinant = d1 * r2 - d2 * r1
    return (q1 * r2 - q2 * r1) / determinant, (d2 * q1 - d1 * q2) / determinant

