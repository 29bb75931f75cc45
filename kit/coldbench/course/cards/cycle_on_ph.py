"""Lab card: a refrigeration cycle on the log p–h chart, from pressures and temperatures read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cautions import CIRCUIT, GENERAL, MAINS
from coldbench.course.circuit import KELVIN, KILO, PLACES, SIDES, fluid_of, inferred, pressure_of
from coldbench.course.limits import CARDS
from coldbench.course.readings import linear, mean_of, run_of
from coldbench.errors import Fault, UserError

if TYPE_CHECKING:
    from coldbench.course.work import Work
    from coldbench.figures import Drawn

REFERENCE = "IIR"
STATES = ("enthalpy_suction", "enthalpy_discharge", "enthalpy_liquid", "enthalpy_isentropic")


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's readings give; see :class:`coldbench.course.card.Card`."""
    run = run_of(work.book.result, roles=PLACES)
    fluid = fluid_of(work, run)
    pressures = [pressure_of(work, run, role, fluid) for role in SIDES]
    places = [mean_of(run, role) for role in PLACES]
    power = mean_of(run, "power")
    if power is None and run.record.trace("voltage") and run.record.trace("current"):
        power = mean_of(run, "voltage") * mean_of(run, "current")
    return cycle_steps(given, fluid, pressures, places, power, inferred(run))


@np.errstate(divide="ignore", invalid="ignore")  # answers to carry forward may be 0
def cycle_steps(
    given: Mapping[str, float], fluid: str, pressures: list[np.ndarray],
    places: list[np.ndarray], power: np.ndarray | None = None, note: str = "",
) -> dict[str, Expected]:
    """The way through the card from plain numbers.

    Parameters
    ----------
    given : mapping of str to float
        Answers to carry forward. [unit of each]
    fluid : str
        A pure refrigerant as CoolProp names it.
    pressures : list of ndarray
        Low and high, absolute, in front of their draws. [kPa]
    places : list of ndarray
        Suction, discharge and liquid. [°C]
    power : ndarray or None
        Electrical, of the compressor. [W]
    note : str
        Where the pressures come from.

    Returns
    -------
    dict of str to Expected

    References
    ----------
    .. [1] Y. A. Çengel and M. A. Boles, Thermodynamics: An Engineering Approach, 5th ed.,
       Examples 11-1 and 11-2 (numbering from memory); properties by CoolProp.
    """
    steps = Steps(given)
    low = steps.add("pressure_low", pressures[0], note)
    high = steps.add("pressure_high", pressures[1], note)
    if not _can_be(fluid, low, high):
        # As of a group that took bar for kPa: marked, and not gone on with.
        low, high = pressures
    suction, discharge, liquid = places
    boiling, condensing = (linear(lambda p: _boils(fluid, p), p) for p in (low, high))
    steps.add("superheat", suction - boiling, _wet(suction, boiling))
    steps.add("subcooling", condensing - liquid)
    inputs = (low, high, suction, discharge, liquid)
    exact = linear(lambda *x: _enthalpies(fluid, *x), *inputs)
    h = [steps.add(name, _read(name, one)) for name, one in zip(STATES, exact, strict=True)]
    cooling = steps.add("cooling_heat", h[0] - h[2])
    work = steps.add("compression_work", h[1] - h[0])
    steps.add("rejected_heat", h[1] - h[2])
    steps.add("cycle_cop", cooling / work)
    steps.add("isentropic_efficiency", (h[3] - h[0]) / work)
    if power is not None:
        flow = steps.add("mass_flow", power / work, "the most that the electrical power allows")
        steps.add("cooling_at_most", flow * cooling)
    return steps.expected


def _can_be(fluid: str, low: np.ndarray, high: np.ndarray) -> bool:
    """Whether the refrigerant boils at the one pressure and condenses at the other, higher one."""
    from coldbench.physics.refrigerant import critical_temperature, props

    critical = float(props("P", "T", critical_temperature(fluid) - 1.0, "Q", 0.0, fluid)) / KILO
    return 1.0 < low[0] < high[0] < critical


