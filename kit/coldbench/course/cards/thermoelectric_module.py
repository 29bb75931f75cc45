"""Lab card: a thermoelectric module between two blocks, from volts, amps and temperatures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cautions import BATTERY, GENERAL, HOT
from coldbench.course.limits import CARDS
from coldbench.course.readings import rows_of, run_of, typed
from coldbench.errors import Fault, UserError
from coldbench.physics.thermoelectric import Module, figure_of_merit, module_from_sheet
from coldbench.physics.thermoelectric import operating_point as point_of
from coldbench.physics.thermoelectric_best import best_cop, best_currents

if TYPE_CHECKING:
    from coldbench.course.work import Work
    from coldbench.figures import Drawn

KELVIN = 273.15
ROLES = ("current", "voltage", "cold_side", "hot_side", "heater")


@dataclass(frozen=True)
class Rows:
    """Readings of a module, a row an instant, each in front of its draws.

    Attributes
    ----------
    current, voltage, cold, hot, heater : ndarray, shape (n, 4001) or (n, 1)
        Temperatures of the faces in kelvin; heat put into the cold block, not a number where it
        is not known. [A], [V], [K], [K], [W]
    """

    current: np.ndarray
    voltage: np.ndarray
    cold: np.ndarray
    hot: np.ndarray
    heater: np.ndarray


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's readings give; see :class:`coldbench.course.card.Card`."""
    run = run_of(work.book.result, roles=("current", "cold_side", "hot_side"))
    read = rows_of(run, ROLES)
    blank = np.full((len(read["current"]), 1), np.nan)
    whole = np.isfinite(read["cold_side"][:, 0] + read["hot_side"][:, 0])
    current, voltage, cold, hot, heater = (read.get(role, blank)[whole] for role in ROLES)
    rows = Rows(current, voltage, cold + KELVIN, hot + KELVIN, heater)
    sheet = _sheet_module(work, run.record.cooler)
    wanted = work.parameters.get("current")
    return module_steps(given, rows, sheet, wanted.value if wanted is not None else None,
                        where=f"runs/{run.record.run}.toml")


def plots(work: Work) -> list[Drawn]:
    """Readings against the current; nothing is worked out."""
    from coldbench.figures.module_readings import module_readings

    run = run_of(work.book.result, roles=("current",))
    read = {role: values[:, 0] for role, values in rows_of(run, ROLES).items()}
    cooler = run.record.cooler
    drawn = module_readings(read, style=work.book.styles[cooler], name=work.book.names[cooler],
                            key=run.record.run)
    return [drawn] if drawn is not None else []


@np.errstate(divide="ignore", invalid="ignore")  # answers to carry forward may be 0
def module_steps(
    given: Mapping[str, float], rows: Rows, sheet: Module | None = None,
    current: float | None = None, where: str = "",
) -> dict[str, Expected]:
    """The way through the card from plain numbers.

    Parameters
    ----------
    given : mapping of str to float
        Answers to carry forward. [unit of each]
    rows : Rows
        At least one.
    sheet : Module or None
        By the data sheet; fills in what the rows do not tell.
    current : float or None
        That of the working point: the row with the heater on next to it, or the last one if
        None; any row where the heater never was on. [A]
    where : str
        Sheet of the run, for messages.

    Returns
    -------
    dict of str to Expected

    Raises
    ------
    UserError
        Neither rows nor data sheet tell the module's properties.

    References
    ----------
    .. [1] M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411, eqs. (112)–(117). Lines
       through the readings are this kit's own.
    """
    steps = Steps(given)
    module, notes = _module(rows, sheet, where)
    seebeck = steps.add("seebeck", 1e3 * module.seebeck, notes[0]) / 1e3
    resistance = steps.add("resistance", module.resistance, notes[0])
    if not notes[1]:
        through = _conductance(rows, seebeck, resistance)
        module = Module(seebeck, resistance, through)
    conductance = steps.add("conductance", module.conductance, notes[1])
    module = Module(seebeck, resistance, conductance)
    used = _working_row(rows, current)
    amps, cold, hot = rows.current[used], rows.cold[used], rows.hot[used]
    mean = (cold + hot) / 2
    merit = steps.add("merit", figure_of_merit(module) * mean)
    point = point_of(module, amps, cold, hot)
    cooling = steps.add("cooling", point.cooling)
    power = steps.add("module_power", point.power)
    steps.add("heat_rejected", cooling + power)
    steps.add("module_cop", cooling / power)
    steps.add("current_most_heat", best_currents(module, cold, hot).most_heat)
    if np.all(hot > cold):
        best = seebeck * (hot - cold) / (resistance * (np.sqrt(1 + merit) - 1))
        steps.add("current_best_cop", best)
        steps.add("best_cop", best_cop(merit / mean, cold, hot))
    return steps.expected


