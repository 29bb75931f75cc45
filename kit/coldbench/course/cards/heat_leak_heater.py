"""Lab card: heat leak of a box, by a heater inside it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from coldbench.analysis.balance import at_end
from coldbench.analysis.heat_leak import heater_power
from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cautions import GENERAL
from coldbench.course.closed_box import (
    HOUR,
    difference,
    half_width,
    span_of,
    structure,
    within_twice,
)
from coldbench.course.questions import bank
from coldbench.errors import Fault, UserError
from coldbench.sheets.cooler import CoolerSheet

if TYPE_CHECKING:
    from coldbench.course.work import Work

# Reading two means off a curve leaves about this open; this kit's own definition. [K]
CHANGE_WITHIN = 0.3


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's run gives; see :class:`coldbench.course.card.Card`."""
    steps, span = Steps(given), span_of(work)
    seconds = span.t1 - span.t0
    power = steps.add("heater_power", power_put_in(work))
    apart = steps.add("difference", difference(span, -1))
    change = span.rise - _ambient_rise(work, span.t0, span.t1)
    steps.put("change", change, change - CHANGE_WITHIN, change + CHANGE_WITHIN)
    stored = 1000 * structure(work) * with_draws(span.rise, span.rise_true) / seconds
    settled = (power - np.nan_to_num(stored if span.stated else stored[:1])) / apart
    leak = steps.add("heat_leak", power / apart, also=settled,
                     note="the interval holds both: with and without what is still being stored")
    doubt = half_width(leak if len(leak) > 1 else power / apart)
    steps.put("leak_uncertainty", doubt, *within_twice(doubt))
    steps.add("wall_temperature", (span.inside + span.ambient) / 2)
    sheet = work.book.campaign.coolers[work.run().record.cooler]
    steps.add("conductivity", leak * thickness_by_area(sheet))
    return steps.expected


def power_put_in(work: Work) -> np.ndarray:
    """Mean heat put in over the part used.

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        [W]

    Raises
    ------
    UserError
        It was neither logged nor typed, nor were volts and amperes.
    """
    power, true, _ = heater_power(work.context(), span_of(work))
    if power is None:
        raise UserError(Fault(
            "the heater's power was not read", f"runs/{work.run().record.run}.toml",
            do="type voltage and current of heater and fan as [[reading]] rows",
        ))
    return with_draws(power, true)


def thickness_by_area(sheet: CoolerSheet) -> float:
    """Thickness of the wall over the mean of its inner and outer area.

    Parameters
    ----------
    sheet : CoolerSheet
        Inside sides and thickness.

    Returns
    -------
    float
        Not a number where the sheet does not state them. [1/m]

    References
    ----------
    .. [1] Plane wall; films, edges and seal are left out, which the card asks about.
    """
    inside, foam = sheet.inside, sheet.insulation
    sides = (inside.width, inside.depth, inside.height) if inside is not None else (None,)
    if None in sides or foam is None or foam.thickness is None:
        return np.nan
    thick = foam.thickness.value / 1000
    w, d, h = (side.value / 1000 for side in sides)
    areas = [2 * (w * d + w * h + d * h) for w, d, h in (
        (w, d, h), (w + 2 * thick, d + 2 * thick, h + 2 * thick))]
    return thick / (sum(areas) / 2)


def _ambient_rise(work: Work, t0: float, t1: float) -> float:
    ambient = work.run().record.trace("ambient")
    return 0.0 if ambient is None else at_end(ambient, t1, -1) - at_end(ambient, t0, +1)


def windows(work: Work) -> dict[str, tuple[float, float]]:
    """The last part of the run, in which it should have settled. [h]"""
    span, zero = span_of(work), work.run().record.zero
    return {"all means": ((span.t0 - zero) / HOUR, (span.t1 - zero) / HOUR)}


CARD = Card(
    name="heat_leak_heater",
    title="Heat leak by a heater",
    runs=("heater",),
    roles=("air", "ambient", "voltage", "current"),
    asked=(
        Asked("heater_power", "Heat put in, fan included", "power", "W", 0.5, 200,
              "volts × amperes of heater and fan together"),
        Asked("difference", "Mean difference, inside − ambient", "difference", "K", 2, 60,
              "mean inside air − mean ambient, over the part used"),
        Asked("change", "Change of that difference from the first to the last ten minutes",
              "difference", "K", -5, 5, "difference at the end − difference at the start",
              part="balance and closure"),
        Asked("heat_leak", "Heat leak", "heat_leak", "W/K", 0.05, 5,
              "heat put in / difference", needs=("heater_power", "difference")),
        Asked("leak_uncertainty", "Its uncertainty (95 %, half of the interval)", "heat_leak",
              "W/K", 0.001, 1, "root of the sum of squares of what each input moves it by",
              needs=("heater_power", "difference"), part="uncertainty"),
        Asked("wall_temperature", "Mean temperature of the wall", "temperature", "°C", 0, 60,
              "half way between inside and ambient"),
        Asked("conductivity", "Conductivity of the foam, if the walls were all",
              "conductivity", "W/(m·K)", 0.005, 0.2,
              "heat leak × thickness / mean of inner and outer area", needs=("heat_leak",),
              reading="chart", part="comparison with the ideal and between groups"),
    ),
    solve=solve,
    windows=windows,
    safety=(
        *GENERAL,
        "The heater is for extra-low voltage, fed from a supply that staff have set. Mains is "
        "connected by staff only, and no lamp or element for mains goes into a box.",
        "Power is set so that the inside stays below 50 °C, or below what the maker of the box "
        "allows. A cut-out against overheating is fitted and was tried. Somebody stays with it.",
        "The heater lies on a spreader, clear of foam, liner and leads, and its fan turns before "
        "it is switched on.",
    ),
    questions=bank("two ways", "steady", "same offset", "wall", "largest", "empty box", "class"),
    guide=Guide(
        usual={
            "heater_power": "3 to 15 W for 10 to 40 L",
            "difference": "15 to 25 K; below 10 K the probes' offsets spoil the result",
            "change": "under 0.1 K for each hour of the part used, once settled",
            "heat_leak": "0.3 to 0.6 W/K for 10 to 20 L with 30 to 40 mm of foam, 0.5 to 1 W/K "
                         "for 40 L; half as much again with a module in the wall",
            "leak_uncertainty": "2 to 6 % with checked probes, 5 to 10 % without",
            "wall_temperature": "30 to 40 °C",
            "conductivity": "0.02 to 0.05 W/(m·K): films of air make it smaller than the foam's "
                            "own, seal, edges and leads larger",
        },
        slips=(
            "The fan left out: half a watt of nine is 5 % of the result.",
            "Not settled: foam goes on storing for hours after the air looks steady.",
            "Volts read at the supply, not at the heater: the leads take their part.",
            "One probe in the plume of the heater.",
            "An offset between the two probes; it enters whole and with the sign that makes a "
            "cooling run wrong the other way.",
        ),
        plan=(
            ("15 min", "safety, set-up, probes side by side in the room first"),
            ("3 to 6 h", "to settle, unattended by the group but not by staff: begin in the "
                         "morning, or log over the day before"),
            ("20 min", "volts and amperes five times, last look at the log"),
            ("40 min", "means, heat leak, budget, conductivity"),
            ("15 min", "question and conclusion"),
        ),
        shopping=(
            "closed box with a lid that seals, liner that bears 50 °C",
            "resistor of 10 to 20 W on an aluminium plate, small fan, cut-out at 60 °C",
            "bench supply of extra-low voltage with current limit, two multimeters",
            "two loggers or a logger with two probes, the same kind for both",
        ),
    ),
)
