"""Readings typed by hand become traces of their own."""

from __future__ import annotations

import re
from collections import defaultdict
from datetime import datetime

import numpy as np

from coldbench.errors import Fault, UserError, gathered
from coldbench.logs.columns import GAP_STEPS, error_of, resolution_of
from coldbench.logs.record import Trace
from coldbench.quantities import Quantity
from coldbench.sheets import Campaign
from coldbench.sheets.roles import base_role

METERED = ("power", "energy")
NO_LINE = 1.0  # gap limit of a counter read by eye: nothing is known between two readings [s]


def instant(campaign: Campaign, start: float | None, at: Quantity | datetime) -> float:
    """POSIX seconds of a time in a run sheet. [s]"""
    if isinstance(at, datetime):
        return campaign.seconds(at)
    return float(start or 0.0) + at.value


def read_by_hand(campaign: Campaign, run: str) -> list[Trace]:
    """Traces of the ``[[reading]]`` rows of a run, one a role.

    Parameters
    ----------
    campaign : Campaign
        Sheets.
    run : str
        Id of the run.

    Returns
    -------
    list of Trace

    Raises
    ------
    UserError
        Readings of a role that go back in time or stand twice, come from two instruments, or do
        not say where energy was metered.
    """
    sheet = campaign.runs[run]
    start = campaign.seconds(sheet.start) if sheet.start else None
    rows: dict[str, list[tuple[float, Quantity, int]]] = defaultdict(list)
    for number, reading in enumerate(sheet.reading):
        for role, quantity in reading.values.items():
            rows[role].append((instant(campaign, start, reading.at), quantity, number))
    faults: list[Fault] = []
    traces = []
    for role, of_role in rows.items():
        times = np.array([t for t, _, _ in of_role])
        wrong = np.flatnonzero(np.diff(times) <= 0)
        if len(wrong):
            number = of_role[int(wrong[0]) + 1][2]
            faults.append(Fault(
                f"readings of {role} do not go on in time",
                campaign.where(f"runs/{run}.toml", "reading", number, "at"),
                do="put them in order, one a time",
            ))
            continue
        with gathered(faults):
            _refuse_unlike(campaign, run, role, [number for _, _, number in of_role])
            traces.append(_trace(campaign, run, role, of_role, times))
    if faults:
        raise UserError(faults)
    return traces


def _refuse_unlike(campaign: Campaign, run: str, role: str, numbers: list[int]) -> None:
    """All readings of a role are of one instrument and one metering point."""
    first = campaign.runs[run].reading[numbers[0]]
    where = [campaign.where(f"runs/{run}.toml", "reading", number) for number in numbers]
    if base_role(role) in METERED and first.metered_at is None:
        raise UserError(Fault(f"where {role} was metered is not said", where[0],
                              allowed="dc (at the cooler), wall, battery",
                              do='add a line to each [[reading]]: metered_at = "dc"'))
    for number, place in zip(numbers, where, strict=True):
        other = campaign.runs[run].reading[number]
        if (other.instrument, other.metered_at) != (first.instrument, first.metered_at):
            raise UserError(Fault(
                f"readings of {role} come from two instruments or metering points", place,
                found=f"{other.instrument or 'no instrument'}, {other.metered_at or 'not metered'}",
                allowed=f"{first.instrument or 'no instrument'}, "
                        f"{first.metered_at or 'not metered'}, as in the first one",
                do="keep one instrument and one point to a role in a run",
            ))


def _trace(
    campaign: Campaign, run: str, role: str, rows: list[tuple[float, Quantity, int]],
    times: np.ndarray,
) -> Trace:
    first = campaign.runs[run].reading[rows[0][2]]
    instrument = campaign.sheet.instruments.get(first.instrument) if first.instrument else None
    values = np.array([q.value for _, q, _ in rows])
    step = float(np.median(np.diff(times))) if len(times) > 1 else 0.0
    typed = max(_typed_step(q) for _, q, _ in rows)
    counter = base_role(role) == "energy"
    stated = instrument.counter_step if instrument is not None else None
    return Trace(
        role=role, t=times, y=values, step=step, gap=NO_LINE if counter else GAP_STEPS * step,
        probe=f"{first.instrument or run} read by eye:{role}", error=error_of(instrument, role),
        resolution=resolution_of(instrument, typed),
        counter_step=(stated.value if stated is not None else typed) if counter else 0.0,
        metered_at=first.metered_at or "", by_hand=True, file=f"runs/{run}.toml",
    )


def _typed_step(quantity: Quantity) -> float:
    """Step of the last digit typed, in the unit of the kind."""
    number = re.search(r"\d+(?:\.(\d+))?", quantity.text)
    if number is None:
        return 0.0
    plain = abs(float(number.group()))
    scale = abs(quantity.value) / plain if plain and quantity.kind != "temperature" else 1.0
    return 10.0 ** -len(number.group(1) or "") * (scale or 1.0)
