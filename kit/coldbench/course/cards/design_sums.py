"""Lab card: sums for the next box, foam, battery, panel and cable, from a spec and a heat leak."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.compare.geometry import SPELT
from coldbench.compare.leaks import leak_of
from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cards.carnot_gap import power_of, steady_of
from coldbench.course.cautions import BATTERY, GENERAL, MAINS
from coldbench.course.readings import steady_hours
from coldbench.errors import Fault, UserError
from coldbench.findings import find
from coldbench.physics.box import INSIDE_LEAST, even_box, shape_factor, surface
from coldbench.physics.electric import conductor_resistance, copper_resistance
from coldbench.physics.materials import FOAMS
from coldbench.report.display import KeyValue, Text

if TYPE_CHECKING:
    from coldbench.course.work import Work

LESS = 0.5  # the next box shall let in this share of the heat
SPEC = ("volts", "days", "depth_of_discharge", "battery_efficiency", "sun_hours",
        "performance_ratio", "cable_length", "cable_area")


@dataclass(frozen=True)
class Spec:
    """What the next box is planned for, in plain numbers.

    Attributes
    ----------
    ambient, inside : float
        [°C]
    sides : tuple of float
        Inside, each way. [m]
    conductivity : float
        Of the foam. [W/(m K)]
    volts, days, depth, efficiency, sun_hours, ratio : float
        Supply; a day without charging counts one. [V], [d], [-], [-], [h/d], [-]
    cable_length, cable_area : float
        One way; of one conductor. [m], [mm²]
    """

    ambient: float
    inside: float
    sides: tuple[float, float, float]
    conductivity: float
    volts: float
    days: float
    depth: float
    efficiency: float
    sun_hours: float
    ratio: float
    cable_length: float
    cable_area: float


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's readings give; see :class:`coldbench.course.card.Card`."""
    run = steady_of(work)
    cooler = run.record.cooler
    leak = leak_of(work.book.rows, cooler, "walls")
    stated = work.parameters.get("heat_leak")
    if leak is None and stated is None:
        raise UserError(Fault(
            "the heat leak of the box is not known", f"coolers/{cooler}.toml",
            do='measure it first (a run of kind "heater" or "warm-up"), or have the roster state '
               'heat_leak = "0.40 W/K"'))
    known = with_draws(*((stated.value, None) if leak is None else (leak.value, leak.draws)))
    rows = [f for f in find(run.findings, finding="running_power") if f.value is not None]
    power = power_of(run)
    running = with_draws(rows[0].value, rows[0].draws) if rows else power
    return design_steps(given, spec_of(work, cooler), known, power, running)


@np.errstate(divide="ignore", invalid="ignore")  # answers to carry forward may be 0
def design_steps(
    given: Mapping[str, float], spec: Spec, leak: np.ndarray, power: np.ndarray,
    running: np.ndarray,
) -> dict[str, Expected]:
    """The way through the card from plain numbers.

    Parameters
    ----------
    given : mapping of str to float
        Answers to carry forward. [unit of each]
    spec : Spec
        What is planned.
    leak : ndarray
        Heat leak of the box as it is, in front of its draws. [W/K]
    power, running : ndarray
        Mean power, and that while running, in front of their draws. [W]

    Returns
    -------
    dict of str to Expected

    References
    ----------
    .. [1] Shape factors of walls, edges and corners: J. P. Holman, Heat Transfer, 10th ed.,
       table 3-1. Cable: Ohm's law with IEC 60228:2004, class 5. Battery and panel: energy a day
       over what of it can be used, common practice.
    """
    steps = Steps(given)
    leak = steps.add("heat_leak", leak)
    flow = steps.add("heat_flow", leak * (spec.ambient - spec.inside))
    steps.add("daily_heat", 24 * flow)
    area = float(surface(tuple(np.array(side) for side in spec.sides)))
    plain = steps.add("foam_plain", 1e3 * spec.conductivity * area / (LESS * leak))
    steps.add("leak_back", _leak_of(spec, plain / 1e3))
    steps.add("foam_thickness", 1e3 * _thickness(spec, LESS * leak))
    daily = steps.add("daily_energy", 24 * power)
    steps.add("battery", daily * spec.days / (spec.depth * spec.efficiency))
    steps.add("panel", daily / (spec.sun_hours * spec.ratio))
    current = steps.add("cable_current", running / spec.volts)
    lost = steps.add("cable_drop", 2 * spec.cable_length * _ohms(spec) * current)
    steps.add("cable_share", 100 * lost / spec.volts)
    return steps.expected


