"""Lab card: heat leak of a box, by letting it warm up with a known load."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from coldbench.analysis.heat import load_heat, load_mass
from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cautions import GENERAL, ICE, MAINS
from coldbench.course.closed_box import (
    HOUR,
    STRUCTURE_HINT,
    difference,
    half_width,
    rise,
    span_of,
    structure,
    within_twice,
)
from coldbench.course.questions import bank
from coldbench.figures import Drawn, falling_difference

if TYPE_CHECKING:
    from coldbench.course.work import Work

ICE_AT, WATER_AT = -5.0, 10.0  # where the heat capacity of a load is taken [°C]


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's run gives; see :class:`coldbench.course.card.Card`."""
    steps, span = Steps(given), span_of(work)
    seconds = span.t1 - span.t0
    heat = steps.add("load_heat", with_draws(span.load, span.load_true) / 1000)
    held = steps.add("structure_heat", structure(work))
    apart = steps.add("mean_difference", difference(span, +1))
    true = 1000 * (heat + held * rise(span)) / (apart * seconds)
    true = true if span.stated else true[:1]  # no interval where an instrument states no error
    leak = steps.add("heat_leak", true)
    doubt = half_width(true)
    steps.put("leak_uncertainty", doubt, *within_twice(doubt))
    alone = steps.add("slope_leak", slope_leak(work))
    steps.add("slope_ratio", alone / leak, "below one: the bottle lags behind the air")
    return steps.expected


def slope_leak(work: Work) -> float:
    """Heat leak by the load alone: slope of ln(ambient − load) times the load's heat capacity.

    Returns
    -------
    float
        Not a number where the load came up to ambient. [W/K]

    References
    ----------
    .. [1] Newton's law of cooling for one lump, textbook; biased low where air and load differ.
    """
    span, context = span_of(work), work.context()
    load, ambient = context.record.loads()[0], context.record.trace("ambient")
    top = ICE_AT if load.y.mean() < 0 else WATER_AT
    capacity = HOUR * float(load_heat(context.run, load_mass(context.run), top, top - 1))
    part = load.part(load.within(span.t0, span.t1))
    room = np.interp(part.t, ambient.t, ambient.y) if ambient is not None else span.ambient
    apart = room - part.y
    if len(part.t) < 2 or apart.min() <= 0:
        return np.nan
    return -capacity * np.polyfit(part.t - part.t[0], np.log(apart), 1)[0]


def windows(work: Work) -> dict[str, tuple[float, float]]:
    """From about two hours after the switch-off, once liner and foam follow the air. [h]"""
    span, zero = span_of(work), work.run().record.zero
    return {"balance and slope": ((span.t0 - zero) / HOUR, (span.t1 - zero) / HOUR)}


def plots(work: Work) -> list[Drawn | None]:
    """Differences to ambient on a logarithmic axis, as read."""
    span, record = span_of(work), work.run().record
    style = work.book.styles[record.cooler]
    name = work.book.names[record.cooler]
    return [falling_difference(record, span.t0, span.t1, style=style, name=name)]


CARD = Card(
    name="heat_leak_warm_up",
    title="Heat leak by warming up",
    runs=("warm-up",),
    roles=("air", "load", "ambient"),
    asked=(
        Asked("load_heat", "Heat that load and containers took up", "energy", "kJ", 1, 5000,
              "Σ mass × heat capacity × rise, between the ends of the part used (water "
              "4.19 kJ/(kg K), ice 2.05 kJ/(kg K), PET 1.2 kJ/(kg K))"),
        Asked("structure_heat", "Heat capacity of liner and inner foam", "heat_capacity", "kJ/K",
              0.2, 50, STRUCTURE_HINT),
        Asked("mean_difference", "Mean difference, ambient − inside air", "difference", "K",
              1, 60, "area between the curves of ambient and air / length of the part used"),
        Asked("heat_leak", "Heat leak by the balance", "heat_leak", "W/K", 0.05, 5,
              "(load + structure × rise of the air) / (mean difference × time)",
              needs=("load_heat", "structure_heat", "mean_difference")),
        Asked("leak_uncertainty", "Its uncertainty (95 %, half of the interval)", "heat_leak",
              "W/K", 0.001, 1, "root of the sum of squares of what each input moves it by",
              part="uncertainty"),
        Asked("slope_leak", "Heat leak by the slope of the load alone", "heat_leak", "W/K",
              0.02, 5, "− slope of ln(ambient − load) × heat capacity of the load",
              reading="chart"),
        Asked("slope_ratio", "Slope way / balance", "ratio", "-", 0.1, 2,
              "heat leak by the slope / heat leak by the balance",
              needs=("heat_leak", "slope_leak"), reading="chart", part="balance and closure"),
    ),
    solve=solve,
    windows=windows,
    plots=plots,
    safety=(*GENERAL, MAINS, ICE,
            "The cooler is unplugged by its plug, by staff where that is mains, and stays "
            "unplugged until the end."),
    questions=bank("two ways", "bottle alone", "fixed ambient", "largest", "luck", "empty box",
                   "sign", "class"),
    guide=Guide(
        usual={
            "load_heat": "20 to 40 kJ for each kilogram of water from 3 to 10 °C",
            "structure_heat": "2 to 8 kJ/K for 10 to 40 L",
            "mean_difference": "10 to 20 K",
            "heat_leak": "0.3 to 0.6 W/K for 10 to 20 L with 30 to 40 mm of foam, 0.5 to 1 W/K "
                         "for 40 L; a thermoelectric box half as much again through its module",
            "leak_uncertainty": "4 to 8 %; the structure is most of it with a small load",
            "slope_ratio": "0.5 to 0.9: the water lags behind the air, so its slope reads low",
        },
        slips=(
            "The water alone fitted, and taken for the heat leak.",
            "One ambient written down for hours in which the room moved by 2 K.",
            "Opened to look: the run is over, what comes after does not count.",
            "Ice in the bottle: over the melting the temperature tells nothing of the heat.",
            "The first hour counted in: the foam has not followed yet.",
        ),
        plan=(
            ("day before", "load cooled in the box to its coldest"),
            ("15 min", "safety, probes, switch off"),
            ("6 to 12 h", "lid shut; over night is best, the log is read next day"),
            ("45 min", "two ways to the heat leak"),
            ("20 min", "budget, question, conclusion"),
        ),
        shopping=(
            "cooler of 10 to 40 L", "weighed bottles of water, 0.1 to 0.3 kg for each litre",
            "kitchen scale, 1 g", "logger with three probes: air, bottle, room",
            "tape for flat leads through the seal",
        ),
    ),
)
