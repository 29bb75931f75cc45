"""The chart that students read enthalpies from: which lines it has, and how far it reaches."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coldbench.figures import Drawn, Style
from coldbench.figures.ph_paper import ph_paper
from coldbench.physics.refrigerant import critical_temperature, props, reference_state
from coldbench.physics.vapour_chart import dome, isentrope, isotherm

KELVIN = 273.15
REFERENCE = "IIR"
COLDEST, CONDENSING, HOTTEST = -40.0, 75.0, 130.0  # of the chart [°C]
ENTROPY = (25.0, 50.0, 100.0, 200.0)  # between its lines, so that they are few [J/(kg K)]


def paper(
    fluid: str, states: Sequence[tuple[str, float, float]] = (), style: Style | None = None,
    key: str = "",
) -> Drawn:
    """A refrigerant's log p–h chart to read from, over the range of small machines.

    Parameters
    ----------
    fluid : str
        A pure refrigerant as CoolProp names it.
    states : sequence of (str, float, float)
        Name, enthalpy and pressure of what is marked. [kJ/kg], [kPa]
    style : Style, optional
        Of what is marked.
    key : str
        For the file name.

    Returns
    -------
    Drawn
    """
    saturation = dome(fluid, COLDEST + KELVIN, REFERENCE)
    top = min(CONDENSING + KELVIN, 0.97 * critical_temperature(fluid))
    least, most = saturation.pressure.min(), float(props("P", "T", top, "Q", 0.0, fluid))
    isotherms = {t: isotherm(fluid, t + KELVIN, least, most, REFERENCE)
                 for t in np.arange(COLDEST + 10, HOTTEST + 1, 10.0)}
    _, ground = reference_state(fluid, REFERENCE)
    first, last = (float(props("S", "P", p, "T", t + KELVIN, fluid)) - ground
                   for p, t in ((most, top - KELVIN + 1), (least, HOTTEST)))
    step = next(step for step in ENTROPY if last - first < 16 * step)
    entropies = np.arange(np.ceil(first / step), last / step) * step
    isentropes = {s / 1e3: isentrope(fluid, s, least, most, REFERENCE) for s in entropies}
    return ph_paper(fluid, REFERENCE, saturation, isotherms, isentropes, states, style=style,
                    key=key)
