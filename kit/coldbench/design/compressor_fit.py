"""A compressor unit fitted to its cooler's own runs, and held against each run left out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.limits import LIMITS
from coldbench.compare.heat_taken import Known
from coldbench.compare.leaks import Leak, leak_of
from coldbench.compare.states import State
from coldbench.design.compressor_points import Point, points
from coldbench.design.compressor_unit import (
    REFERENCE_AMBIENT,
    REFERENCE_INSIDE,
    CompressorUnit,
    Law,
)
from coldbench.design.fitted import Check, Fitted
from coldbench.design.limits import DESIGN
from coldbench.findings import Finding
from coldbench.quantities import number

# What is known of any unit before its runs are looked at: slope, bend, ambient, starts, each with
# the name of its draws, its middle and its limit.
TAKEN = (("capacity_follows", LIMITS.capacity_follows, LIMITS.capacity_doubt),
         ("unit_bend", DESIGN.unit_bend, DESIGN.unit_bend_limit),
         ("unit_ambient", DESIGN.unit_ambient, DESIGN.unit_ambient_limit),
         ("unit_starts", DESIGN.unit_starts, DESIGN.unit_starts))
DRAWN = (("unit_power_follows", DESIGN.unit_power_follows, DESIGN.unit_power_doubt),
         ("unit_power_bend", DESIGN.unit_power_bend, DESIGN.unit_power_bend_limit),
         ("unit_power_ambient", DESIGN.unit_power_ambient, DESIGN.unit_power_ambient_limit),
         ("unit_power_starts", DESIGN.unit_power_starts, DESIGN.unit_power_starts))
APART = 6.0  # ambients from which their slope is the unit's own rather than assumed [K]


def fit(result: CampaignResult, rows: Sequence[Finding], cooler: str) -> Fitted:
    """Running capacity and power of a cooler's compressor unit over inside and ambient.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with the machine's and the heat leaks.
    cooler : str
        Its id.

    Returns
    -------
    Fitted
        ``refused`` where a heat leak, power or a run is lacking, or where the fit, without a run,
        misses it by far.

    Notes
    -----
    Points are running capacity and power at steady states, and in stretches of a pull-down in
    which the unit ran without a break. Their logarithms are fitted by weighted least squares, for
    each of the 4 000 draws of all that is hidden in them; what points leave open (another
    ambient, insides they do not reach, how much starts flatter) is drawn from limits of what
    units do. With one ambient only, its slope is assumed.

    References
    ----------
    .. [1] Least squares with draws of data and of prior knowledge sample the posterior of a
       linear model: J. M. Bardsley et al., SIAM J. Sci. Comput. 36 (2014) A1895 (from memory).
       Its use here is this kit's own.
    """
    leak = leak_of(rows, cooler)
    if leak is None or leak.draws is None:
        return Fitted(cooler, refused="has no heat leak with its error: a heater, warm-up or "
                                      "ice-melt run tells it")
    found, known, metered = points(result, rows, cooler, leak)
    if not any(p.power is not None for p in found):
        return Fitted(cooler, refused="has no run with inside, ambient and power, errors stated, "
                                      "from which its running capacity follows")
    unit, central = _unit(cooler, found, known)
    checks = tuple(check for one in known if (check := _check(cooler, found, known, one, leak)))
    runs = tuple(dict.fromkeys(run for p in found for run in p.runs))
    seen = (min(p.inside.value for p in found), max(p.inside.value for p in found))
    wrong = [check for check in checks if check.misses]
    if wrong:
        return Fitted(cooler, runs=runs, checks=checks, metered_at=metered,
                      refused=_refused(max(wrong, key=lambda check: abs(check.apart))))
    return Fitted(cooler, unit, central, runs, checks, "", _note(found, known), seen, metered,
                  max(p.ambient.value for p in found), tuple(found))


def _unit(
    cooler: str, found: Sequence[Point], known: Sequence[State]
) -> tuple[CompressorUnit, CompressorUnit]:
    """With draws, and from the values as they stand."""
    powered = [p for p in found if p.power is not None]
    taken = _law(cooler, "capacity", TAKEN, found, [p.capacity for p in found])
    drawn = _law(cooler, "power", DRAWN, powered, [p.power for p in powered])
    idle = _idle(cooler, known)
    return tuple(
        CompressorUnit(Law(*t[:4]), Law(*d[:4]), rest, np.clip(t[4], 0.0, None),
                       np.clip(d[4], 0.0, None))
        for t, d, rest in zip(taken, drawn, (idle.draws, idle.value), strict=True))


def _law(
    cooler: str, what: str, prior: tuple, found: Sequence[Point], watts: Sequence[Known]
) -> tuple[np.ndarray, np.ndarray]:
    """Level, slope, bend, ambient and starts: draws, shape (5, 4000), and values, shape (5,)."""
    middles, limits = (np.array([one[place] for one in prior]) for place in (1, 2))
    names = [f"{cooler} {what} {one[0]}" for one in prior]
    believed = np.array([m + draws.uniform(n, a)
                         for m, n, a in zip(middles, names, limits, strict=True)])
    own = [draws.normal(f"{cooler} {what} {p.name}", DESIGN.unit_shape) for p in found]
    y = np.array([np.log(np.maximum(w.draws, 1e-3)) + o
                  for w, o in zip(watts, own, strict=True)]).T
    spread = np.hypot(y.std(axis=0), 1e-6)
    sigma = limits / np.sqrt(3)
    parts = [[getattr(p, name) for p in found] for name in ("inside", "ambient", "duty")]
    true = _solve(*(np.array([k.draws for k in part]).T for part in parts), y, spread,
                  believed.T, sigma, middles[3])
    value = _solve(*(np.array([[k.value for k in part]]) for part in parts),
                   np.log([[w.value for w in watts]]), spread, middles[None], sigma, middles[3])
    return true.T, value[0]


def _solve(
    inside: np.ndarray, ambient: np.ndarray, duty: np.ndarray, y: np.ndarray, spread: np.ndarray,
    believed: np.ndarray, sigma: np.ndarray, starts: float,
) -> np.ndarray:
    """Weighted least squares of each row, with what is believed as four more points: (m, 5)."""
    x, apart, rest = inside - REFERENCE_INSIDE, ambient - REFERENCE_AMBIENT, 1 - duty
    # ln(1 + s (1 − d)), straight about the middle of what starts may add.
    tilt = rest / (1 + starts * rest)
    y = y - np.log1p(starts * rest) + starts * tilt
    a = np.stack([np.ones_like(x), x, x * x, apart, tilt], axis=-1) / spread[:, None]
    normal = np.einsum("mni,mnj->mij", a, a)
    right = np.einsum("mni,mn->mi", a, y / spread)
    normal[:, range(1, 5), range(1, 5)] += sigma**-2
    right[:, 1:] += believed * sigma**-2
    return np.linalg.solve(normal, right[..., None])[..., 0]


def _idle(cooler: str, known: Sequence[State]) -> Known:
    """Power while it rests: what runs show, else what a controller draws. [W]"""
    shown = [one.idle for one in known if one.settled and one.said == "above its idle power"]
    if shown:
        return Known(float(np.mean([k.value for k in shown])),
                     np.mean([k.draws for k in shown], axis=0))
    half = DESIGN.unit_idle
    return Known(half, half + draws.uniform(f"{cooler} idle", half))


def _check(
    cooler: str, found: Sequence[Point], known: Sequence[State], one: State, leak: Leak
) -> Check | None:
    """A steady state from all runs but its own; None where no other tells it.

    Of a thermostat's its mean power; of an unbroken run the inside that it came to.
    """
    others = [p for p in found if not set(p.runs) & set(one.runs)]
    if not any(p.power is not None for p in others):
        return None
    unit, central = _unit(cooler, others, [k for k in known if k is not one])
    cold, warm = one.inside, one.ambient
    value, true = leak.at_temperatures(cold.value, warm.value)
    what, of_what, measured = "mean power", "W", one.power
    if one.settled:
        heat = true * (warm.draws - cold.draws)
        power = unit.hold(cold.draws, warm.draws, heat).power
        # Where it cannot hold, it runs without a break.
        drawn = np.where(np.isnan(power), unit.power(cold.draws, warm.draws), power)
        middle = central.hold(cold.value, warm.value, value * (warm.value - cold.value)).power
        if np.isnan(middle):
            middle = central.power(cold.value, warm.value)
        drawn = drawn * (1 + draws.normal(f"{' '.join(one.runs)} again", LIMITS.spread_energy))
    else:
        what, of_what, measured = "coldest air", "°C", cold
        drawn = unit.coldest(true, warm.draws)
        middle = central.coldest(value, warm.value)
        drawn = drawn + draws.normal(f"{' '.join(one.runs)} again", LIMITS.spread_temperature)
    low, high = draws.interval(measured.value + drawn - measured.draws)
    return Check(one.runs, what, of_what, float(cold.value), float(warm.value),
                 float(measured.value), float(middle), low, high)


def _refused(worst: Check) -> str:
    seen, told = (f"{number(x, 1)} {worst.unit}" for x in (worst.measured, worst.predicted))
    verb = "comes to" if worst.unit == "°C" else "draws"
    return (f"{verb} {seen} in {' and '.join(worst.runs)}; its other runs make it {told}: they "
            "are not of one machine at one speed in one box")


def _note(found: Sequence[Point], known: Sequence[State]) -> str:
    """What was assumed because no run shows it."""
    ambients = [p.ambient.value for p in found]
    said = []
    if max(ambients) - min(ambients) < APART:
        said.append("how it follows the ambient is assumed: no two runs lie "
                    f"{APART:g} K of ambient apart")
    if not any(p.duty.value > 0.95 for p in found):
        said.append("it was seen cycling only: how much that flatters it is assumed")
    if not any(one.settled for one in known):
        said.append("power at rest assumed: no run shows it")
    return "; ".join(said)
