"""Exponential courses fitted to a record: with its window, its residuals and its refusals."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from coldbench import draws
from coldbench.analysis.bootstrap import correlated, lag_one, parameter_draws
from coldbench.analysis.fit import Fit, FitRefused
from coldbench.analysis.limits import LIMITS


def fit_decay(x: np.ndarray, y: np.ndarray, end: float | None = None) -> Fit:
    """Fit ``y = end + amplitude · exp(−(x − x₀)/time constant)``, ``x₀`` the first sample.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Times, increasing. [any time]
    y : ndarray, shape (n,)
        Samples. [any]
    end : float or None
        Level approached, where it is known; None fits it. [as y]

    Returns
    -------
    Fit
        ``end`` (where fitted), ``amplitude``, ``time constant``. [as y, as y, as x]

    Raises
    ------
    FitRefused
        Too few samples, no convergence, an infinite covariance, or a free end level from a
        record that is shorter than one time constant or whose later half tells another end.

    Notes
    -----
    A course that slows down as it goes is fitted by too short a time constant, which makes any
    record look long enough. So the later half of the fall is fitted alone: where its end level
    lies further off than 5 % of the fall, the end is not told.

    References
    ----------
    .. [1] Least squares after Levenberg and Marquardt; starts and refusals are this kit's own.

    Examples
    --------
    >>> x = np.linspace(0, 180, 37)
    >>> fit = fit_decay(x, 4 + 21 * np.exp(-x / 60))
    >>> {name: round(value, 3) for name, value in fit.values.items()}
    {'end': 4.0, 'amplitude': 21.0, 'time constant': 60.0}
    """
    x, y = _sorted_out(x, y, 4 if end is None else 3)
    since = x - x[0]
    level, rate = _starts(since, y, end)
    if end is None:
        solved = solve(_decays, since, y, (level, y[0] - level, rate), _decays_slopes)
        names = ("end", "amplitude", "time constant")
    else:
        solved = solve(
            lambda x, *p: _decays(x, end, *p), since, y, (y[0] - level, rate),
            lambda x, *p: _decays_slopes(x, end, *p)[:, 1:],
        )
        names = ("amplitude", "time constant")
    fit = _reported(x, names, solved, rates=("time constant",))
    if end is None:
        _refuse_short(fit, "time constant", since)
        _refuse_bent(fit, since, y, y - solved.residuals)
    return fit


def _refuse_short(fit: Fit, name: str, since: np.ndarray) -> None:
    if since[-1] < fit.values[name]:
        raise FitRefused(
            f"the samples span {since[-1]:.3g}, less than one {name} ({fit.values[name]:.3g}): "
            "the end level cannot be told; state it or record for longer"
        )


def _refuse_bent(fit: Fit, since: np.ndarray, y: np.ndarray, course: np.ndarray) -> None:
    """The end must be told alike by all of the fall and by its later half."""
    fallen = np.abs(course - course[0])
    late = fallen >= fallen[-1] / 2
    end, fall = fit.values["end"], abs(course[0] - fit.values["end"])
    try:
        x, y = _sorted_out(since[late], y[late], 4)
        level, rate = _starts(x - x[0], y, None)
        solved = solve(_decays, x - x[0], y, (level, y[0] - level, rate), _decays_slopes)
        later, settles = solved.values[0], solved.values[2] > 0
    except FitRefused:
        settles = False
    if not settles or abs(later - end) > LIMITS.end_told * fall:
        told = f"{later:.3g}" if settles else "none"
        raise FitRefused(
            f"the end level cannot be told: all samples give {end:.3g}, the later half of the "
            f"fall {told}; state it or record for longer"
        )


def fit_two_decays(x: np.ndarray, y: np.ndarray) -> Fit:
    """Fit a slow and a fast exponential to one end level.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Times, increasing. [any time]
    y : ndarray, shape (n,)
        Samples. [any]

    Returns
    -------
    Fit
        ``end``, ``slow amplitude``, ``slow time constant``, ``fast amplitude``,
        ``fast time constant``. [as y, as x]

    Raises
    ------
    FitRefused
        As :func:`fit_decay`; its later half has to tell the same end by one decay.

    References
    ----------
    .. [1] As :func:`fit_decay`.
    """
    x, y = _sorted_out(x, y, 6)
    since = x - x[0]
    level, rate = _starts(since, y, None)
    half = (y[0] - level) / 2
    solved = solve(
        _decays, since, y, (level, half, rate / 2, half, 4 * rate), _decays_slopes
    )
    order = [0, 1, 2, 3, 4] if solved.values[2] < solved.values[4] else [0, 3, 4, 1, 2]
    solved = Solved(solved.values[order], solved.sd[order], solved.residuals,
                    solved.slopes[:, order], solved.traded)
    names = ("end", "slow amplitude", "slow time constant", "fast amplitude", "fast time constant")
    fit = _reported(x, names, solved, rates=("slow time constant", "fast time constant"))
    _refuse_short(fit, "slow time constant", since)
    _refuse_bent(fit, since, y, y - solved.residuals)
    return fit


def fit_rise(x: np.ndarray, y: np.ndarray) -> Fit:
    """Fit ``y = b1 · (1 − exp(−b2 · x))``, which starts from nothing at ``x = 0``.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Counted from the known start, increasing. [any]
    y : ndarray, shape (n,)
        Samples. [any]

    Returns
    -------
    Fit
        ``b1``, ``b2``. [as y, 1/x]

    Raises
    ------
    FitRefused
        Too few samples, no convergence, or an infinite covariance. The span is not judged: a
        known start determines what a free one does not.

    References
    ----------
    .. [1] As :func:`fit_decay`; the form of the certified sets Misra1a and BoxBOD, NIST StRD.
    """
    x, y = _sorted_out(x, y, 3)
    solved = solve(_rise, x, y, _starts(x, y, None), _rise_slopes)
    return _reported(x, ("b1", "b2"), solved)


@dataclass(frozen=True)
class Solved:
    """Values and standard deviations, shape (m,), and residuals, shape (n,). [any]

    ``slopes``, shape (n, m), are empty where none were given; ``traded`` is the largest
    correlation between two parameters. [-]
    """

    values: np.ndarray
    sd: np.ndarray
    residuals: np.ndarray
    slopes: np.ndarray = field(default_factory=lambda: np.empty((0, 0)))
    traded: float = 0.0


def solve(
    form: Callable[..., np.ndarray], x: np.ndarray, y: np.ndarray, starts: Sequence[float],
    slopes: Callable[..., np.ndarray] | None = None,
) -> Solved:
    """Least squares from given starts, refused where the samples leave a parameter open.

    Parameters
    ----------
    form : callable
        Of ``x`` and the parameters. [as y]
    x, y : ndarray, shape (n,)
        Samples. [any]
    starts : sequence of float, length m
        Where to start from; bad ones end in a false minimum. [any]
    slopes : callable or None
        Derivatives of the form by its parameters, shape (n, m). Differences in their place go
        blind where a parameter is near 0, such as an end at 0 °C. [as y for each parameter]

    Returns
    -------
    Solved
        [as the parameters]

    Raises
    ------
    FitRefused
        No convergence, or an infinite covariance: the course found does not depend on one of the
        parameters.

    References
    ----------
    .. [1] J. J. Moré, The Levenberg–Marquardt algorithm: implementation and theory, 1978, as in
       MINPACK; the refusal is this kit's own.
    """
    from scipy.optimize import OptimizeWarning, curve_fit

    try:
        # A start may lead through overflow; what counts is where it ends.
        with warnings.catch_warnings(), np.errstate(over="ignore", invalid="ignore"):
            warnings.simplefilter("ignore", OptimizeWarning)
            values, covariance = curve_fit(
                form, x, y, p0=starts, jac=slopes, method="lm", ftol=1e-12, xtol=1e-12, maxfev=5000
            )
    except RuntimeError:
        raise FitRefused("no such course comes near the samples") from None
    sd = np.sqrt(np.diag(covariance))
    if not (np.isfinite(values).all() and np.isfinite(sd).all()):
        raise FitRefused("infinite covariance: the samples leave a parameter open")
    if slopes is None:
        return Solved(values, sd, y - form(x, *values))
    at = slopes(x, *values)
    return Solved(values, sd, y - form(x, *values), at, _traded(at))


def _traded(slopes: np.ndarray) -> float:
    """Largest correlation between two parameters, from the slopes alone. [-]"""
    even = slopes / np.linalg.norm(slopes, axis=0)
    inverse = np.linalg.pinv(even.T @ even)
    widths = np.sqrt(np.diag(inverse))
    return float(np.abs(np.triu(inverse / np.outer(widths, widths), 1)).max())


def _decays(x: np.ndarray, end: float, *pairs: float) -> np.ndarray:
    """An end level and amplitude after rate of each decay to it."""
    parts = [a * np.exp(-k * x) for a, k in zip(pairs[::2], pairs[1::2], strict=True)]
    return end + sum(parts)


def _decays_slopes(x: np.ndarray, end: float, *pairs: float) -> np.ndarray:
    columns = [np.ones_like(x)]
    for amplitude, rate in zip(pairs[::2], pairs[1::2], strict=True):
        left = np.exp(-rate * x)
        columns += [left, -amplitude * x * left]
    return np.column_stack(columns)


def _rise(x: np.ndarray, b1: float, b2: float) -> np.ndarray:
    return -b1 * np.expm1(-b2 * x)


def _rise_slopes(x: np.ndarray, b1: float, b2: float) -> np.ndarray:
    return np.column_stack([-np.expm1(-b2 * x), b1 * x * np.exp(-b2 * x)])


def _sorted_out(x: np.ndarray, y: np.ndarray, least: int) -> tuple[np.ndarray, np.ndarray]:
    x, y = np.asarray(x, float), np.asarray(y, float)
    if len(x) < least:
        raise FitRefused(f"{len(x)} samples; at least {least} are needed")
    if not (np.diff(x) > 0).all():
        raise ValueError("times do not increase")
    if np.ptp(y) == 0:
        raise FitRefused("the samples do not move")
    return x, y


def _starts(x: np.ndarray, y: np.ndarray, end: float | None) -> tuple[float, float]:
    """End level a little beyond the last one, and rate from the slope of the logarithm."""
    level = y[-1] + 0.05 * (y[-1] - y[0]) if end is None else end
    left = (y - level) / (y[0] - level) if y[0] != level else np.zeros_like(y)
    used = left > 0.01  # noise about the end level has no logarithm worth using
    if used.sum() < 2:
        return level, 1 / (x[-1] - x[0])
    rate = -np.polyfit(x[used], np.log(left[used]), 1)[0]
    return level, float(rate) if rate > 0 else 1 / (x[-1] - x[0])


def _reported(
    x: np.ndarray, names: Sequence[str], solved: Solved, rates: Sequence[str] = ()
) -> Fit:
    """A rate turns into a time constant; its relative standard deviation stays."""
    values, sd, intervals = {}, {}, {}
    residuals = solved.residuals
    try:
        moved = parameter_draws(solved.slopes, residuals, f"fit of {' '.join(names)}")
    except ValueError:
        moved = None  # the residuals wander so much that nothing is known of the parameters
    for i, name in enumerate(names):
        value, deviation = solved.values[i], solved.sd[i]
        low, high = draws.interval(value + moved[i]) if moved is not None else (0.0, 0.0)
        if name in rates:
            if value <= 0:
                raise FitRefused("the samples do not settle: the course found runs away")
            value, deviation = 1 / value, deviation / value**2
            low, high = 1 / high if high > 0 else np.inf, 1 / low if low > 0 else np.inf
        values[name], sd[name] = float(value), float(deviation)
        if moved is not None:
            intervals[name] = (float(low), float(high))
    rmse = float(np.sqrt(np.mean(residuals**2)))
    return Fit(values, sd, (float(x[0]), float(x[-1])), len(x), rmse, lag_one(residuals),
               correlated(residuals), intervals, solved.traded)