def _least_most(spec: Spec) -> tuple[float, float]:
    """Thickness for which edge and corner factors hold. [m]"""
    return 1e-3, 0.99 / INSIDE_LEAST * min(spec.sides)


def _leak_of(spec: Spec, wall: np.ndarray) -> np.ndarray:
    """Heat leak of the inside box within so much foam, edges and corners counted. [W/K]"""
    within = np.clip(wall, *_least_most(spec))
    return spec.conductivity * shape_factor(even_box(*spec.sides, within))


def _thickness(spec: Spec, leak: np.ndarray) -> np.ndarray:
    """Thickness at which the box lets in so much, by halving an interval. [m]"""
    low, high = (np.full(leak.shape, end) for end in _least_most(spec))
    for _ in range(40):
        middle = (low + high) / 2
        more = _leak_of(spec, middle) > leak
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return (low + high) / 2


def _ohms(spec: Spec) -> np.ndarray:
    """Resistance of a metre of conductor: the standard's greatest, or less. [Ω/m]"""
    most = float(conductor_resistance(spec.cable_area))
    least = float(copper_resistance(spec.cable_area))
    return with_draws(most, draws.between("cable metre", least, most))


def spec_of(work: Work, cooler: str) -> Spec:
    """What a group plans for: footing and supply of its campaign, its own target and offset.

    Parameters
    ----------
    work : Work
        Of the group.
    cooler : str
        Whose inside is kept.

    Returns
    -------
    Spec

    Raises
    ------
    UserError
        Something of it is not stated.
    """
    sheet, box = work.book.campaign.sheet, work.book.campaign.coolers[cooler]
    supply = sheet.supply
    missing = [f"[supply] {key}" for key in SPEC if supply is None or getattr(supply, key) is None]
    sides = [getattr(box.inside, key) if box.inside else None
             for key in ("width", "depth", "height")]
    missing += [] if None not in sides else ["[inside] width, depth, height of the cooler"]
    missing += [] if sheet.footing is not None else ["[footing]"]
    if missing:
        raise UserError(Fault("the spec of the next box is not whole", "campaign.toml",
                              found="nothing for " + ", ".join(missing), do="write them"))
    offset, target = work.parameters.get("ambient_offset"), work.parameters.get("target")
    values = {key: getattr(supply, key) for key in SPEC}
    plain = {key: one.value if hasattr(one, "value") else float(one) for key, one in values.items()}
    return Spec(
        ambient=sheet.footing.ambient.value + (offset.value if offset is not None else 0.0),
        inside=target.value if target is not None else sheet.footing.inside.value,
        sides=tuple(side.value / 1000 for side in sides), conductivity=_conducts(box),
        volts=plain["volts"], days=plain["days"], depth=plain["depth_of_discharge"],
        efficiency=plain["battery_efficiency"], sun_hours=plain["sun_hours"] / 3600,
        ratio=plain["performance_ratio"], cable_length=plain["cable_length"] / 1000,
        cable_area=plain["cable_area"],
    )


def _conducts(box: object) -> float:
    """Of the foam that is stated, else of the one that the card names. [W/(m K)]"""
    stated = box.insulation.material.strip() if box.insulation is not None else FOAM
    name = SPELT.get(stated.upper(), stated)
    found = next((m for key, m in FOAMS.items() if key.lower() == name.lower()), FOAMS[FOAM])
    return found.conductivity


FOAM = "XPS"


def spec_told(work: Work) -> list[object]:
    """The spec in words, for the student's page.

    Parameters
    ----------
    work : Work
        Of the group.
    """
    run = steady_of(work)
    spec = spec_of(work, run.record.cooler)
    sides = " × ".join(f"{1000 * side:.0f}" for side in spec.sides)
    return [Text("The spec of the next box"), KeyValue([
        ("Ambient and inside", f"{spec.ambient:g} °C and {spec.inside:g} °C"),
        ("Inside of the box", f"{sides} mm"),
        ("Foam", f"{spec.conductivity:g} W/(m·K); the next box shall let in half of the heat"),
        ("Supply", f"{spec.volts:g} V; {spec.days:g} days without charging"),
        ("Battery", f"{100 * spec.depth:g} % may be used; {100 * spec.efficiency:g} % comes back"),
        ("Sun", f"{spec.sun_hours:g} h of full sun a day; {100 * spec.ratio:g} % of the ideal "
                "yield"),
        ("Cable", f"{spec.cable_length:g} m one way, {spec.cable_area:g} mm², flexible copper; "
                  "its resistance from a table of IEC 60228, class 5"),
    ])]


