"""A thermoelectric machine over the volts of its modules: cold, heat, COP and energy."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from coldbench.design.drive import COLDEST, COP, DAY, HEAT, JUST, TODAY, Band, DriveMap, Mark
from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import COLOURS, GREY, INK, MM, house, panels, text_width

SHARE = 0.18  # how dark a band is
MAIN = {"color": COLOURS[0]}
HELD = {"color": COLOURS[1], "linestyle": (0, (6, 2))}
ELSEWHERE = ({"color": COLOURS[2], "linestyle": (0, (5, 1.5, 1, 1.5))},
             {"color": COLOURS[4], "linestyle": (0, (2, 1.2))},
             {"color": COLOURS[5], "linestyle": (0, (9, 2, 2, 2))})
DOT = {"color": INK, "linestyle": "none", "marker": "D", "markersize": 4}
HEIGHTS = (52, 28, 28, 40)  # [mm]
WHOLE = "without a break"
NEAR = 0.8  # marks closer than that share a name [mm]


def drive_map(found: DriveMap, name: str = "") -> Drawn:
    """Coldest inside, heat, COP and energy a day over the voltage of the modules.

    Parameters
    ----------
    found : DriveMap
        A fitted machine in its box.
    name : str
        What the build is called, for the words beside the figure.

    Returns
    -------
    Drawn
    """
    holding = f"holding {labels.degrees(found.inside)}"
    ambients = {f"at {labels.degrees(at)} ambient": look for at, look in
                zip(found.elsewhere, ELSEWHERE, strict=False)}
    main = f"at {labels.degrees(found.ambient)} ambient"
    with house():
        figure, (cold, heat, cop, energy) = panels(HEIGHTS, left=20, top=12)
        labels.make_room(cold, [main, *ambients, f"wanted {labels.degrees(found.inside)}",
                                WHOLE, f"{holding}, switched"])
        cold.set_xlim(found.volts[0], found.volts[-1])
        _band(cold, found.volts, found.coldest, MAIN)
        for (text, look), y in zip(ambients.items(), found.elsewhere.values(), strict=False):
            cold.plot(found.volts, y, label=text, **look)
        cold.axhline(found.inside, zorder=0.9, **labels.TARGET)
        _band(heat, found.volts, found.heat, MAIN)
        _from_nothing(heat, found.heat)
        _band(cop, found.volts, found.cop, MAIN)
        _from_nothing(cop, found.cop)
        _band(energy, found.volts, _times(found.power, DAY), MAIN)
        _band(energy, found.volts, found.daily, HELD)
        energy.set_ylim(0, _top(found))
        _titles(found, cold, heat, cop, energy)
        _marks(found, (cold, heat, cop, energy))
        looks = [MAIN, *ambients.values()]
        ends = [found.coldest.value[-1], *(y[-1] for y in found.elsewhere.values())]
        entries = [labels.Entry(text, float(y), look) for text, y, look in
                   zip([main, *ambients], ends, looks, strict=False)]
        entries.append(labels.Entry(f"wanted {labels.degrees(found.inside)}", found.inside,
                                    labels.TARGET))
        labels.end_labels(cold, entries)
        labels.end_labels(energy, _energy_entries(found, holding))
    return Drawn(figure, _data(found), _alt(found, name), _caption(found), "drive-map")


def _band(axes: Axes, x: np.ndarray, band: Band, look: dict[str, object]) -> None:
    axes.plot(x, band.value, **look)
    axes.fill_between(x, band.low, band.high, color=look["color"], alpha=SHARE, linewidth=0,
                      label="95 % band")


def _from_nothing(axes: Axes, band: Band) -> None:
    """What is taken counts from nothing; that heat flows in on low volts needs no room."""
    axes.set_ylim(0, 1.1 * max(float(np.nanmax(band.high)), 1e-3))


def _times(band: Band, factor: float) -> Band:
    return Band(factor * band.value, factor * band.low, factor * band.high)


def _top(found: DriveMap) -> float:
    """Holding stays readable: running without a break far past today may leave the panel."""
    today = found.mark(TODAY)
    wanted = [2.2 * DAY * today.power, 1.1 * float(np.nanmin(found.power.high)) * DAY]
    if np.isfinite(found.daily.high).any():
        wanted.append(1.3 * float(np.nanmin(found.daily.high)))
    return max(wanted)


def _titles(found: DriveMap, cold: Axes, heat: Axes, cop: Axes, energy: Axes) -> None:
    lines.value_axis(cold, "Coldest inside [°C]")
    lines.value_axis(heat, "Heat taken [W]", 4)
    lines.value_axis(cop, "COP, net", 4)
    lines.value_axis(energy, "Energy [Wh/d]", 5)
    lines.across_axis(energy, "Voltage at the modules [V]")
    energy.xaxis.set_major_locator(MaxNLocator(9, steps=[1, 2, 5, 10]))
    for axes in (heat, cop):
        axes.annotate(f"from {labels.degrees(found.inside)} inside", (1, 0),
                      xycoords="axes fraction", xytext=(-3, 3), textcoords="offset points",
                      ha="right", va="bottom", fontsize=7.5, color=GREY)


def _energy_entries(found: DriveMap, holding: str) -> list[labels.Entry]:
    entries = [labels.Entry(WHOLE, DAY * float(found.power.value[-1]), MAIN)]
    known = np.flatnonzero(np.isfinite(found.daily.value))
    if len(known):
        entries.append(labels.Entry(f"{holding}, switched", float(found.daily.value[known[-1]]),
                                    HELD))
    return entries


def _marks(found: DriveMap, all_axes: tuple[Axes, ...]) -> None:
    """A line through all panels at each mark, named above; a dot where it is what it is named."""
    top = all_axes[0]
    start, end = top.get_xlim()
    seen = [one for one in found.marks if start <= one.volts <= end]
    dots = {TODAY: (0, lambda one: one.coldest), COLDEST: (0, lambda one: one.coldest),
            HEAT: (1, lambda one: one.heat), COP: (2, lambda one: one.cop),
            JUST: (3, lambda one: one.daily)}
    for one in seen:
        dash = "-" if one.name == TODAY else (0, (1, 2))
        for axes in all_axes:
            axes.axvline(one.volts, color=INK, linewidth=0.6, linestyle=dash, zorder=0.8)
        panel, value = dots[one.name]
        all_axes[panel].plot([one.volts], [value(one)], label=one.name, **DOT)
    _names(top, seen)


def _names(top: Axes, seen: list[Mark]) -> None:
    """Above the panel, in a row; those of one place together."""
    start, end = top.get_xlim()
    box = top.get_window_extent()
    across, tall = (side / top.figure.dpi / MM for side in (box.width, box.height))
    groups: list[list[Mark]] = []
    for one in sorted(seen, key=lambda one: one.volts):
        if groups and (one.volts - groups[-1][0].volts) / (end - start) * across < NEAR:
            groups[-1].append(one)
        else:
            groups.append([one])
    volts = [group[0].volts for group in groups]
    texts = [f"{', '.join(one.name for one in group)}\n{words.number(group[0].volts, 1)} V"
             for group in groups]
    sizes = [max(text_width(top.figure, part, 7.5) for part in text.split("\n")) + 3
             for text in texts]
    wanted = [(at - start) / (end - start) * across for at in volts]
    places = labels.spread(wanted, sizes, -12.0, across + 12.0)
    for at, text, middle in zip(volts, texts, [] if places is None else places, strict=False):
        top.annotate(
            text, (at, 1), xycoords=top.get_xaxis_transform(),
            xytext=(middle / across, 1 + 2.6 / tall), textcoords=top.transAxes, ha="center",
            va="bottom", fontsize=7.5, color=INK, linespacing=1.05,
            arrowprops={"arrowstyle": "-", "linewidth": 0.5, "color": GREY, "shrinkA": 0,
                        "shrinkB": 0},
        )


# --- words and data -----------------------------------------------------------------------------


def _data(found: DriveMap) -> pd.DataFrame:
    parts = []
    for role, unit, band in (
        ("coldest inside", "°C", found.coldest), ("power, without a break", "W", found.power),
        ("heat taken", "W", found.heat), ("cop", "-", found.cop),
        ("energy, holding", "Wh/d", found.daily),
    ):
        for which, y in (("", band.value), (", low", band.low), (", high", band.high)):
            parts.append((pd.DataFrame({"x": found.volts, "y": y}),
                          {"role": f"{role}{which}", "unit": unit}))
    parts += [(pd.DataFrame({"x": found.volts, "y": y}),
               {"role": f"coldest inside at {at:g} °C ambient", "unit": "°C"})
              for at, y in found.elsewhere.items()]
    for one in found.marks:
        parts += [(pd.DataFrame({"x": [one.volts], "y": [y]}),
                   {"role": f"{one.name}, {what}", "unit": unit})
                  for what, unit, y in (
                      ("current", "A", one.current), ("coldest inside", "°C", one.coldest),
                      ("power", "W", one.power), ("heat taken", "W", one.heat),
                      ("cop", "-", one.cop), ("energy, holding", "Wh/d", one.daily))]
    return lines.frame(parts, "voltage [V]")


def _told(one: Mark) -> str:
    held = f", {one.daily:.0f} Wh/d for holding" if np.isfinite(one.daily) else ""
    return (f"{one.name}: {one.volts:.1f} V and {one.current:.1f} A, coldest {one.coldest:.1f} °C "
            f"for {one.power:.0f} W; takes {one.heat:.1f} W at a COP of {one.cop:.2f}{held}.")


def _alt(found: DriveMap, name: str) -> str:
    box = f" of {name}" if name else ""
    return words.printed(
        f"Four line charts{box} over the voltage of the modules [V] at {found.ambient:g} °C "
        f"ambient: coldest inside [°C], heat taken from {found.inside:g} °C inside [W], COP, and "
        f"energy [Wh/d]. {' '.join(_told(one) for one in found.marks)}")


def _caption(found: DriveMap) -> str:
    held = np.isfinite(found.daily.value).any()
    cannot = "" if held else (
        f" At no voltage shown is {labels.degrees(found.inside)} surely held.")
    just = found.mark(JUST)
    steady = "" if just is None else (
        f" Diamond at {words.number(just.volts, 1)} V: lowered to where it just holds, it draws "
        f"{words.number(just.daily, 0)} Wh/d without switching.")
    return (f"The fitted machine in its box at {labels.degrees(found.ambient)} ambient, over the "
            "voltage of its modules: inside that it comes to without a break, net heat taken "
            f"from an inside of {labels.degrees(found.inside)} and its COP there, fans and pump "
            f"counted, and energy a day.{steady}{cannot} Most cold and best COP lie at different "
            "drives. What modules, sinks and supply bear is not looked at. "
            f"Bands: {words.INTERVAL}.")
