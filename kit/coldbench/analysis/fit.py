"""What a fit says of itself: window, residuals, and whether its parameters can be told apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench.analysis.limits import LIMITS
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
    correlated : bool
        Whether neighbouring residuals hang together more than chance lets them.
    intervals : dict of str to (float, float)
        95 % intervals from blocks of residuals; infinite where an end is open, empty where the
        residuals wander so much that the samples tell none. [as values]
    traded : float
        Largest correlation between two parameters: near 1, one stands in for the other. [-]
    """

    values: dict[str, float]
    sd: dict[str, float]
    window: tuple[float, float]
    samples: int
    rmse: float
    lag_one: float
    correlated: bool
    intervals: dict[str, tuple[float, float]]
    traded: float

    @property
    def told_apart(self) -> bool:
        """Whether no parameter can stand in for another."""
        return self.traded < LIMITS.told_apart

    def text(self, unit: str = "", time_unit: str = "") -> str:
        """The fit in a sentence, with what must be known beside its numbers.

        Parameters
        ----------
        unit, time_unit : str
            Units of the samples and of their times.
        """
        parts = [self._parameter(name, unit, time_unit) for name in self.values]
        first, last = (number(t, _decimals(self.window[1] / 10)) for t in self.window)
        rmse = f"{number(self.rmse, _decimals(self.rmse))} {unit}".strip()
        said = (
            f"{', '.join(parts)} (95 % intervals from blocks of residuals); fitted to "
            f"{self.samples} samples from {first} to {last} {time_unit}".strip()
            + ", another window gives other values; "
            f"residuals {rmse} RMS, lag-one correlation {number(self.lag_one, 2)}"
        )
        if self.correlated:
            said += ": they are not independent, so the course is not quite of this form"
        apart = "can be told apart" if self.told_apart else "cannot be told apart"
        return f"{said}; parameters {apart} (largest correlation {number(self.traded, 3)})"

    def _parameter(self, name: str, unit: str, time_unit: str) -> str:
        unit = time_unit if name.endswith("time constant") else unit
        if name not in self.intervals:
            shown = number(self.values[name], _decimals(self.sd[name]))
            return f"{name} {shown} {unit}".strip() + " without an interval"
        low, high = self.intervals[name]
        decimals = _decimals((high - low) / 2)
        ends = [number(end, decimals) if np.isfinite(end) else "open" for end in (low, high)]
        return f"{name} {number(self.values[name], decimals)} {unit}".strip() + (
            f" [{ends[0]}, {ends[1]}]")


def _decimals(size: float) -> int:
    """Decimals that keep two figures of a size."""
    return max(0, 1 - int(np.floor(np.log10(size)))) if np.isfinite(size) and size > 0 else 0