def _asked(name: str, title: str, kind: str, unit: str, span: tuple[float, float], formula: str,
           *needs: str, reading: str = "measured", part: str = "derived quantities") -> Asked:
    return Asked(name, title, kind, unit, *span, formula, needs, reading, part)


ASKED = (
    _asked("heat_leak", "Heat leak of the box as it is", "heat_leak", "W/K", (0.05, 5),
           "from the heat leak card, or as stated for your group"),
    _asked("heat_flow", "Heat that comes in at the spec", "power", "W", (0.5, 300),
           "heat leak × (ambient − inside)", "heat_leak"),
    _asked("daily_heat", "The same in a day", "energy", "Wh", (12, 7200), "24 h × that",
           "heat_flow"),
    _asked("foam_plain", "Foam for half of it, by a plain sum", "length", "mm", (5, 500),
           "conductivity × inside area / (heat leak / 2)", "heat_leak"),
    _asked("leak_back", "Put back: heat leak with that foam, edges and corners counted",
           "heat_leak", "W/K", (0.02, 5),
           "conductivity × (area / d + 0.54 × length of the twelve edges + 8 × 0.15 × d)",
           "foam_plain", part="balance and closure"),
    _asked("foam_thickness", "Foam that does let in half", "length", "mm", (5, 800),
           "try thicknesses until the sum above gives half of the heat leak", "heat_leak"),
    _asked("daily_energy", "Electrical energy a day", "energy", "Wh", (10, 8000),
           "24 h × mean power, not running power"),
    _asked("battery", "Battery", "energy", "Wh", (10, 80000),
           "energy a day × days / (share that may be used × share that comes back)",
           "daily_energy", reading="table"),
    _asked("panel", "Panel", "power", "W", (2, 5000),
           "energy a day / (hours of full sun × share of the ideal yield)", "daily_energy",
           reading="table"),
    _asked("cable_current", "Current while running", "current", "A", (0.1, 60),
           "running power / volts"),
    _asked("cable_drop", "Volts lost in the cable", "voltage", "V", (0.001, 12),
           "2 × length × ohms of a metre × current", "cable_current", reading="table"),
    _asked("cable_share", "Share of the volts that is lost", "fraction", "%", (0.01, 100),
           "volts lost / volts", "cable_drop", reading="table"),
)

CARD = Card(
    name="design_sums",
    title="Sums for the next box: foam, battery, panel, cable",
    asked=ASKED,
    solve=solve,
    runs=("steady",),
    roles=("air", "ambient", "power"),
    safety=(*GENERAL, MAINS, BATTERY),
    questions=(
        "Running power × 24 h would have given another battery. How far off would it be for your "
        "cooler, and who would pay for it?",
        "Twice the foam does not halve the heat. Where does the rest come in, and what does the "
        "box lose besides?",
        "Half the heat leak: does the energy a day halve too? Name what does not follow.",
        "Which of your inputs moves the battery most? Change each by a tenth and see.",
        "Your cable loses its share at running power. What happens at the start of a compressor, "
        "and what does a controller do then?",
        "The panel was sized for a mean day. What does a dull week ask for, and what would you "
        "buy?",
    ),
    windows=lambda work: steady_hours(steady_of(work)),
    guide=Guide(
        usual={
            "foam_plain": "30 to 120 mm",
            "foam_thickness": "1.2 to 2 times the plain sum: edges and corners",
            "battery": "0.3 to 2 kWh for two days of a small compressor cooler",
            "panel": "60 to 300 W",
            "cable_share": "1 to 8 %",
        },
        slips=(
            "Running power × 24 h.",
            "Length of the cable counted once: the current goes there and back.",
            "Outside area, or millimetres, in the foam sum.",
            "Depth of discharge multiplied instead of divided.",
        ),
        plan=(("15 min", "spec and heat leak of the group"), ("30 min", "foam, put back"),
              ("25 min", "battery and panel"), ("15 min", "cable"), ("25 min", "question")),
        shopping=("a steady run and a heat leak of the group", "table of copper conductors",
                  "calculator"),
    ),
)
