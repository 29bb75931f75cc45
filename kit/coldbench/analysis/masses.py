"""A warm-up as two masses, load and structure, between which the air passes the heat on.

The fit looks good where its parameters are not: foam that still soaks reads as structure and as
leak. It is shown with what it can tell apart, and no heat leak is taken from it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.balance import Balance
from coldbench.analysis.bootstrap import lag_one, parameter_draws
from coldbench.analysis.context import Context
from coldbench.analysis.heat import load_heat, load_mass
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.structure import modelled_structure
from coldbench.physics.two_masses import two_mass_course

POINTS = 240
NAMES = ("heat leak", "structure heat", "film at the load", "film at the structure")
HOUR = 3600.0


@dataclass(frozen=True)
class MassesFit:
    """Two masses fitted to a warm-up.

    Parameters
    ----------
    cooler, run : str
        Ids.
    t : ndarray, shape (n,)
        Even instants, POSIX. [s]
    ambient, air, load, air_fit, load_fit : ndarray, shape (n,)
        As read, and fitted. [°C]
    heat_leak, structure : (low, value, high)
        By blocks of residuals. [W/K], [J/K]
    residual : float
        Root mean square. [K]
    lag_one : float
        Correlation of residuals with their next. [-]
    traded : (str, str, float)
        The two parameters that trade most, and their correlation.
    """

    cooler: str
    run: str
    t: np.ndarray
    ambient: np.ndarray
    air: np.ndarray
    load: np.ndarray
    air_fit: np.ndarray
    load_fit: np.ndarray
    heat_leak: tuple[float, float, float]
    structure: tuple[float, float, float]
    residual: float
    lag_one: float
    traded: tuple[str, str, float]

    @property
    def told_apart(self) -> bool:
        """Whether no two parameters stand for each other."""
        return abs(self.traded[2]) < LIMITS.told_apart


    @property
    def text(self) -> str:
        """Window, residuals, and what the fit can tell apart, in a sentence."""
        hours = (self.t[-1] - self.t[0]) / HOUR
        one, two, together = self.traded
        said = (f"Two masses fitted to {hours:.1f} h of {self.run}: {self.residual:.2f} K left "
                f"over (root mean square, lag-one correlation {self.lag_one:.2f}); ")
        if not self.told_apart:
            return (f"{said}{one} and {two} stand for each other (correlation {together:.3f}), so "
                    "nothing is taken from it, however well it fits.")
        low, value, high = self.heat_leak
        return (f"{said}heat leak {value:.2g} W/K ({low:.2g} to {high:.2g}), {one} and {two} "
                f"correlated by {together:.2f}. Foam that still soaks reads as structure in it: "
                "shown beside the balance, and not used.")


def fit_masses(context: Context, span: Balance | None) -> MassesFit | None:
    """Fit two masses to the stretch of a warm-up that its heat leak rests on.

    Parameters
    ----------
    context : Context
        Run of kind ``warm-up``.
    span : Balance or None
        Its balance.

    Returns
    -------
    MassesFit or None
        None without air, load and ambient logged, where the load passes 0 °C, and where the
        residuals are worth too few independent ones.

    Notes
    -----
    Unknown are heat leak, structure heat, both films, and where load and structure begin; the
    load's own heat is known. Air without a mass of its own lies where its flows balance.

    References
    ----------
    .. [1] Two lumped masses, textbook; intervals by :func:`parameter_draws`.
    """
    from scipy.optimize import least_squares  # 0.3 s that only a warm-up pays

    record = context.record
    traces = [record.trace(role) for role in ("ambient", "air", "load")]
    modelled = modelled_structure(record.cooler, context.campaign.coolers[record.cooler])
    if span is None or None in traces or not context.run.load or modelled is None:
        return None
    t = np.linspace(span.t0, span.t1, POINTS)
    if any(one.t[0] > t[0] or one.t[-1] < t[-1] for one in traces):
        return None
    ambient, air, load = (np.interp(t, one.t, one.y) for one in traces)
    if load.min() < 0 < load.max() or load.min() < 0.5 and load.max() > -0.5:
        return None
    top = 2.0 if load.mean() > 0 else -1.0
    heat = 3600 * float(load_heat(context.run, load_mass(context.run), top, top - 1))
    leak = (span.load + modelled.value * span.rise) / span.drive
    first = np.log([leak, modelled.value, 10 * leak, 10 * leak])

    def course(x: np.ndarray) -> np.ndarray:
        u, c, to_load, to_structure = np.exp(x[:4])
        return two_mass_course(t, ambient, u, heat, c, to_load, to_structure, x[4], x[5])

    measured = np.stack([air, load])
    start = np.array([*first, load[0], air[0]])
    found = least_squares(lambda x: (course(x) - measured).ravel(), start, x_scale="jac",
                          max_nfev=60)
    slopes, residuals = found.jac.reshape(2, POINTS, -1), found.fun.reshape(2, POINTS)
    together = np.concatenate([np.moveaxis(slopes, 0, 1).reshape(2 * POINTS, -1)])
    correlation = _correlation(together)
    i, j = np.unravel_index(np.argmax(np.abs(np.triu(correlation[:4, :4], 1))), (4, 4))
    try:
        moved = parameter_draws(together, residuals.T.ravel(), f"{context.name} masses")
    except (ValueError, np.linalg.LinAlgError):
        return None
    intervals = [
        (low, float(np.exp(found.x[n])), high) for n in (0, 1)
        for low, high in [draws.interval(np.exp(found.x[n] + moved[n]))]
    ]
    fitted = course(found.x)
    return MassesFit(
        record.cooler, record.run, t, ambient, air, load, fitted[0], fitted[1],
        intervals[0], intervals[1], float(np.sqrt(np.mean(residuals**2))),
        lag_one(residuals[1]), (NAMES[i], NAMES[j], float(correlation[i, j])),
    )


def _correlation(slopes: np.ndarray) -> np.ndarray:
    """Of the parameters, from the fit's slopes."""
    scaled = slopes / np.linalg.norm(slopes, axis=0)
    inverse = np.linalg.pinv(scaled.T @ scaled)
    size = np.sqrt(np.maximum(np.diag(inverse), 1e-300))
    return inverse / np.outer(size, size)
