"""Lab card: how far a cooler stays behind an ideal machine, and where the gap opens."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import RunResult
from coldbench.analysis.limits import LIMITS
from coldbench.compare.leaks import leak_of
from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cautions import CIRCUIT, GENERAL, HOT, MAINS
from coldbench.course.circuit import KELVIN, KILO, SIDES, fluid_of, pressure_of
from coldbench.course.limits import CARDS
from coldbench.course.readings import linear, mean_of, run_of, steady_hours, typed
from coldbench.errors import Fault, UserError
from coldbench.findings import find
from coldbench.quantities import number
from coldbench.report.display import NoticeBox, Table

if TYPE_CHECKING:
    from coldbench.course.work import Work

def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's readings give; see :class:`coldbench.course.card.Card`."""
    run = steady_of(work)
    cooler = run.record.cooler
    inside, ambient = mean_of(run, "air"), ambient_of(work, run)
    leak, note = _leak(work, cooler, float(inside[0]), float(ambient[0]))
    return carnot_steps(given, leak, inside, ambient, power_of(run), sides_of(work, run), note)


def steady_of(work: Work) -> RunResult:
    """The steady run of a group, with its inside air.

    Parameters
    ----------
    work : Work
        Of the group.

    Raises
    ------
    UserError
        There is none.
    """
    return run_of(work.book.result, kinds=("steady",), roles=("air",))


@np.errstate(divide="ignore", invalid="ignore")  # answers to carry forward may be 0
def carnot_steps(
    given: Mapping[str, float], leak: np.ndarray, inside: np.ndarray, ambient: np.ndarray,
    power: np.ndarray, sides: tuple[np.ndarray, np.ndarray] | None = None, note: str = "",
) -> dict[str, Expected]:
    """The way through the card from plain numbers, each in front of its draws.

    Parameters
    ----------
    given : mapping of str to float
        Answers to carry forward. [unit of each]
    leak : ndarray
        Heat leak of the walls. [W/K]
    inside, ambient : ndarray
        Means of one steady window. [°C]
    power : ndarray
        Mean electrical power of the same window. [W]
    sides : tuple of ndarray or None
        Where the machine takes heat up and gives it off: boiling and condensing temperature, or
        the faces of a module. [°C]
    note : str
        Of the heat leak.

    Returns
    -------
    dict of str to Expected

    References
    ----------
    .. [1] The COP of a reversible machine between two temperatures (Carnot), in any textbook of
       thermodynamics.
    """
    steps = Steps(given)
    leak = steps.add("heat_leak", leak, note)
    capacity = steps.add("mean_capacity", leak * (ambient - inside))
    watts = steps.add("mean_power", power)
    steps.add("heat_rejected", capacity + watts)
    cop = steps.add("net_cop", capacity / watts)
    ideal = steps.add("carnot_reservoirs", _carnot(inside, ambient))
    steps.add("fraction_reservoirs", cop / ideal)
    if sides is not None:
        cold, hot = (steps.add(name, side) for name, side in
                     zip(("cold_temperature", "hot_temperature"), sides, strict=True))
        inner = steps.add("carnot_refrigerant", _carnot(cold, hot))
        steps.add("fraction_refrigerant", cop / inner)
    return steps.expected


def _carnot(cold: np.ndarray, hot: np.ndarray) -> np.ndarray:
    """``T cold / (T hot − T cold)``, temperatures in °C. [-]"""
    return (cold + KELVIN) / (hot - cold)


def _leak(work: Work, cooler: str, inside: float, ambient: float) -> tuple[np.ndarray, str]:
    """Heat leak of the walls: measured by this group, else what the roster states. [W/K]"""
    found = leak_of(work.book.rows, cooler, "walls")
    if found is not None:
        moved = float(found.at_temperatures(inside, ambient)[0])
        note = (f"as measured, {found.finding.at}; with walls as warm as in this run it would be "
                f"{number(moved, 3)} W/K")
        return with_draws(found.value, found.draws), note
    stated = work.parameters.get("heat_leak")
    if stated is None:
        raise UserError(Fault(
            "the heat leak of the walls is not known", f"coolers/{cooler}.toml",
            do='measure it first (a run of kind "heater" or "warm-up"), or have the roster state '
               'heat_leak = "0.40 W/K"'))
    return typed(f"{cooler} heat leak stated", stated, CARDS.heat_leak_stated * stated.value), (
        "stated by the roster")


