"""Log p–h chart to read from: a refrigerant's lines on a page, and states marked by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import LogLocator, MultipleLocator, NullFormatter, StrMethodFormatter

from coldbench.figures import words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import GREY, INK, Style, cooler_styles, house, panels
from coldbench.figures.ph_chart import BAR, KILO, REFERENCE
from coldbench.physics.vapour_chart import Line

FINE, COARSE = 10.0, 50.0  # grid of enthalpy [kJ/kg]
EACH = 20.0  # isotherms of gas that are named [K]
LIGHT = "#d5d5d5"
State = tuple[str, float, float]


def ph_paper(
    fluid: str, reference: str, dome: Line, isotherms: Mapping[float, Line],
    isentropes: Mapping[float, Line], states: Sequence[State] = (), *,
    style: Style | None = None, key: str = "",
) -> Drawn:
    """A chart that enthalpies are read from; of a cycle it knows only what somebody else read.

    Parameters
    ----------
    fluid, reference : str
        Refrigerant, and reference state of all lines.
    dome : Line
        Saturation line.
    isotherms : mapping
        Lines by their temperature. [°C]
    isentropes : mapping
        Lines by their entropy. [kJ/(kg K)]
    states : sequence of (str, float, float)
        Name, enthalpy and pressure of states to mark; drawn as a loop in their order.
        [kJ/kg], [kPa]
    style : Style, optional
        Of the states.
    key : str
        For the file name; the refrigerant if empty.

    Returns
    -------
    Drawn
    """
    style = style or cooler_styles([fluid])[fluid]
    lowest = dome.pressure.min() / BAR
    with house():
        figure, (axes,) = panels([205], left=15, right=3, bottom=13, top=3)
        axes.set_xlim(dome.enthalpy.min() / KILO - FINE,
                      max(line.enthalpy.max() for line in isotherms.values()) / KILO + FINE)
        axes.set_ylim(lowest, max(line.pressure.max() for line in isotherms.values()) / BAR)
        _grid(axes, fluid, reference)
        axes.plot(dome.enthalpy / KILO, dome.pressure / BAR, color=INK, linewidth=1.3,
                  label="saturation")
        for degrees, line in isotherms.items():
            _isotherm(axes, degrees, line, lowest)
        for entropy, line in isentropes.items():
            _isentrope(axes, entropy, line)
        _states(axes, states, style)
    told = f"{REFERENCE[reference]} (reference state {reference})"
    marked = f" The states that were answered are marked: {words.listed(s[0] for s in states)}." \
        if states else ""
    alt = (f"Chart of {fluid} to read from: pressure, logarithmic, upwards, against enthalpy, "
           f"across, with the saturation line, {len(isotherms)} isotherms and {len(isentropes)} "
           f"lines of entropy. {told}.{marked}")
    caption = (f"Log p–h chart of {fluid}: {told}. Thin lines: temperatures [°C]; dashed: entropy "
               f"[kJ/(kg·K)]. A square of the fine grid is {FINE:g} kJ/kg wide.{marked}")
    return Drawn(figure, _data(dome, isotherms, isentropes, states), alt, caption,
                 f"ph-paper-{(key or fluid).lower()}")


def _grid(axes: Axes, fluid: str, reference: str) -> None:
    axes.set_yscale("log")
    axes.yaxis.set_major_locator(LogLocator(subs=(1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)))
    axes.yaxis.set_minor_locator(LogLocator(subs=tuple(n / 5 for n in range(5, 50))))
    axes.yaxis.set_major_formatter(StrMethodFormatter("{x:g}"))
    axes.yaxis.set_minor_formatter(NullFormatter())
    axes.xaxis.set_major_locator(MultipleLocator(COARSE))
    axes.xaxis.set_minor_locator(MultipleLocator(FINE))
    axes.grid(which="minor", color=LIGHT, linewidth=0.3)
    axes.grid(which="major", color=LIGHT, linewidth=0.8)
    axes.tick_params(which="minor", length=0)
    axes.set_xlabel(f"Specific enthalpy of {fluid}, from {reference} [kJ/kg]")
    axes.set_ylabel("Pressure, absolute [bar]")


def _isotherm(axes: Axes, degrees: float, line: Line, lowest: float) -> None:
    axes.plot(line.enthalpy / KILO, line.pressure / BAR, color=GREY, linewidth=0.6,
              label=f"isotherm {degrees:g}")
    text = words.number(degrees, 0)
    level = [n for n in range(len(line.pressure) - 1) if line.pressure[n] == line.pressure[n + 1]]
    if level:
        n = level[0]
        at = line.enthalpy[n] + 0.5 * (line.enthalpy[n + 1] - line.enthalpy[n])
        _label(axes, text, at / KILO, line.pressure[n] / BAR)
    if degrees % EACH == 0:
        _label(axes, text, line.enthalpy[-1] / KILO, 1.04 * lowest)


def _isentrope(axes: Axes, entropy: float, line: Line) -> None:
    axes.plot(line.enthalpy / KILO, line.pressure / BAR, color=GREY, linewidth=0.6,
              linestyle=(0, (5, 3)), label=f"entropy {entropy:g}")
    left, right = axes.get_xlim()
    inside = (line.enthalpy / KILO < right - 0.02 * (right - left)) & (
        line.pressure / BAR < 0.97 * axes.get_ylim()[1])
    if inside.any():
        n = inside.nonzero()[0][-1]
        _label(axes, words.number(entropy, 2), line.enthalpy[n] / KILO, line.pressure[n] / BAR)


def _label(axes: Axes, text: str, x: float, y: float) -> None:
    left, right = axes.get_xlim()
    if not left < x < right:
        return
    axes.annotate(text, (x, y), ha="center", va="center", fontsize=7, color=INK, clip_on=True,
                  bbox={"facecolor": "white", "linewidth": 0, "pad": 0.6})


def _states(axes: Axes, states: Sequence[State], style: Style) -> None:
    if not states:
        return
    across, up = [s[1] for s in states], [s[2] * KILO / BAR for s in states]
    axes.plot([*across, across[0]], [*up, up[0]], color=style.colour, linewidth=1.4, zorder=3,
              marker=style.marker, markersize=6, markerfacecolor="white", markeredgewidth=1.2,
              label="as answered", clip_on=False)
    for (name, *_), x, y in zip(states, across, up, strict=True):
        axes.annotate(name, (x, y), xytext=(7, 7), textcoords="offset points", fontsize=9,
                      color=INK, zorder=5)


def _data(
    dome: Line, isotherms: Mapping[float, Line], isentropes: Mapping[float, Line],
    states: Sequence[State],
) -> pd.DataFrame:
    parts = {"saturation": dome}
    parts |= {f"{words.number(degrees, 0)} °C": line for degrees, line in isotherms.items()}
    parts |= {f"{words.number(entropy, 2)} kJ/(kg·K)": line for entropy, line in isentropes.items()}
    frames = [pd.DataFrame({"line": name, "enthalpy [kJ/kg]": line.enthalpy / KILO,
                            "pressure [bar]": line.pressure / BAR}) for name, line in parts.items()]
    if states:
        frames.append(pd.DataFrame(
            [(f"answered {name}", x, y * KILO / BAR) for name, x, y in states],
            columns=frames[0].columns))
    return pd.concat(frames, ignore_index=True)
