"""What a fit of a cooler's machine gives, and the runs it was held against."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coldbench.design.limits import DESIGN


@dataclass(frozen=True)
class Check:
    """One run, predicted by a fit that had not seen it.

    Parameters
    ----------
    runs : tuple of str
        Which.
    what, unit : str
        ``mean power``, ``W`` …
    inside, ambient : float
        Of the run. [°C]
    measured : float
        [unit]
    predicted, low, high : float
        With its 95 % interval, in which is also what the run itself leaves open and what differs
        from run to run. [unit]
    """

    runs: tuple[str, ...]
    what: str
    unit: str
    inside: float
    ambient: float
    measured: float
    predicted: float
    low: float
    high: float

    @property
    def agrees(self) -> bool:
        """Whether the measured value lies in the interval."""
        return self.low <= self.measured <= self.high

    @property
    def apart(self) -> float:
        """Predicted over measured, less one; of temperatures their difference. [-], [K]"""
        if self.unit == "°C":
            return self.predicted - self.measured
        return self.predicted / self.measured - 1

    @property
    def misses(self) -> bool:
        """Whether the prediction is off beyond its interval, and by so much that none is made."""
        limit = DESIGN.unit_misses_inside if self.unit == "°C" else DESIGN.unit_misses
        return not self.agrees and abs(self.apart) > limit


@dataclass(frozen=True)
class Fitted:
    """A machine fitted to a cooler's own runs, or why it was not.

    Parameters
    ----------
    cooler : str
        Its id.
    unit : CompressorUnit, ThermoelectricUnit or None
        Its constants are draws, shape (4000,); None where nothing is predicted.
    central : as unit
        The same from the values as they stand, scalars.
    runs : tuple of str
        What it was fitted to.
    checks : tuple of Check
        What it was held against.
    refused : str
        Why nothing is predicted, in words that follow the cooler's name; empty where it is.
    note : str
        What was assumed.
    seen : tuple of float
        Lowest and highest inside that the runs show. [°C]
    metered_at : str
        Where its power was metered.
    warmest : float
        Warmest ambient that the runs show. [°C]
    points : tuple of Point
        Of a compressor unit: what it was fitted to.
    """

    cooler: str
    unit: Any = None
    central: Any = None
    runs: tuple[str, ...] = ()
    checks: tuple[Check, ...] = ()
    refused: str = ""
    note: str = ""
    seen: tuple[float, float] = (float("nan"), float("nan"))
    metered_at: str = ""
    warmest: float = float("nan")
    points: tuple[Any, ...] = ()