def ambient_of(work: Work, run: RunResult) -> np.ndarray:
    """Ambient of a run: read, else typed on its sheet.

    Parameters
    ----------
    work : Work
        Of the group.
    run : RunResult
        The run.

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        In front of its draws. [°C]

    Raises
    ------
    UserError
        It stands nowhere.
    """
    read = mean_of(run, "ambient")
    if read is not None:
        return read
    stated = work.book.campaign.runs[run.record.run].ambient
    if stated is None:
        raise UserError(Fault("the ambient was neither read nor typed",
                              f"runs/{run.record.run}.toml", do='write ambient = "24.5 °C"'))
    return typed(f"{run.record.run} ambient", stated, LIMITS.ambient_typed)


def power_of(run: RunResult) -> np.ndarray:
    """Mean electrical power of a run's steady window.

    Parameters
    ----------
    run : RunResult
        Of kind steady.

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        In front of its draws. [W]

    Raises
    ------
    UserError
        There is none.
    """
    row = next((f for f in find(run.findings, finding="mean_power") if f.value is not None), None)
    if row is None:
        raise UserError(Fault(
            "this run gives no mean power", f"runs/{run.record.run}.toml",
            do="log power or read an energy counter at begin and end of a run long enough to be "
               "steady"))
    return with_draws(row.value, row.draws)


def sides_of(work: Work, run: RunResult) -> tuple[np.ndarray, np.ndarray] | None:
    """Where the machine takes up and gives off heat, cold and warm; None where it was not read.

    Parameters
    ----------
    work : Work
        Of the group.
    run : RunResult
        The steady run; other runs of its cooler serve where it has no such readings.

    Returns
    -------
    tuple of ndarray or None
        In front of their draws. [°C]
    """
    others = [one for one in work.book.result.of(run.record.cooler) if one is not run]
    compressor = work.book.campaign.coolers[run.record.cooler].technology == "compressor"
    for one in (run, *others):
        if compressor and all(one.record.trace(role) for role in SIDES):
            return tuple(_saturated(work, one, role) for role in SIDES)
        surfaces = [mean_of(one, role) for role in SIDES.values()]
        if all(surface is not None for surface in surfaces):
            off = CARDS.two_phase_surface if compressor else 0.0
            return tuple(_widened(f"{one.record.run} {role} surface", surface, off)
                         for role, surface in zip(SIDES.values(), surfaces, strict=True))
    return None


def sides_told(work: Work) -> list[object]:
    """Readings of coils or faces as they stand, for the student's page.

    Parameters
    ----------
    work : Work
        Of the group.
    """
    run = steady_of(work)
    others = [one for one in work.book.result.of(run.record.cooler) if one is not run]
    roles = (*SIDES, *SIDES.values())
    for one in (run, *others):
        read = {role: trace for role in roles if (trace := one.record.trace(role)) is not None}
        if len(read) > 1:
            rows = [[role.replace("_", " "), trace.unit, len(trace.y), *(
                number(end, 1) for end in (trace.y.min(), trace.y.max()))]
                for role, trace in read.items()]
            heads = ["Read", "Unit", "Readings", "Lowest", "Highest"]
            return [Table(heads, rows, caption=f"Where the machine takes up and gives off heat, "
                                               f"run {one.record.run}")]
    return [NoticeBox("note", "No readings of coils or faces", (
        "Steps with the refrigerant's temperatures are left open, and cost nothing."))]


def _saturated(work: Work, run: RunResult, role: str) -> np.ndarray:
    from coldbench.physics.refrigerant import saturation_temperature

    fluid = fluid_of(work, run)
    return linear(lambda p: saturation_temperature(fluid, KILO * p) - KELVIN,
                  pressure_of(work, run, role, fluid))


def _widened(name: str, surface: np.ndarray, limit: float) -> np.ndarray:
    drawn = surface[1:] if len(surface) > 1 else surface
    return with_draws(surface[0], drawn + draws.uniform(name, limit)) if limit else surface


