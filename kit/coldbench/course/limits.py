"""Limits and assumptions of the lab cards, in one place."""

from __future__ import annotations

from dataclasses import dataclass

from coldbench.analysis.limits import limit


@dataclass(frozen=True)
class CardLimits:
    """Defaults of the cards, each this kit's own unless a source stands beside it."""

    air_pressure: float = limit(101.325, "Lab card: air pressure, where not stated", "kPa")
    air_pressure_limit: float = limit(4.0, "… its limit near sea level, assumed", "kPa")
    two_phase_surface: float = limit(2.0, "… a taped surface differs from what boils by", "K")
    module_sample: float = limit(0.10, "… a module differs from its data sheet by", "-")
    chart_enthalpy: float = limit(3.0, "… an enthalpy read from a printed chart is off by",
                                   "kJ/kg")
    chart_time: float = limit(120.0, "… a time read from a printed curve is off by", "s")
    plateau_read: float = limit(0.2, "… a plateau's level read from it is off by", "K")
    heat_leak_stated: float = limit(0.05, "… a stated heat leak is off by, assumed", "-")
    pencil: float = limit(0.03, "… sums from a table and by hand agree within", "-")
    simulated: float = limit(0.08, "… an interval by some thousand draws agrees within", "-")


CARDS = CardLimits()
