"""Is that difference real? Differences of coolers with their own interval, in words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.repeats import Spread
from coldbench.findings import Finding

FAMILY = 3  # coolers up to which pairs are judged each on its own
FOOTING = {"daily_energy_footing", "daily_energy_per_litre", "ice_needed", "ice_energy",
           "running_cost", "supply_cost", "life_cost"}
ENERGY = {"mean_power", "daily_energy", "duty", "cycle_time",
          "running_capacity", "cop", "carnot_fraction"}
PULL_DOWN = {"pull_down_time", "pull_down_energy", "load_heat_ratio", "freeze_time",
             "freeze_energy", "freeze_start", "plateau_time"}


@dataclass(frozen=True)
class Difference:
    """Two coolers on one finding.

    Parameters
    ----------
    first, second : Finding
        The rows compared.
    verdict : {"less", "more", "cannot tell apart", "not comparable"}
        Of the first against the second.
    value, low, high : float or None
        First minus second with its 95 % interval, run-to-run spread included. [unit]
    why : str
        Why not comparable, or which spread entered.
    chance : float or None
        How likely a difference this clear would be if there were none; None where bounds decide.
    """

    first: Finding
    second: Finding
    verdict: str
    value: float | None = None
    low: float | None = None
    high: float | None = None
    why: str = ""
    chance: float | None = None


def differences(
    findings: Iterable[Finding], spreads: Mapping[str, Spread], protocols: Mapping[str, str]
) -> list[Difference]:
    """Differences of all pairs of coolers that share a finding and its ``at``.

    Parameters
    ----------
    findings : iterable of Finding
        One row a cooler, finding and ``at``.
    spreads : mapping of str to Spread
        Run-to-run spread seen, by finding.
    protocols : mapping of str to str
        Protocol of each run.

    Returns
    -------
    list of Difference
        In the order of the findings.

    References
    ----------
    .. [1] Draws are subtracted row by row, after JCGM 101:2008; what counts as comparable is
       this kit's own.
    """
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        if finding.kind.better and finding.basis not in ("not applicable", "not measured"):
            groups.setdefault(finding.key, []).append(finding)
    found = []
    for group in groups.values():
        pairs = [compare(a, b, spreads.get(a.finding), protocols)
                 for a, b in combinations(group, 2)]
        found += in_family(pairs) if len(group) > FAMILY else pairs
    return found


def in_family(pairs: list[Difference]) -> list[Difference]:
    """Verdicts on many pairs of one finding, of which one in twenty would err by chance.

    Parameters
    ----------
    pairs : list of Difference
        All pairs of coolers on one finding.

    Returns
    -------
    list of Difference
        Claims that do not stand when all pairs are judged together become "cannot tell apart".

    References
    ----------
    .. [1] Holm, Scand. J. Statist. 6 (1979) 65-70: the smallest chance against 0.05 over the
       number of pairs, the next over one less, and so on to the first that fails.
    """
    judged = sorted((d for d in pairs if d.chance is not None), key=lambda d: d.chance)
    kept: set[int] = set()
    for n, d in enumerate(judged):
        if d.chance > LIMITS.by_chance / (len(judged) - n):
            break
        kept.add(id(d))
    said = f"not clear enough among {len(judged)} pairs"
    return [
        d if d.chance is None or id(d) in kept or d.verdict not in ("less", "more")
        else replace(d, verdict="cannot tell apart", why=f"{said}; {d.why}")
        for d in pairs
    ]


def compare(
    a: Finding, b: Finding, spread: Spread | None, protocols: Mapping[str, str]
) -> Difference:
    """One pair.

    Parameters
    ----------
    a, b : Finding
        Same finding and ``at``.
    spread : Spread or None
        Seen between repeats; the assumed one enters without.
    protocols : mapping of str to str
        Protocol of each run.

    Returns
    -------
    Difference

    References
    ----------
    .. [1] As :func:`differences`.
    """
    why = not_comparable(a, b, protocols)
    if why:
        return Difference(a, b, "not comparable", why=why)
    if a.value is None or b.value is None:
        return _by_bounds(a, b)
    if a.draws is None or b.draws is None:
        return Difference(a, b, "not comparable", why="error not stated")
    scatter, said = _scatter(a, b, spread)
    with np.errstate(invalid="ignore"):
        apart = a.draws - b.draws + scatter
    apart[np.isnan(apart)] = 0.0  # neither got there in that draw: no difference is seen
    low, high = draws.interval(apart)
    verdict = "less" if high < 0 else "more" if low > 0 else "cannot tell apart"
    return Difference(a, b, verdict, a.value - b.value, _end(low), _end(high), said,
                      _chance(apart))


def _chance(apart: np.ndarray) -> float:
    """Two-sided chance of draws on the other side of nothing."""
    other = min(int((apart <= 0).sum()), int((apart >= 0).sum()))
    if other or not np.isfinite(apart).all() or apart.std() == 0:
        return min(1.0, 2 * (other + 1) / (len(apart) + 1))
    # Clearer than the draws can count: the tail of the normal that they resemble.
    return math.erfc(abs(float(apart.mean() / apart.std())) / math.sqrt(2))


def not_comparable(a: Finding, b: Finding, protocols: Mapping[str, str]) -> str:
    """Why two rows must not be compared, or ``""``.

    References
    ----------
    .. [1] This kit's own limits.
    """
    used = {protocols.get(run, "") for f in (a, b) for run in f.runs} - {""}
    if len(used) > 1:
        return f"different protocols ({', '.join(sorted(used))})"
    unheld = [f.note for f in (a, b) if f.basis == "not reached" and f.finding in FOOTING]
    if unheld:
        return unheld[0]
    if a.finding in ENERGY:
        return _apart(a, b, "inside", LIMITS.inside_apart, "insides") or _apart(
            a, b, "ambient", LIMITS.ambient_apart, "ambients")
    if a.finding in PULL_DOWN:
        return (_apart(a, b, "start", LIMITS.start_difference, "starts")
                or _apart(a, b, "ambient", LIMITS.ambient_apart, "ambients") or _loads(a, b))
    if a.finding in ("coldest_air", "warmest_load"):
        return _apart(a, b, "ambient", LIMITS.ambient_apart, "ambients")
    return ""


def _apart(a: Finding, b: Finding, name: str, most: float, plural: str) -> str:
    x, y = a.conditions.get(name), b.conditions.get(name)
    if x is None or y is None:
        return f"{name} not measured" if name == "inside" else ""
    gap = abs(float(x) - float(y))
    return f"{plural} differ by {gap:.1f} K" if gap > most else ""


def _loads(a: Finding, b: Finding) -> str:
    x, y = (float(f.conditions.get("load", 0.0)) for f in (a, b))
    if abs(x - y) > LIMITS.load_apart * max(x, y):
        return f"loads differ ({x:.2f} and {y:.2f} kg)"
    return ""


def _scatter(a: Finding, b: Finding, spread: Spread | None) -> tuple[np.ndarray | float, str]:
    """Draws of the run-to-run spread of both rows, and what they rest on."""
    (first, said), (second, _) = run_to_run(a, spread), run_to_run(b, spread)
    return first - second, said


def run_to_run(row: Finding, spread: Spread | None) -> tuple[np.ndarray | float, str]:
    """How far another run of the same test would lie off, and what that rests on.

    Parameters
    ----------
    row : Finding
        With a value.
    spread : Spread or None
        Seen between repeats; the assumed one enters without.

    Returns
    -------
    scatter : ndarray of shape (4000,), or 0.0 for what no run gave
        Draws around zero. [unit of the row]
    said : str
        What they rest on.

    References
    ----------
    .. [1] This kit's own rule; a spread seen in few repeats by JCGM 101:2008, 6.4.9.
    """
    if not row.kind.varies:
        return 0.0, "limits stated or assumed in the sheets"
    size, said, doubt = _assumed(row), "assumed run-to-run spread", 1.0
    if spread is not None and spread.pooled is not None:
        seen = spread.pooled * (abs(row.value) if spread.relative else 1.0)
        if spread.freedom < LIMITS.freedom:
            size, said = max(seen, size), "larger of seen and assumed spread"
        else:
            # A spread seen in few repeats is itself in doubt, in the same way for all coolers.
            size, doubt = seen, draws.student_scale(f"{row.finding} {row.at} spread",
                                                    spread.freedom)
            said = f"spread pooled, {spread.freedom} degrees of freedom"
    # Rows that follow from other rows name no run: as one run.
    size /= np.sqrt(max(1, len(row.runs)))
    return draws.normal(f"{row.cooler} {row.finding} {row.at} run to run", size) * doubt, said


def _assumed(finding: Finding) -> float:
    """Assumed standard uncertainty of one run against the next. [unit]"""
    size = getattr(LIMITS, f"spread_{finding.kind.varies}")
    return size if finding.kind.varies == "temperature" else size * abs(finding.value)


def _by_bounds(a: Finding, b: Finding) -> Difference:
    """A bound can still tell two apart, where it lies wholly on one side of the other."""
    a_low, a_high = _ends(a)
    b_low, b_high = _ends(b)
    if a_high < b_low:
        return Difference(a, b, "less", why="by bounds")
    if b_high < a_low:
        return Difference(a, b, "more", why="by bounds")
    return Difference(a, b, "cannot tell apart", why="one is a bound")


def _ends(finding: Finding) -> tuple[float, float]:
    low = -np.inf if finding.low is None else finding.low
    return low, np.inf if finding.high is None else finding.high


def _end(value: float) -> float | None:
    return value if np.isfinite(value) else None
