"""A compressor unit as its cooler showed it: heat taken and power while running, over temperatures.

Both are smooth and of low order. Everything broadcasts: 4 000 draws of one unit, or one unit in
100 000 boxes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.design.held import Held

REFERENCE_INSIDE = 0.0  # [°C]
REFERENCE_AMBIENT = 25.0  # [°C]
LOWEST = -60.0  # no inside is looked for below [°C]
HALVINGS = 24  # of the way from there to the ambient: a hundred-thousandth of a kelvin


@dataclass(frozen=True)
class Law:
    """A quantity whose logarithm bends gently over inside and ambient.

    ``ln(value) = level + slope x + bend x² + ambient (Ta − 25 °C)``, x the inside in °C. The vapour
    that a compressor draws thins out by about the same share each kelvin, hence the logarithm.

    Parameters
    ----------
    level : array_like
        Logarithm of the watts at 0 °C inside and 25 °C ambient. [-]
    slope : array_like
        [1/K]
    bend : array_like
        [1/K²]
    ambient : array_like
        [1/K]

    References
    ----------
    .. [1] The form is this kit's own.
    """

    level: ArrayLike
    slope: ArrayLike
    bend: ArrayLike
    ambient: ArrayLike

    def at(self, inside: ArrayLike, ambient: ArrayLike, rises: bool = False) -> np.ndarray:
        """The quantity.

        Parameters
        ----------
        inside, ambient : array_like
            [°C]
        rises : bool
            It never falls as the inside gets warmer: past its turning point it stays as it is
            there.

        Returns
        -------
        ndarray
            [W]
        """
        slope, bend = np.asarray(self.slope, float), np.asarray(self.bend, float)
        x = np.asarray(inside, float) - REFERENCE_INSIDE
        if rises:
            with np.errstate(divide="ignore", invalid="ignore"):
                turn = -slope / (2 * bend)
            x = np.where(bend < 0, np.minimum(x, turn), np.where(bend > 0, np.maximum(x, turn), x))
        apart = np.asarray(ambient, float) - REFERENCE_AMBIENT
        return np.exp(self.level + x * (slope + bend * x) + self.ambient * apart)


@dataclass(frozen=True)
class CompressorUnit:
    """A sealed unit with its plate, moved whole or left where it is.

    Parameters
    ----------
    taken, drawn : Law
        Net heat taken from the inside air and electrical power of everything the cooler draws,
        while it runs without a break.
    idle : array_like
        Power while it rests. [W]
    starts_taken, starts_drawn : array_like
        Share by which both are larger while it cycles with ever shorter spells; at a duty d it is
        that share of (1 − d). Each start finds an evaporator that has warmed up. [-]
    place : array_like
        Air at the plate, warmer than it was in the donor's box at the same mean inside. [K]

    References
    ----------
    .. [1] This kit's own definitions; ``running_capacity`` is a unit's heat while it runs, never
       its mean over cycles.
    """

    taken: Law
    drawn: Law
    idle: ArrayLike
    starts_taken: ArrayLike = 0.0
    starts_drawn: ArrayLike = 0.0
    place: ArrayLike = 0.0

    def capacity(self, inside: ArrayLike, ambient: ArrayLike) -> np.ndarray:
        """Most net heat it takes from the inside air, running without a break.

        Parameters
        ----------
        inside, ambient : array_like
            [°C]

        Returns
        -------
        ndarray
            [W]
        """
        return self.taken.at(np.asarray(inside) + self.place, ambient, rises=True)

    def power(self, inside: ArrayLike, ambient: ArrayLike) -> np.ndarray:
        """Electrical power of everything the cooler draws then.

        Parameters
        ----------
        inside, ambient : array_like
            [°C]

        Returns
        -------
        ndarray
            [W]
        """
        return self.drawn.at(np.asarray(inside) + self.place, ambient)

    def hold(self, inside: ArrayLike, ambient: ArrayLike, heat: ArrayLike) -> Held:
        """Mean power and duty while a thermostat holds the inside.

        Parameters
        ----------
        inside, ambient : array_like
            [°C]
        heat : array_like
            To be taken, on the mean. [W]

        Returns
        -------
        Held
            NaN where it cannot take the heat.

        Notes
        -----
        ``heat = d C (1 + s (1 − d))`` is solved for the duty d, with the capacity C of unbroken
        running and the share s that starts add.

        Examples
        --------
        >>> law = Law(level=np.log(40.0), slope=0.03, bend=0.0, ambient=-0.01)
        >>> unit = CompressorUnit(law, Law(np.log(50.0), 0.01, 0.0, 0.01), idle=1.5)
        >>> held = unit.hold(0.0, 25.0, [10.0, 50.0])
        >>> held.duty.tolist(), held.power.round(2).tolist()
        ([0.25, nan], [13.62, nan])
        """
        share = np.maximum(heat, 0.0) / self.capacity(inside, ambient)
        more = 1 + np.asarray(self.starts_taken, float)
        share = np.where(share <= 1, share, np.nan)
        duty = 2 * share / (more + np.sqrt(more**2 - 4 * (more - 1) * share))
        running = self.power(inside, ambient) * (1 + self.starts_drawn * (1 - duty))
        power = self.idle + (running - self.idle) * duty
        return Held(power, duty, np.full(np.shape(power), np.nan))

    def coldest(self, leak: ArrayLike, ambient: ArrayLike, extra: ArrayLike = 0.0) -> np.ndarray:
        """Inside temperature at which it takes just what comes in, running without a break.

        Parameters
        ----------
        leak : array_like
            Heat leak of the walls. [W/K]
        ambient : array_like
            [°C]
        extra : array_like
            Heat that comes in besides. [W]

        Returns
        -------
        ndarray
            Never below −60 °C. [°C]

        Examples
        --------
        >>> law = Law(level=np.log(20.0), slope=0.03, bend=0.0, ambient=0.0)
        >>> unit = CompressorUnit(law, law, idle=1.5)
        >>> float(unit.coldest(0.8, 25.0).round(6))  # 0.8 W/K over 25 K are 20 W
        0.0
        """
        shape = np.broadcast_shapes(*map(np.shape, (
            leak, ambient, extra, self.taken.level, self.taken.slope, self.taken.bend,
            self.taken.ambient, self.place)))
        low = np.full(shape, LOWEST)
        step = (np.asarray(ambient, float) - LOWEST) / 2
        # Heat that is taken rises with the inside, heat that comes in falls: they meet once.
        for _ in range(HALVINGS):
            middle = low + step
            short = self.capacity(middle, ambient) < leak * (ambient - middle) + extra
            low = np.where(short, middle, low)
            step = step / 2
        return low + step