def _read(name: str, exact: np.ndarray) -> np.ndarray:
    """An enthalpy as it can be read from a chart: its draws with those of the reading. [kJ/kg]"""
    drawn = exact[1:] if len(exact) > 1 else exact
    return with_draws(exact[0], drawn + draws.uniform(f"chart {name}", CARDS.chart_enthalpy))


def _wet(suction: np.ndarray, boiling: np.ndarray) -> str:
    if suction[0] >= boiling[0]:
        return ""
    return "the suction line was read colder than the gas boils: taken as saturated gas"


def _boils(fluid: str, pressure: np.ndarray) -> np.ndarray:
    """Saturation temperature. [°C]"""
    from coldbench.physics.refrigerant import saturation_temperature

    return saturation_temperature(fluid, KILO * pressure) - KELVIN


def _enthalpies(
    fluid: str, low: np.ndarray, high: np.ndarray, suction: np.ndarray, discharge: np.ndarray,
    liquid: np.ndarray,
) -> np.ndarray:
    """Of suction, discharge, liquid, and a discharge without loss, one above the other. [kJ/kg]"""
    from coldbench.physics.vapour_states import isentropic_discharge, measured_cycle

    try:
        cycle = measured_cycle(fluid, KILO * low, KILO * high, suction + KELVIN,
                               discharge + KELVIN, liquid + KELVIN, REFERENCE)
    except ValueError as error:
        raise UserError(Fault(
            f"the readings make no cycle: {error}", "the run's readings",
            do="look at the pressures, and whether they are absolute",
        )) from None
    parts = [state.enthalpy for state in cycle.states[:3]]
    return np.array([*parts, isentropic_discharge(cycle)]) / KILO


def plots(work: Work) -> list[Drawn]:
    """The refrigerant's chart to read from, with the states that the group has answered."""
    from coldbench.course.chart_paper import paper

    run = run_of(work.book.result, roles=PLACES)
    answers = {name: work.number(name) for name in work.answers.numbers}
    low, high = answers["pressure_low"], answers["pressure_high"]
    suction, discharge, liquid = (answers[f"enthalpy_{place}"] for place in PLACES)
    states = [("1", suction, low), ("2", discharge, high), ("3", liquid, high), ("4", liquid, low)]
    known = [state for state in states if None not in state and state[2] > 0]
    return [paper(fluid_of(work, run), known, work.book.styles[run.record.cooler], run.record.run)]


def _asked(name: str, title: str, kind: str, unit: str, span: tuple[float, float], formula: str,
           *needs: str, **more: str) -> Asked:
    return Asked(name, title, kind, unit, *span, formula, needs, **more)


