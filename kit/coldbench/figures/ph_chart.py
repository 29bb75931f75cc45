"""Log p–h chart: the refrigerant's dome and isotherms, and a cycle through its four states."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import LogLocator, NullFormatter, StrMethodFormatter

from coldbench.figures import words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import GREY, INK, Style, cooler_styles, house, panels
from coldbench.physics.vapour import Cycle
from coldbench.physics.vapour_chart import Line

BAR, KILO = 1e5, 1e3
# Where a state's number stands beside its point, in points of the page.
BESIDE = ((8, -8), (8, 5), (-8, 5), (-8, -8))
REFERENCE = {
    "IIR": "200 kJ/kg for saturated liquid at 0 °C",
    "ASHRAE": "zero for saturated liquid at \u221240 °C",
    "NBP": "zero for saturated liquid at the normal boiling point",
}


def ph_chart(
    cycle: Cycle, dome: Line, isotherms: Mapping[float, Line], *, style: Style | None = None,
    name: str = "", key: str = "",
) -> Drawn:
    """A cycle on the log p–h chart of its refrigerant.

    Parameters
    ----------
    cycle : Cycle
        One cycle: its states are numbers, not arrays.
    dome : Line
        Of the same refrigerant and reference state.
    isotherms : mapping
        Lines by their temperature. [°C]
    style : Style, optional
        Style of the cooler.
    name : str
        Name of the cooler, for the words.
    key : str
        Its id, for the file name; the refrigerant if empty.

    Returns
    -------
    Drawn

    Raises
    ------
    ValueError
        The cycle holds arrays.
    """
    if np.ndim(cycle.cop):
        raise ValueError("a chart shows one cycle, not an array of them")
    style = style or cooler_styles([cycle.fluid])[cycle.fluid]
    name = " ".join(name.splitlines())
    around = _loop(cycle)
    with house():
        figure, (axes,) = panels([98], left=16, bottom=13)
        _frame(axes, cycle, dome, around)
        axes.plot(dome.enthalpy / KILO, dome.pressure / BAR, color=INK, linewidth=1.1,
                  label="saturation")
        for degrees, line in isotherms.items():
            _isotherm(axes, degrees, line)
        axes.plot(around.enthalpy / KILO, around.pressure / BAR, color=style.colour,
                  linewidth=1.8, zorder=3, label="cycle")
        _states(axes, cycle, style)
    parts = {"saturation": dome, "cycle": around}
    parts |= {f"{words.number(degrees, 0)} °C": line for degrees, line in isotherms.items()}
    data = pd.concat([
        pd.DataFrame({"line": part, "enthalpy [kJ/kg]": line.enthalpy / KILO,
                      "pressure [bar]": line.pressure / BAR})
        for part, line in parts.items()
    ], ignore_index=True)
    reference = f"Reference state {cycle.reference}: {REFERENCE[cycle.reference]}."
    numbers = _numbers(cycle)
    told = f"Cycle of {name} with {cycle.fluid}" if name else f"Cycle of {cycle.fluid}"
    alt = (f"Pressure, logarithmic, upwards, against enthalpy, across, with the saturation line "
           f"and {len(isotherms)} isotherms. {told}: {_state_words(cycle)} {numbers} {reference}")
    caption = (f"{told}: 1 suction, 2 discharge, 3 liquid before the "
               f"throttle, 4 behind it; 1 to 2 is drawn straight. {numbers} {reference}")
    return Drawn(figure, data, alt, caption, f"ph-chart-{(key or cycle.fluid).lower()}")


def _loop(cycle: Cycle) -> Line:
    """States 1, 2, 3, 4 and 1 again."""
    states = (*cycle.states, cycle.states[0])
    return Line(np.array([float(s.pressure) for s in states]),
                np.array([float(s.enthalpy) for s in states]))


def _frame(axes: Axes, cycle: Cycle, dome: Line, around: Line) -> None:
    enthalpy = np.concatenate([dome.enthalpy, around.enthalpy]) / KILO
    room = 0.06 * np.ptp(enthalpy)
    axes.set_xlim(enthalpy.min() - room, enthalpy.max() + room)
    axes.set_yscale("log")
    axes.set_ylim(0.7 * dome.pressure.min() / BAR, 1.4 * dome.pressure.max() / BAR)
    axes.yaxis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
    axes.yaxis.set_major_formatter(StrMethodFormatter("{x:g}"))
    axes.yaxis.set_minor_formatter(NullFormatter())
    axes.set_xlabel(f"Specific enthalpy of {cycle.fluid}, from {cycle.reference} [kJ/kg]")
    axes.set_ylabel("Pressure, absolute [bar]")


def _isotherm(axes: Axes, degrees: float, line: Line) -> None:
    """A thin line, its temperature on the level stretch or, past the dome, at its upper end."""
    axes.plot(line.enthalpy / KILO, line.pressure / BAR, color=GREY, linewidth=0.6,
              label=f"isotherm {degrees:g}")
    level = np.flatnonzero(np.diff(line.pressure) == 0)
    if level.size:
        left, right = line.enthalpy[level[0]], line.enthalpy[level[0] + 1]
        at = (left + 0.3 * (right - left), line.pressure[level[0]])
    else:
        at = (line.enthalpy[0], line.pressure[0])
    axes.annotate(
        f"{words.number(degrees, 0)} °C", (at[0] / KILO, at[1] / BAR), ha="center", va="center",
        fontsize=7, color=GREY, clip_on=True,
        bbox={"facecolor": "white", "linewidth": 0, "pad": 0.8},
    )


def _states(axes: Axes, cycle: Cycle, style: Style) -> None:
    for n, (state, beside) in enumerate(zip(cycle.states, BESIDE, strict=True), start=1):
        point = (float(state.enthalpy) / KILO, float(state.pressure) / BAR)
        axes.plot(*point, marker=style.marker, markersize=6, color=style.colour, zorder=4,
                  markerfacecolor="white", markeredgewidth=1.3, label=f"state {n}")
        axes.annotate(str(n), point, xytext=beside, textcoords="offset points", ha="center",
                      va="center", fontsize=9, color=INK, zorder=5)


def _state_words(cycle: Cycle) -> str:
    told = (f"state {n} at {words.number(float(s.pressure) / BAR, 2)} bar, "
            f"{words.number(float(s.temperature) - 273.15, 1)} °C and "
            f"{words.number(float(s.enthalpy) / KILO, 1)} kJ/kg"
            for n, s in enumerate(cycle.states, start=1))
    return f"{'; '.join(told)}."


def _numbers(cycle: Cycle) -> str:
    return (f"COP {words.number(float(cycle.cop), 2)}; cooling "
            f"{words.number(float(cycle.cooling) / KILO, 0)} kJ/kg and "
            f"{words.number(float(cycle.volumetric) / KILO, 0)} kJ/m³ of suction gas; discharge at "
            f"{words.number(float(cycle.states[1].temperature) - 273.15, 0)} °C.")
