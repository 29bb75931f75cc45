"""From columns of numbers to traces: unit, probe, error, step and gap limit of each role."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.numbers import Numbers
from coldbench.logs.record import Trace, steps_of
from coldbench.quantities import KINDS, ErrorLimit, QuantityError, convert, unit_kind
from coldbench.sheets import Campaign
from coldbench.sheets.campaign import InstrumentSheet
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.run import ColumnSheet, LogSheet

GAP_STEPS = 2.5
DECIMALS = 6
FEW, UNEVEN = 8, 1.2  # samples that tell nothing; steps of a clock differ by less than this
BARE = {"C": "°C", "F": "°F"}  # in a heading of a temperature these are no coulomb and no farad


@dataclass(frozen=True, eq=False)
class Column:
    """One column with a role, ready to become a trace.

    Parameters
    ----------
    heading, role, unit : str
        As in the file, the role, and the unit of the values as written.
    t : ndarray, shape (n,)
        POSIX. [s]
    values : ndarray, shape (n,)
        In the unit of the role; NaN where blank.
    step : float
        Smallest decimal step seen in the values. [unit of the role]
    silent : ndarray of bool, shape (n,)
        Samples at which a word says that nothing was measured.
    """

    heading: str
    role: str
    unit: str
    t: np.ndarray
    values: np.ndarray
    step: float
    silent: np.ndarray


def to_role(
    heading: str, sheet: ColumnSheet, numbers: Numbers, written: str | None, where: str
) -> tuple[str, np.ndarray, float]:
    """Values of a column in the unit of its role.

    Parameters
    ----------
    heading : str
        Of the column.
    sheet : ColumnSheet
        Role, and the unit where it is declared.
    numbers : Numbers
        As written. [declared unit, or that in the cell]
    written : str or None
        Unit that a row of units or a unit column gives.
    where : str
        File and line of the declaration.

    Returns
    -------
    unit : str
        Of the values as written.
    values : ndarray, shape (n,)
        [unit of the role]
    step : float
        Smallest decimal step. [unit of the role]

    Raises
    ------
    UserError
        The unit cannot be told, or is another kind's.
    """
    kind = ROLE_KINDS[base_role(sheet.role)]
    raw = numbers.values if sheet.factor is None else numbers.values * sheet.factor
    if kind == "count":
        return "", raw, 1.0
    own = set() if numbers.units is None else set(numbers.units) - {""}
    unit = sheet.unit or written or unit_of_heading(heading, kind)
    bare = bool(own) and bool((~np.isnan(raw) & (numbers.units == "")).any())
    if unit is None and not bare:
        unit = next(iter(sorted(own)), None)
    if unit is None:
        example = {"temperature": "°C", "power": "W", "energy": "kWh", "voltage": "V",
                   "current": "A"}.get(kind, "…")
        raise UserError(Fault(
            f'the unit of column "{heading}" cannot be told', where,
            found=f'the heading "{heading}", and no unit in the sheet' + (
                f"; some cells have one ({', '.join(sorted(own))}), others have none" if bare
                else ""),
            do=f'"{heading}" = {{ role = "{sheet.role}", unit = "{example}" }}',
        ))
    scale = _in_role(np.array([0.0, 1.0]), unit, kind, heading, where)
    values = raw * (scale[1] - scale[0]) + scale[0] if (scale != (0.0, 1.0)).any() else raw
    if numbers.units is not None:
        values = values.copy()
        for other in set(numbers.units) - {"", unit}:
            mixed = numbers.units == other
            values[mixed] = _in_role(raw[mixed], other, kind, heading, where)
    step = decimal_step(numbers.values) * abs(float(scale[1] - scale[0]) * (sheet.factor or 1.0))
    return unit, values, step


def _in_role(
    values: np.ndarray, unit: str, kind: str, heading: str, where: str
) -> np.ndarray:
    try:
        return convert(values, unit, kind)
    except QuantityError:
        raise UserError(Fault(
            f'the unit that the log writes for column "{heading}" does not fit its role', where,
            found=f'"{unit}"', allowed=KINDS[kind].units, do="mend the role, or state the unit",
        )) from None


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
    some = values[:5000]
    some = some[~np.isnan(some)]
    if not len(some):
        some = values[~np.isnan(values)][:5000]
    for decimals in range(DECIMALS):
        if np.allclose(some, np.round(some, decimals), rtol=0, atol=1e-9):
            return 10.0**-decimals
    return 0.0


def to_traces(
    columns: list[Column], log: LogSheet, name: str, campaign: Campaign
) -> list[Trace]:
    """A trace of each column: blanks left out, native samples.

    Parameters
    ----------
    columns : list of Column
        Values in the unit of their role.
    log : LogSheet
        Its declarations.
    name : str
        Of the file.
    campaign : Campaign
        Its instruments.
    """
    return [_trace(column, log, name, campaign) for column in columns]


def _trace(column: Column, log: LogSheet, name: str, campaign: Campaign) -> Trace:
    sheet = log.columns[column.heading]
    times, values, cut = _samples(column)
    step = steps_of(times)[2]
    own = sheet.instrument or log.instrument
    instrument = campaign.sheet.instruments.get(own) if own else None
    electrical = base_role(column.role) in ("power", "energy", "voltage", "current")
    trace = Trace(
        role=column.role, t=times, y=values, step=step,
        gap=log.gap.value if log.gap else GAP_STEPS * step,
        probe=sheet.probe or f"{own or log.file}:{column.heading}",
        error=error_of(instrument, column.role), resolution=resolution_of(instrument, column.step),
        counter_step=_counter_step(instrument, column),
        counter_range=_counter_range(instrument, column),
        power=log.power or "hold", label=log.label or "start",
        metered_at=(log.metered_at or "") if electrical else "", file=name,
        clock="" if log.sync else log.file, on_change=_on_change(times, log), cut=cut,
    )
    return bucketed(trace, sheet.bucket.value) if sheet.bucket is not None else trace


def _on_change(t: np.ndarray, log: LogSheet) -> bool:
    """Whether rows came when values changed: the sheet states a gap, and steps are not even."""
    if log.gap is None or log.power == "mean" or len(t) < FEW:
        return False
    short, long = np.quantile(np.diff(t), [0.1, 0.9])
    return bool(long > UNEVEN * short)


def _samples(column: Column) -> tuple[np.ndarray, np.ndarray, np.ndarray | None]:
    """Times and values without blanks, and after which of them nothing is known.

    A blank cell says nothing. A word such as “unavailable” says that what was held so far holds no
    more: power is known until there, and then unknown until the next value.
    """
    if not len(column.values) or not np.isnan(column.values.min()):  # one blank would make it so
        return column.t, column.values, None
    there = ~np.isnan(column.values)
    times, values = column.t[there], column.values[there]
    words = np.flatnonzero(column.silent)
    if not len(words):
        return times, values, None
    after = np.searchsorted(times, column.t[words], side="right")
    inner = (after > 0) & (after < len(times))
    words, after = words[inner], after[inner]
    limit = GAP_STEPS * steps_of(column.t)[2]
    long = times[after] - column.t[words] > limit
    words, after = words[long], after[long]
    first = np.unique(after, return_index=True)[1]  # the first word of each silence
    words, after = words[first], after[first]
    cut = np.zeros(len(times), bool)
    if not len(after):
        return times, values, None
    if base_role(column.role) not in ("power", "voltage", "current"):
        cut[after - 1] = True
        return times, values, cut
    held = values[after - 1]
    return (np.insert(times, after, column.t[words]), np.insert(values, after, held),
            np.insert(cut, after, True))


def bucketed(trace: Trace, bucket: float) -> Trace:
    """Mean power of intervals, from the energy of each.

    Parameters
    ----------
    trace : Trace
        Energy of each interval, labelled at its start or end. [Wh]
    bucket : float
        Length of the intervals. [s]

    Returns
    -------
    Trace
        Power, the mean of each interval, which holds from its start to its end. [W]

    References
    ----------
    .. [1] This kit's own definition.
    """
    hours = bucket / 3600
    begin = trace.t - bucket if trace.label == "end" else trace.t
    power = trace.y / hours
    # An interval ends where it ends, even if the next one is missing.
    missing = np.append(np.diff(begin) > bucket * (1 + 1e-6), True)
    after = np.flatnonzero(missing) + 1
    t = np.insert(begin, after, begin[missing] + bucket)
    cut = np.insert(np.zeros(len(begin), bool), after, True)
    error = trace.error
    if error is not None:
        error = replace(error, absolute=error.absolute / hours)
    return replace(
        trace, role=trace.role.replace("energy", "power", 1), t=t,
        y=np.insert(power, after, power[missing]), step=bucket, gap=bucket * (1 + 1e-6),
        resolution=trace.resolution / hours, counter_step=0.0, power="mean", label="start",
        error=error, cut=cut, bucket=bucket,
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


def _counter_range(instrument: InstrumentSheet | None, column: Column) -> float:
    if base_role(column.role) != "energy" or instrument is None or not instrument.counter_range:
        return 0.0
    return instrument.counter_range.value