ASKED = (
    _asked("pressure_low", "Low pressure, absolute", "pressure", "kPa", (10, 1500),
           "read + pressure of the air, where a gauge reads from it"),
    _asked("pressure_high", "High pressure, absolute", "pressure", "kPa", (150, 5000),
           "read + pressure of the air, where a gauge reads from it"),
    _asked("superheat", "Superheat of the suction gas", "difference", "K", (-5, 80),
           "t suction − t at which it boils at the low pressure", "pressure_low",
           reading="table"),
    _asked("subcooling", "Subcooling of the liquid", "difference", "K", (-5, 50),
           "t at which it condenses at the high pressure − t liquid", "pressure_high",
           reading="table"),
    _asked("enthalpy_suction", "State 1, enthalpy", "specific_energy", "kJ/kg", (250, 750),
           "chart at low pressure and suction temperature", "pressure_low", reading="state"),
    _asked("enthalpy_discharge", "State 2, enthalpy", "specific_energy", "kJ/kg", (280, 900),
           "chart at high pressure and discharge temperature", "pressure_high", reading="state"),
    _asked("enthalpy_liquid", "States 3 and 4, enthalpy", "specific_energy", "kJ/kg", (100, 450),
           "chart at high pressure and liquid temperature; the throttle keeps it",
           "pressure_high", reading="state"),
    _asked("enthalpy_isentropic", "State 2 without loss, enthalpy", "specific_energy", "kJ/kg",
           (280, 900), "chart: from state 1 along the line of its entropy to the high pressure",
           "pressure_low", "pressure_high", reading="state"),
    _asked("cooling_heat", "Heat taken up by a kilogram", "specific_energy", "kJ/kg", (50, 500),
           "h1 − h4", "enthalpy_suction", "enthalpy_liquid", reading="chart"),
    _asked("compression_work", "Work put into a kilogram", "specific_energy", "kJ/kg", (10, 250),
           "h2 − h1", "enthalpy_suction", "enthalpy_discharge", reading="chart"),
    _asked("rejected_heat", "Heat given off by a kilogram", "specific_energy", "kJ/kg",
           (60, 700), "h2 − h3; has to equal the two above together", "enthalpy_discharge",
           "enthalpy_liquid", reading="chart", part="balance and closure"),
    _asked("cycle_cop", "COP of the cycle", "count", "", (0.3, 15), "(h1 − h4) / (h2 − h1)",
           "cooling_heat", "compression_work", reading="chart"),
    _asked("isentropic_efficiency", "Isentropic efficiency", "count", "", (0.1, 1.5),
           "(h2 without loss − h1) / (h2 − h1)", "enthalpy_suction", "enthalpy_isentropic",
           "compression_work", reading="chart",
           part="comparison with the ideal and between groups"),
    _asked("mass_flow", "Mass flow, at most", "mass_flow", "g/s", (0.005, 20),
           "electrical power / (h2 − h1)", "compression_work", reading="chart"),
    _asked("cooling_at_most", "Cooling capacity, at most", "power", "W", (2, 3000),
           "mass flow × (h1 − h4)", "mass_flow", "cooling_heat", reading="chart"),
)

CARD = Card(
    name="cycle_on_ph",
    title="A refrigeration cycle on the log p–h chart",
    asked=ASKED,
    solve=solve,
    runs=("steady",),
    roles=("pressure_low", "pressure_high", *PLACES, "cold_side", "hot_side", "power", "ambient"),
    safety=(*GENERAL, CIRCUIT, MAINS),
    questions=(
        "Why is the isentropic efficiency not one, and which way would 1 K more at the discharge "
        "move it?",
        "What would happen to COP and cooling capacity if the room were 10 K warmer? Say which "
        "state moves, and where to.",
        "What does superheat protect, and what does too much of it cost?",
        "The electrical power gives the most mass flow that is possible. Where does the rest of "
        "that power go?",
        "What does a length along the enthalpy axis mean, and what does an area in this chart "
        "not mean?",
        "A group takes gauge pressure for absolute pressure. Which of its results are wrong, and "
        "which hardly?",
    ),
    plots=plots,
    guide=Guide(
        usual={
            "superheat": "5 to 25 K; more with a suction line laid against the capillary",
            "subcooling": "2 to 10 K",
            "cycle_cop": "2 to 4 at an evaporating temperature of −10 °C, 1 to 2.5 at −25 °C",
            "isentropic_efficiency": "0.4 to 0.8 for a small hermetic compressor; above one where "
                                     "the discharge pipe was read far from the shell",
        },
        slips=(
            "Gauge pressure taken for absolute pressure: superheat comes out far too large.",
            "Enthalpies of two tables with different reference states in one difference.",
            "kJ/kg and kW in one sum; the mass flow is what lies between them.",
            "A probe on the pipe without insulation reads between pipe and room.",
            "Readings taken before the machine is steady, or while it is off.",
        ),
        plan=(("10 min", "safety, circuit, where each probe sits"),
              ("40 min", "run in to a steady state; draw the empty chart meanwhile"),
              ("20 min", "five rounds of readings, 4 min apart"),
              ("45 min", "states, differences, COP, efficiency"),
              ("15 min", "question and conclusion")),
        shopping=("compressor cooler or trainer whose circuit stays closed",
                  "staff only: gauges that are part of a trainer, or none at all",
                  "five thermometers with probes to tape on, foam tape, tie wraps",
                  "power meter", "log p–h chart on paper, A3, with lines of entropy"),
    ),
)