def _module(rows: Rows, sheet: Module | None, where: str) -> tuple[Module, tuple[str, str]]:
    """Properties by the rows, else by the data sheet, with a note each on where they come from."""
    by_rows = np.isfinite(rows.voltage[:, 0])
    heated = np.isfinite(rows.heater[:, 0])
    told = by_rows.sum() > 1 and _apart(rows, by_rows)
    if sheet is None and not (told and heated.any()):
        raise UserError(Fault(
            "the readings do not tell the module's properties", where,
            found=f"{by_rows.sum()} rows with volts and amps, {heated.sum()} with heater",
            allowed="a row at zero current with warm and cold faces apart, rows at other currents, "
                    "and the heat into the cold block (0 W where it is insulated)",
            do="read on, or write modules = { … } from the data sheet into the cooler's sheet"))
    seebeck, resistance = _line(rows, by_rows) if told else (sheet.seebeck, sheet.resistance)
    said = "" if told else "from the data sheet: the readings do not tell it"
    if told and heated.any():
        return Module(seebeck, resistance, _conductance(rows, seebeck, resistance)), (said, "")
    return Module(seebeck, resistance, sheet.conductance), (
        said, "from the data sheet: the heat into the cold block was not read")


def _apart(rows: Rows, used: np.ndarray) -> bool:
    """Whether difference and current differ enough for a line through both."""
    matrix = np.column_stack([rows.hot[used, 0] - rows.cold[used, 0], rows.current[used, 0]])
    scaled = matrix / np.maximum(np.abs(matrix).max(axis=0), 1e-12)
    return bool(np.linalg.matrix_rank(scaled, tol=0.05) == 2)


