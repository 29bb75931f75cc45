"""A refrigerant circuit that stays closed: its fluid, and pressures read or inferred."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import RunResult
from coldbench.course.card import with_draws
from coldbench.course.limits import CARDS
from coldbench.course.readings import instrument_of, linear, mean_of, run_of
from coldbench.errors import Fault, UserError
from coldbench.report.display import KeyValue, NoticeBox, Text

if TYPE_CHECKING:
    from coldbench.course.work import Work

KELVIN, KILO = 273.15, 1e3
PLACES = ("suction", "discharge", "liquid")
# Where each pressure is read, and the surface at whose temperature the refrigerant changes phase.
SIDES = {"pressure_low": "cold_side", "pressure_high": "hot_side"}


def fluid_of(work: Work, run: RunResult) -> str:
    """Refrigerant of a group: the roster's, else that on the cooler's sheet.

    Parameters
    ----------
    work : Work
        Of the group.
    run : RunResult
        With its cooler.

    Returns
    -------
    str
        As CoolProp names it.

    Raises
    ------
    UserError
        None is stated, or the library does not know it.
    """
    from coldbench.physics.refrigerant import critical_temperature

    cooler = run.record.cooler
    sheet = work.book.campaign.coolers[cooler].refrigerant
    stated = str(work.parameters.get("refrigerant", "") or (sheet.name if sheet else ""))
    where = f"coolers/{cooler}.toml"
    if not stated:
        raise UserError(Fault("the refrigerant is not stated", where,
                              do='write refrigerant = { name = "R134a" }, as on the name plate'))
    fluid = stated.replace("-", "").replace(" ", "")
    try:
        critical_temperature(fluid)
    except ValueError:
        raise UserError(Fault("no such refrigerant is known", where, found=stated,
                              allowed="R134a, R600a, R290, R1234yf and other pure ones")) from None
    return fluid


def pressure_of(work: Work, run: RunResult, role: str, fluid: str) -> np.ndarray:
    """An absolute pressure: read, or inferred from the surface where the refrigerant boils.

    Parameters
    ----------
    work : Work
        Of the group; its parameters may state ``air_pressure``.
    run : RunResult
        With the readings.
    role : {"pressure_low", "pressure_high"}
        Which one.
    fluid : str
        As CoolProp names it.

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        In front of its draws. [kPa]

    Raises
    ------
    UserError
        Neither was read, or the gauge's sheet does not say what it reads from.

    References
    ----------
    .. [1] Equilibrium of a pure substance; limits of surface and air are this kit's own.
    """
    read = mean_of(run, role)
    if read is None:
        return _inferred(run, role, fluid)
    instrument = instrument_of(work.book.result, run, role)
    kind = (instrument.kind or "").lower() if instrument is not None else ""
    if "absolute" in kind:
        return read
    if "gauge" not in kind:
        raise UserError(Fault(
            f"whether {role} counts from vacuum or from the air's pressure is not said",
            "campaign.toml", found=kind or "no kind",
            do='write kind = "absolute pressure sensor" or kind = "gauge" for its instrument'))
    air = work.parameters.get("air_pressure")
    value = air.value if air is not None else CARDS.air_pressure
    limit = air.limit if air is not None and air.limit is not None else CARDS.air_pressure_limit
    return read + with_draws(value, value + draws.uniform("air pressure", limit))


def _inferred(run: RunResult, role: str, fluid: str) -> np.ndarray:
    from coldbench.physics.refrigerant import props

    surface = mean_of(run, SIDES[role])
    if surface is None:
        raise UserError(Fault(
            f"neither {role} nor the surface it could be inferred from was read",
            f"runs/{run.record.run}.toml", allowed=f"readings of {role}, or of {SIDES[role]}",
            do=f"tape an insulated probe to the middle of the coil and read it as {SIDES[role]}"))
    off = draws.uniform(f"{run.record.run} {SIDES[role]} surface", CARDS.two_phase_surface)
    inside = with_draws(surface[0], (surface[1:] if len(surface) > 1 else surface) + off)
    return linear(lambda t: props("P", "T", t + KELVIN, "Q", 1.0, fluid) / KILO, inside)


def inferred(run: RunResult) -> str:
    """Which pressures of a run are inferred, for a label; empty where gauges were read."""
    missing = [role for role in SIDES if run.record.trace(role) is None]
    if not missing:
        return ""
    words = " and ".join(role.removeprefix("pressure_") for role in missing)
    return f"{words} pressure inferred from the surface of the coil, not read"


def pressures_told(work: Work) -> list[object]:
    """How the pressures came about, for the student's page.

    Parameters
    ----------
    work : Work
        Of the group.
    """
    run = run_of(work.book.result, roles=PLACES)
    if label := inferred(run):
        return [NoticeBox("doubt", "Inferred pressures", (
            f"{label.capitalize()}. A taped, insulated surface at a place where the refrigerant "
            f"boils or condenses lies within {CARDS.two_phase_surface:g} K of it. Take the "
            "pressure that belongs to that temperature from the saturation line, and write "
            "“inferred” beside it wherever you use it."))]
    kinds = [(instrument_of(work.book.result, run, role), role) for role in SIDES]
    told = [(f"{role.removeprefix('pressure_').capitalize()} pressure",
             one.kind if one is not None else None) for one, role in kinds]
    air = work.parameters.get("air_pressure")
    stated = str(air) if air is not None else f"not stated; take {CARDS.air_pressure:g} kPa"
    fluid = ("Refrigerant", fluid_of(work, run))
    return [Text("The circuit"), KeyValue([fluid, *told, ("Pressure of the air", stated)])]
