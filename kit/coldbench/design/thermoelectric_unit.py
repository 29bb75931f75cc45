"""A thermoelectric machine as a design sees it: what it takes at full drive, and what it draws.

Everything broadcasts: the same functions run on draws and on many candidates. The three states
asked for (full volts, a wanted heat, the coldest box) have closed forms or a cubic; they are those
of :mod:`coldbench.physics.thermoelectric_drive`, without its search for the current.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from coldbench.design.held import Held
from coldbench.design.thermoelectric_switched import mean_spells, settled_spells
from coldbench.design.thermoelectric_volts import Faces, at_heat, at_volts
from coldbench.physics.thermoelectric import Module
from coldbench.physics.thermoelectric_box import bridge
from coldbench.physics.thermoelectric_drive import Sides

KELVIN = 273.15
Driven = Literal["steady", "switched"]


@dataclass(frozen=True)
class ThermoelectricUnit:
    """Modules between a cold and a hot side, their fans, and how they are driven.

    Attributes
    ----------
    module : Module
        All modules as one, see :func:`coldbench.physics.thermoelectric_box.array_of`.
    volts : array_like
        At the leads of that array, at full drive. [V]
    r_cold, r_hot : array_like
        From inside air to cold faces, from hot faces to ambient, fans running. [K/W]
    auxiliary : array_like
        Drawn beside the modules while they run: fans, pump, controller. [W]
    idle : array_like
        Drawn while they rest. [W]
    fan_inside : array_like
        Heat that a fan gives off inside, all the time. [W]
    r_still : array_like or None
        From hot faces to ambient while the modules rest, never below ``r_hot``. None: as
        ``r_hot``, fans running on, which lets the most heat back in. [K/W]
    driven : {"steady", "switched"}
        How a setting is held: volts lowered until it just holds, or full volts on and off.
    quick : array_like
        Of a switched machine, 0 to 1: 0 where the sinks settle within each spell, 1 where they
        stay at their means. [-]
    efficiency : array_like
        Of what sets the modules' volts. [-]
    """

    module: Module
    volts: ArrayLike
    r_cold: ArrayLike
    r_hot: ArrayLike
    auxiliary: ArrayLike = 0.0
    idle: ArrayLike = 0.0
    fan_inside: ArrayLike = 0.0
    r_still: ArrayLike | None = None
    driven: Driven = "switched"
    quick: ArrayLike = 0.75
    efficiency: ArrayLike = 1.0

    def capacity(self, inside: ArrayLike, ambient: ArrayLike) -> np.ndarray:
        """Net heat taken from the inside air at full drive without a break.

        Parameters
        ----------
        inside, ambient : array_like
            [°C]

        Returns
        -------
        ndarray
            The heat of a fan inside is taken off. [W]

        References
        ----------
        .. [1] :func:`coldbench.design.thermoelectric_volts.at_volts`.

        Examples
        --------
        >>> unit = ThermoelectricUnit(Module(0.05133, 1.985, 0.5254), 8.0, 0.3, 0.5)
        >>> float(unit.capacity(5.0, 25.0).round(2)), float(unit.power(5.0, 25.0).round(2))
        (11.52, 23.74)
        """
        return self._full(inside, ambient).cooling - self.fan_inside

    def power(self, inside: ArrayLike, ambient: ArrayLike) -> np.ndarray:
        """Electrical power at full drive without a break, all that the cooler draws.

        Parameters
        ----------
        inside, ambient : array_like
            [°C]

        Returns
        -------
        ndarray
            [W]

        References
        ----------
        .. [1] As :meth:`capacity`.
        """
        return self._full(inside, ambient).power / self.efficiency + self.auxiliary

    def current(self, inside: ArrayLike, ambient: ArrayLike) -> np.ndarray:
        """Current through the leads of all modules at full drive.

        Parameters
        ----------
        inside, ambient : array_like
            [°C]

        Returns
        -------
        ndarray
            [A]

        References
        ----------
        .. [1] As :meth:`capacity`.
        """
        return self._full(inside, ambient).current

    def coldest(
        self, leak: ArrayLike, ambient: ArrayLike, extra: ArrayLike = 0.0
    ) -> np.ndarray:
        """Inside air at full drive, held against the walls.

        Parameters
        ----------
        leak : array_like
            Of the walls. [W/K]
        ambient : array_like
            [°C]
        extra : array_like
            Heat that comes in besides. [W]

        Returns
        -------
        ndarray
            [°C]

        References
        ----------
        .. [1] :func:`coldbench.physics.thermoelectric_box.box_as_side`: the walls are one more
           resistance on the cold side, towards an ambient raised by what heats the inside.

        Examples
        --------
        >>> from coldbench.physics.thermoelectric import module_from_sheet
        >>> module = module_from_sheet(6.4, 16.4, 68.0, 300.0)
        >>> unit = ThermoelectricUnit(module, 12.0, 0.3, 0.25)
        >>> float(unit.coldest(0.55, 25.0).round(1))
        -3.4
        """
        walls = 1 / np.asarray(leak, float)
        warmed = np.asarray(ambient) + (self.fan_inside + np.asarray(extra)) * walls
        sides = Sides(warmed + KELVIN, np.asarray(ambient) + KELVIN,
                      np.asarray(self.r_cold) + walls, self.r_hot)
        found = at_volts(self.module, self.volts, sides)
        return found.t_cold + found.cooling * self.r_cold - KELVIN

    def hold(self, inside: ArrayLike, ambient: ArrayLike, heat: ArrayLike) -> Held:
        """Power that holds an inside against a heat.

        Parameters
        ----------
        inside, ambient : array_like
            [°C]
        heat : array_like
            Comes in through walls and otherwise; a fan inside is added here. [W]

        Returns
        -------
        Held

        References
        ----------
        .. [1] Steady: :func:`coldbench.design.thermoelectric_volts.at_heat`. Switched: the heat
           balance of whole cycles, in which a resting machine lets ``bridge × (ambient −
           inside)`` back in; this kit's own.

        Examples
        --------
        >>> unit = ThermoelectricUnit(Module(0.05133, 1.985, 0.5254), 8.0, 0.3, 0.5, r_still=1.6)
        >>> held = unit.hold(5.0, 25.0, 8.0)
        >>> float(held.duty.round(2)), float(held.power.round(1))
        (0.82, 19.9)
        """
        if self.driven == "steady":
            return self._steady(inside, ambient, heat)
        return self._switched(inside, ambient, heat)

    def rearranged(self, series: ArrayLike, parallel: ArrayLike) -> ThermoelectricUnit:
        """The same with more or fewer of its modules, between the same plates, at the same volts.

        Parameters
        ----------
        series, parallel : array_like
            Modules in a string, and strings, over what they are now. [-]

        Returns
        -------
        ThermoelectricUnit
            Both sides' resistances stay: all modules share them.

        References
        ----------
        .. [1] :func:`coldbench.physics.thermoelectric_box.array_of`, as ratios.

        Examples
        --------
        >>> unit = ThermoelectricUnit(Module(0.1, 4.0, 1.0), 12.0, 0.3, 0.2)
        >>> unit.rearranged(series=0.5, parallel=2.0).module
        Module(seebeck=0.05, resistance=1.0, conductance=1.0)
        """
        module = Module(self.module.seebeck * series, self.module.resistance * series / parallel,
                        self.module.conductance * series * parallel)
        return replace(self, module=module)

    def _steady(self, inside: ArrayLike, ambient: ArrayLike, heat: ArrayLike) -> Held:
        wanted = np.asarray(heat, float) + self.fan_inside
        found = at_heat(self.module, wanted, self._sides(inside, ambient))
        enough = found.volts <= self.volts
        power = found.power / self.efficiency + self.auxiliary
        # Nothing to take beyond what already flows out: the modules rest.
        rests = found.current == 0
        power = np.where(rests, self.idle, power)
        duty = np.where(rests, 0.0, 1.0)
        return Held(*(np.where(enough, one, np.nan) for one in (power, duty, found.volts)))

    def _switched(self, inside: ArrayLike, ambient: ArrayLike, heat: ArrayLike) -> Held:
        sides, full = self._sides(inside, ambient), self._full(inside, ambient)
        wanted = np.asarray(heat, float) + self.fan_inside
        back = self.bridge * (sides.t_ambient - sides.t_inside)
        slow = settled_spells(full.cooling, full.power, back, wanted)
        fast = mean_spells(self.module, self.volts, sides, self._r_still, wanted)
        duty = slow.duty + self.quick * (fast.duty - slow.duty)
        running = slow.power + self.quick * (fast.power - slow.power)
        duty = np.where(slow.duty <= 1, np.maximum(duty, 0.0), np.nan)
        on = running / self.efficiency + self.auxiliary
        power = duty * on + (1 - duty) * np.asarray(self.idle)
        return Held(power, duty, np.where(np.isnan(duty), np.nan, self.volts))

    @property
    def bridge(self) -> np.ndarray:
        """Heat let back in while the modules rest, for each kelvin. [W/K]"""
        return bridge(self.module, self.r_cold, self._r_still)

    @property
    def _r_still(self) -> ArrayLike:
        return self.r_hot if self.r_still is None else np.maximum(self.r_still, self.r_hot)

    def _full(self, inside: ArrayLike, ambient: ArrayLike) -> Faces:
        return at_volts(self.module, self.volts, self._sides(inside, ambient))

    def _sides(self, inside: ArrayLike, ambient: ArrayLike) -> Sides:
        return Sides(np.asarray(inside, float) + KELVIN, np.asarray(ambient, float) + KELVIN,
                     self.r_cold, self.r_hot)