def _line(rows: Rows, used: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Least squares of ``V = α ΔT + R I``. [V/K], [Ω]"""
    x, y, v = (rows.hot - rows.cold)[used], rows.current[used], rows.voltage[used]
    xx, xy, yy = ((a * b).sum(axis=0) for a, b in ((x, x), (x, y), (y, y)))
    xv, yv = (x * v).sum(axis=0), (y * v).sum(axis=0)
    determinant = xx * yy - xy**2
    return (xv * yy - yv * xy) / determinant, (yv * xx - xv * xy) / determinant


def _conductance(rows: Rows, seebeck: np.ndarray, resistance: np.ndarray) -> np.ndarray:
    """Least squares of ``K ΔT = α I Tc − I² R/2 − Q``. [W/K]"""
    used = np.isfinite(rows.heater[:, 0])
    difference = (rows.hot - rows.cold)[used]
    amps, cold = rows.current[used], rows.cold[used]
    through = seebeck * amps * cold - amps**2 * resistance / 2 - rows.heater[used]
    return (through * difference).sum(axis=0) / (difference**2).sum(axis=0)


def _working_row(rows: Rows, current: float | None) -> int:
    """A row at which heat was taken up, if there is one: without it the COP is nothing."""
    heated = np.flatnonzero(np.nan_to_num(rows.heater[:, 0]) > 0)
    rest = heated if len(heated) else np.arange(len(rows.current))
    if current is None:
        return int(rest[-1])
    return int(rest[np.argmin(np.abs(rows.current[rest, 0] - current))])


def _sheet_module(work: Work, cooler: str) -> Module | None:
    """A single module by its data sheet, within a limit that samples are known to have."""
    sheet = work.book.campaign.coolers[cooler].modules
    stated = (sheet.i_max, sheet.v_max, sheet.dt_max, sheet.t_hot) if sheet is not None else ()
    if not stated or any(one is None for one in stated):
        return None
    i_max, v_max, dt_max = (typed(f"{cooler} module {n}", one, CARDS.module_sample * one.value)
                            for n, one in enumerate(stated[:3]))
    return module_from_sheet(i_max, v_max, dt_max, with_draws(stated[3].value + KELVIN, None))


def _asked(name: str, title: str, kind: str, unit: str, span: tuple[float, float], formula: str,
           *needs: str, part: str = "derived quantities") -> Asked:
    return Asked(name, title, kind, unit, *span, formula, needs, part=part)


COMPARISON = "comparison with the ideal and between groups"
PROPERTIES = ("seebeck", "resistance", "conductance")
ASKED = (
    _asked("seebeck", "Seebeck coefficient of the module", "seebeck", "mV/K", (0.2, 200),
           "V / (t hot − t cold) at zero current, or from the line V = α ΔT + R I"),
    _asked("resistance", "Electrical resistance of the module", "resistance", "Ω", (0.05, 50),
           "slope of V − α ΔT against I", "seebeck"),
    _asked("conductance", "Heat conductance of the module", "heat_leak", "W/K", (0.01, 10),
           "(α I Tc − I² R / 2 − heater) / ΔT, Tc in kelvin", "seebeck", "resistance"),
    _asked("merit", "Figure of merit times mean temperature", "count", "", (0.05, 3),
           "α² / (R K) × (Tc + Th) / 2", *PROPERTIES),
    _asked("cooling", "Heat taken up at the working point", "power", "W", (-200, 400),
           "α I Tc − I² R / 2 − K ΔT", *PROPERTIES),
    _asked("module_power", "Electrical power at the working point", "power", "W", (0.1, 1000),
           "(α ΔT + I R) I", "seebeck", "resistance"),
    _asked("heat_rejected", "Heat given off at the working point", "power", "W", (0.1, 1400),
           "what goes in comes out: heat taken up + electrical power", "cooling", "module_power",
           part="balance and closure"),
    _asked("module_cop", "COP at the working point", "count", "", (-5, 20),
           "heat taken up / electrical power", "cooling", "module_power"),
    _asked("current_most_heat", "Current that takes up most heat", "current", "A", (0.2, 60),
           "α Tc / R", "seebeck", "resistance", part=COMPARISON),
    _asked("current_best_cop", "Current of the best COP", "current", "A", (0.01, 40),
           "α ΔT / (R (M − 1)), M = √(1 + Z Tm)", "seebeck", "resistance", "merit",
           part=COMPARISON),
    _asked("best_cop", "Best COP between these faces", "count", "", (0, 50),
           "Tc / ΔT × (M − Th / Tc) / (M + 1)", "merit", part=COMPARISON),
)

CARD = Card(
    name="thermoelectric_module",
    title="A thermoelectric module: three properties, three currents",
    asked=ASKED,
    solve=solve,
    runs=("steady",),
    roles=ROLES,
    safety=(*GENERAL, HOT, BATTERY),
    questions=(
        "Why is the COP zero at two currents? Name both and say what takes the cooling away.",
        "Which current would you choose for a cooler on a battery, and which on the hottest day "
        "at a socket?",
        "Half of the Joule heat goes to each face. What would your cooling be without that term, "
        "and which way would a customer be misled?",
        "The box is to be kept at one temperature. Why does switching a module on and off cost "
        "more than running it at less current?",
        "Your hot side gets a sink with half the resistance to heat. Which of your results "
        "change, and which do not?",
        "Set your best COP beside that of an ideal machine between the same faces. What is lost "
        "in the module, and to what?",
    ),
    plots=plots,
    guide=Guide(
        usual={
            "seebeck": "about 50 mV/K for a module of 127 couples",
            "resistance": "1.5 to 3 Ω for a module of 127 couples and about 6 A",
            "conductance": "0.4 to 0.7 W/K for the same",
            "merit": "0.6 to 0.8; lower where blocks leak heat or paste is thick",
        },
        slips=(
            "Zero-load readings taken for the COP: no heat is taken up there.",
            "Half the Joule heat forgotten, or all of it put on the cold face.",
            "°C in the Peltier term, which needs kelvin.",
            "Probes in the sink instead of in the block at the face.",
            "Open-circuit volts read late: the faces come together within a minute.",
        ),
        plan=(("10 min", "safety, polarity, paste and clamping"),
              ("15 min", "zero current: heat one face, read volts as the faces come together"),
              ("50 min", "four currents, 10 min each, with the cold block insulated"),
              ("20 min", "one current with the heater on"),
              ("40 min", "line, properties, working point, three currents")),
        shopping=("module of about 40 mm with data sheet", "two metal blocks with holes for probes",
                  "sink with fan", "bench supply with current limit", "two multimeters",
                  "heater resistor of a few watts", "foam collar, paste, clamp"),
    ),
)
