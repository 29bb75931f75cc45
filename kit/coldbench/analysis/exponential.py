"""Exponential courses fitted to a record: with its window, its residuals and its refusals."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from coldbench.quantities import number


class FitRefused(ValueError):
    """The samples do not determine the parameters; the message says why."""


@dataclass(frozen=True)
class Fit:
    """Parameters of a course and how well the samples determine them.

    Parameters
    ----------
    values, sd : dict of str to float
        Parameters and their standard deviations, as if residuals were independent.
        [unit of the samples, or of their times]
    window : (float, float)
        First and last sample. [unit of time]
    samples : int
        Samples in the window.
    rmse : float
        Root mean square of the residuals. [unit of the samples]
    lag_one : float
        Correlation of each residual with the next: near 0 where they are independent. [-]
    """

    values: dict[str, float]
    sd: dict[str, float]
    window: tuple[float, float]
    samples: int
    rmse: float
    lag_one: float

    @property
    def correlated(self) -> bool:
        """Whether neighbouring residuals hang together more than chance lets them."""
        return self.lag_one > 2 / np.sqrt(self.samples)

    def text(self, unit: str = "", time_unit: str = "") -> str:
        """The fit in a sentence, with what must be known beside its numbers.

        Parameters
        ----------
        unit, time_unit : str
            Units of the samples and of their times.
        """
        parts = []
        for name, value in self.values.items():
            sd = self.sd[name]
            shown = f"{name} {number(value, _decimals(sd))} ± {number(sd, _decimals(sd))}"
            parts.append(f"{shown} {time_unit if name.endswith('time constant') else unit}".strip())
        first, last = (number(t, _decimals(self.window[1] / 10)) for t in self.window)
        rmse = f"{number(self.rmse, _decimals(self.rmse))} {unit}".strip()
        said = (
            f"{', '.join(parts)} (± one standard deviation); fitted to {self.samples} samples "
            f"from {first} to {last} {time_unit}".strip() + ", another window gives other values; "
            f"residuals {rmse} RMS, lag-one correlation {number(self.lag_one, 2)}"
        )
        if self.correlated:
            said += ": they are not independent, and these standard deviations are too small"
        return said


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
        record that is shorter than one time constant.

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
    if end is None and since[-1] < fit.values["time constant"]:
        raise FitRefused(
            f"the samples span {since[-1]:.3g}, less than one time constant "
            f"({fit.values['time constant']:.3g}): the end level cannot be told; state it or "
            "record for longer"
        )
    return fit


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
        As :func:`fit_decay`, by the slow time constant.

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
    solved = Solved(solved.values[order], solved.sd[order], solved.residuals)
    names = ("end", "slow amplitude", "slow time constant", "fast amplitude", "fast time constant")
    fit = _reported(x, names, solved, rates=("slow time constant", "fast time constant"))
    if since[-1] < fit.values["slow time constant"]:
        raise FitRefused("the samples span less than the slow time constant; record for longer")
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
    """Values and standard deviations, shape (m,), and residuals, shape (n,). [any]"""

    values: np.ndarray
    sd: np.ndarray
    residuals: np.ndarray


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
    return Solved(values, sd, y - form(x, *values))


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
    values, sd = {}, {}
    for name, value, deviation in zip(names, solved.values, solved.sd, strict=True):
        if name in rates:
            if value <= 0:
                raise FitRefused("the samples do not settle: the course found runs away")
            value, deviation = 1 / value, deviation / value**2
        values[name], sd[name] = float(value), float(deviation)
    residuals = solved.residuals
    total = float(residuals @ residuals)
    lag_one = float(residuals[1:] @ residuals[:-1]) / total if total > 0 else 0.0
    rmse = np.sqrt(total / len(residuals))
    return Fit(values, sd, (float(x[0]), float(x[-1])), len(x), float(rmse), lag_one)


def _decimals(size: float) -> int:
    """Decimals that keep two figures of a size."""
    return max(0, 1 - int(np.floor(np.log10(size)))) if np.isfinite(size) and size > 0 else 0
