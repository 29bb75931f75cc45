"""A warm-up on a logarithmic axis: differences to ambient, two masses fitted, what is left."""

from __future__ import annotations

import pandas as pd

from coldbench.analysis.masses import MassesFit
from coldbench.figures import labels, lines
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import GREY, INK, Style, house, panels
from coldbench.quantities import number

EVERY = 6  # a dot for so many points
HOUR = 3600.0


def warm_up_fit(fit: MassesFit | None, *, style: Style, name: str = "") -> Drawn | None:
    """Ambient minus air and minus load over hours, measured and fitted, and the residuals.

    Parameters
    ----------
    fit : MassesFit or None
        Of one warm-up.
    style : Style
        Of the cooler.
    name : str
        Its name.

    Returns
    -------
    Drawn or None
        None without a fit, and where the inside came above ambient.
    """
    if fit is None:
        return None
    hours = (fit.t - fit.t[0]) / HOUR
    courses = {"air": (fit.air, fit.air_fit), "load": (fit.load, fit.load_fit)}
    if min((fit.ambient - y).min() for pair in courses.values() for y in pair) <= 0:
        return None
    looks = {"air": {"color": style.colour, "linestyle": "-"},
             "load": {"color": INK, "linestyle": (0, (5, 1.6))}}
    texts = {"air": "air", "load": "load (alone it reads the heat leak low)"}
    with house():
        figure, (above, below) = panels([62, 26], left=20)
        labels.make_room(above, list(texts.values()))
        above.set_yscale("log")
        entries = []
        for role, (read, fitted) in courses.items():
            look = looks[role]
            above.plot(hours, fit.ambient - fitted, linewidth=1.2, **look)
            above.plot(hours[::EVERY], (fit.ambient - read)[::EVERY], linestyle="none", marker="o",
                       markersize=2.6, color=look["color"])
            below.plot(hours, read - fitted, linewidth=0.8, **look)
            entries.append(labels.Entry(texts[role], float((fit.ambient - fitted)[-1]), look))
        low = min((fit.ambient - y).min() for pair in courses.values() for y in pair)
        high = max((fit.ambient - y).max() for pair in courses.values() for y in pair)
        above.set_ylim(low / 1.1, high * 1.1)
        ticks = [t for t in (0.5, 1, 2, 3, 5, 7, 10, 15, 20, 30, 40, 50) if low < t < high]
        above.set_yticks(ticks, [f"{t:g}" for t in ticks])
        above.minorticks_off()
        above.set_ylabel("Below ambient [K]")
        below.axhline(0, color=GREY, linewidth=0.6)
        lines.value_axis(below, "Left over [K]", 3)
        below.set_xlim(0, hours[-1])
        below.set_xlabel("Hours of the fitted stretch [h]")
        labels.end_labels(above, entries)
    data = pd.DataFrame({
        "hours": hours, "ambient": fit.ambient,
        **{f"{role} {word}": y for role, pair in courses.items()
           for word, y in zip(("read", "fitted"), pair, strict=True)},
    })
    alt = (f"Differences to ambient over {number(float(hours[-1]), 1)} h of {fit.run} on a "
           f"logarithmic axis, measured as dots and fitted as lines: air from "
           f"{number(float((fit.ambient - fit.air)[0]), 1)} to "
           f"{number(float((fit.ambient - fit.air)[-1]), 1)} K, load from "
           f"{number(float((fit.ambient - fit.load)[0]), 1)} to "
           f"{number(float((fit.ambient - fit.load)[-1]), 1)} K. Below, what is left over. "
           f"{fit.text}")
    caption = (f"{name + ': w' if name else 'W'}arm-up {fit.run}, measured (dots) and two masses "
               f"fitted (lines); below, what is left over. {fit.text}")
    return Drawn(figure, data, alt, caption, f"warm-up-{fit.run}")
