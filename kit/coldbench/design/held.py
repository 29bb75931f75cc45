"""What holding an inside takes, whatever holds it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Held:
    """What a machine draws while it holds an inside against a heat; NaN where it cannot.

    Attributes
    ----------
    power : ndarray
        Mean of everything the cooler draws. [W]
    duty : ndarray
        Share of the time in which it runs. [-]
    volts : ndarray
        At the modules while they run; NaN of a machine that is not driven by its voltage. [V]
    """

    power: np.ndarray
    duty: np.ndarray
    volts: np.ndarray