def _asked(name: str, title: str, kind: str, unit: str, span: tuple[float, float], formula: str,
           *needs: str, part: str = "comparison with the ideal and between groups") -> Asked:
    return Asked(name, title, kind, unit, *span, formula, needs, part=part)


DERIVED = "derived quantities"
ASKED = (
    _asked("heat_leak", "Heat leak of the walls", "heat_leak", "W/K", (0.05, 5),
           "from the heat leak card, or as stated for your group", part=DERIVED),
    _asked("mean_capacity", "Mean cooling capacity", "power", "W", (1, 500),
           "heat leak × (ambient − inside), since nothing is stored in a steady window",
           "heat_leak", part=DERIVED),
    _asked("mean_power", "Mean electrical power", "power", "W", (1, 500),
           "energy of whole cycles / their time", part=DERIVED),
    _asked("heat_rejected", "Heat given off to the room", "power", "W", (2, 1000),
           "cooling capacity + electrical power", "mean_capacity", "mean_power",
           part="balance and closure"),
    _asked("net_cop", "COP, net", "count", "", (0.02, 8), "cooling capacity / electrical power",
           "mean_capacity", "mean_power", part=DERIVED),
    _asked("carnot_reservoirs", "COP of an ideal machine between inside and room", "count", "",
           (3, 300), "T inside / (T ambient − T inside), in kelvin"),
    _asked("fraction_reservoirs", "Fraction of it that was reached", "count", "", (0.001, 1),
           "COP / that", "net_cop", "carnot_reservoirs"),
    _asked("cold_temperature", "Where heat is taken up: boiling, or cold face", "temperature",
           "°C", (-60, 20), "saturation at the low pressure, or the surface"),
    _asked("hot_temperature", "Where heat is given off: condensing, or hot face", "temperature",
           "°C", (15, 90), "saturation at the high pressure, or the surface"),
    _asked("carnot_refrigerant", "COP of an ideal machine between those two", "count", "",
           (1, 60), "T cold / (T hot − T cold), in kelvin", "cold_temperature",
           "hot_temperature"),
    _asked("fraction_refrigerant", "Fraction of that", "count", "", (0.005, 1), "COP / that",
           "net_cop", "carnot_refrigerant"),
)

CARD = Card(
    name="carnot_gap",
    title="The gap to the ideal machine",
    asked=ASKED,
    solve=solve,
    runs=("steady",),
    roles=("air", "ambient", "power", "cold_side", "hot_side"),
    safety=(*GENERAL, CIRCUIT, MAINS, HOT),
    questions=(
        "List the losses between your COP and the ideal one by their size. Which would you mend "
        "first?",
        "Your two ideal COPs differ. What in the cooler makes up the difference, and what would "
        "make it smaller?",
        "Why must the temperatures of these ratios be in kelvin? Show what °C would give.",
        "Which of the COPs on this card should be printed for a customer, and why?",
        "Why does the COP fall when the room gets warmer? Say it with your own numbers.",
        "A fraction above one came out in another group. Which reading would you look at first?",
    ),
    windows=lambda work: steady_hours(steady_of(work)),
    guide=Guide(
        usual={
            "net_cop": "0.8 to 2 for a small compressor cooler, 0.1 to 0.6 for a "
                       "thermoelectric one",
            "fraction_reservoirs": "0.08 to 0.25 and 0.01 to 0.05",
            "fraction_refrigerant": "0.2 to 0.45 and 0.03 to 0.12",
        },
        slips=(
            "°C in the ratio.",
            "Running power in place of mean power: the COP is low by the duty.",
            "The heat leak with the module in place taken for that of the walls.",
            "Coil temperatures read while the machine rests.",
        ),
        plan=(("15 min", "steady window of the run; means of inside, ambient, power"),
              ("20 min", "coil or face temperatures while the machine runs"),
              ("30 min", "both ideal COPs and fractions"),
              ("25 min", "question: losses by size")),
        shopping=("cooler after a night of steady running, with its log",
                  "heat leak of the same box", "two probes with foam tape for the coils or faces"),
    ),
)
