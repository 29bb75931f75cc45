"""From columns of numbers to traces: unit, probe, error, step and gap limit of each role."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.record import Trace
from coldbench.quantities import ErrorLimit, convert, unit_kind
from coldbench.sheets import Campaign
from coldbench.sheets.campaign import InstrumentSheet
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.run import ColumnSheet, LogSheet

GAP_STEPS = 2.5
DECIMALS = 6
BARE = {"C": "°C", "F": "°F"}  # in a heading of a temperature these are no coulomb and no farad


@dataclass(frozen=True)
class Column:
    """One column with a role, ready to become a trace.

    Parameters
    ----------
    heading, role, unit : str
        As in the file, the role, and the unit of the values as written.
    values : ndarray, shape (n,)
        In the unit of the role; NaN where blank.
    step : float
        Smallest decimal step seen in the values. [unit of the role]
    """

    heading: str
    role: str
    unit: str
    values: np.ndarray
    step: float


def to_role(
    heading: str, sheet: ColumnSheet, raw: np.ndarray, where: str
) -> Column:
    """A column in the unit of its role.

    Parameters
    ----------
    heading : str
        Of the column.
    sheet : ColumnSheet
        Role, and the unit where it is declared.
    raw : ndarray, shape (n,)
        As written. [declared unit]
    where : str
        File and line of the declaration.

    Raises
    ------
    UserError
        The unit cannot be told.
    """
    kind = ROLE_KINDS[base_role(sheet.role)]
    if kind == "count":
        return Column(heading, sheet.role, "", raw, 1.0)
    unit = sheet.unit or unit_of_heading(heading, kind)
    if unit is None:
        example = {"temperature": "°C", "power": "W", "energy": "kWh", "voltage": "V",
                   "current": "A"}.get(kind, "…")
        raise UserError(Fault(
            f'the unit of column "{heading}" cannot be told', where,
            found=f'the heading "{heading}", and no unit in the sheet',
            do=f'"{heading}" = {{ role = "{sheet.role}", unit = "{example}" }}',
        ))
    scale = convert(np.array([0.0, 1.0]), unit, kind)
    step = decimal_step(raw) * abs(float(scale[1] - scale[0]))
    return Column(heading, sheet.role, unit, convert(raw, unit, kind), step)


def unit_of_heading(heading: str, kind: str) -> str | None:
    """Unit that a heading carries plainly, or None.

    Examples
    --------
    >>> unit_of_heading("inside_C", "temperature"), unit_of_heading("T (°F)", "temperature")
    ('°C', '°F')
    >>> unit_of_heading("CH1", "temperature") is None
    True
    """
    for token in reversed(re.split(r"[\s_()\[\]/,;:]+", heading)):
        unit = BARE.get(token, token) if kind == "temperature" else token
        if unit and unit_kind(unit) == kind:
            return unit
    return None


def decimal_step(values: np.ndarray) -> float:
    """Smallest decimal step that all values are multiples of: their rounding.

    Examples
    --------
    >>> decimal_step(np.array([24.5, 24.25, np.nan]))
    0.01
    """
    some = values[~np.isnan(values)][:5000]
    for decimals in range(DECIMALS):
        if np.allclose(some, np.round(some, decimals), rtol=0, atol=1e-9):
            return 10.0**-decimals
    return 0.0


def to_trace(
    column: Column, t: np.ndarray, log: LogSheet, campaign: Campaign
) -> Trace:
    """A trace of a column: blanks left out, native samples.

    Parameters
    ----------
    column : Column
        Values in the unit of the role.
    t : ndarray, shape (n,)
        POSIX. [s]
    log : LogSheet
        Its declarations.
    campaign : Campaign
        Its instruments.
    """
    sheet = log.columns[column.heading]
    there = ~np.isnan(column.values)
    times, values = t[there], column.values[there]
    steps = np.diff(times)
    step = float(np.median(steps)) if len(steps) else 0.0
    name = sheet.instrument or log.instrument
    instrument = campaign.sheet.instruments.get(name) if name else None
    electrical = base_role(column.role) in ("power", "energy", "voltage", "current")
    return Trace(
        role=column.role, t=times, y=values, step=step,
        gap=log.gap.value if log.gap else GAP_STEPS * step,
        probe=sheet.probe or f"{name or log.file}:{column.heading}",
        error=error_of(instrument, column.role), resolution=resolution_of(instrument, column.step),
        counter_step=_counter_step(instrument, column),
        power=log.power or "hold", label=log.label or "start",
        metered_at=(log.metered_at or "") if electrical else "", file=log.file,
    )


def error_of(instrument: InstrumentSheet | None, role: str) -> ErrorLimit | None:
    """Limit of an instrument's error on a role; None where none is stated.

    An offset of a counter that measures energy is in every reading and cancels in a difference;
    that of a power meter is a power, and adds up with time.
    """
    if instrument is None or instrument.error is None:
        return None
    if base_role(role) == "energy" and instrument.measures == "energy":
        return ErrorLimit(0.0, instrument.error.relative)
    return instrument.error


def resolution_of(instrument: InstrumentSheet | None, seen: float) -> float:
    """Step of a reading: stated, else as seen. [unit of the role]"""
    stated = instrument.resolution if instrument is not None else None
    return stated.value if stated is not None else seen


def _counter_step(instrument: InstrumentSheet | None, column: Column) -> float:
    if base_role(column.role) != "energy":
        return 0.0
    stated = instrument.counter_step if instrument is not None else None
    return stated.value if stated is not None else column.step
