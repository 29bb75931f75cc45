"""The heat balance of a closed box as a lab card works it out: values in front of their draws."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.analysis.balance import Balance
from coldbench.analysis.structure import modelled_structure
from coldbench.course.card import with_draws
from coldbench.errors import Fault, UserError

if TYPE_CHECKING:
    from coldbench.course.work import Work

HOUR = 3600.0
# The student's formula for the structure, which the kit's own follows; values from memory.
STRUCTURE_HINT = (
    "mass of the liner × its heat capacity (plastic about 1.9 kJ/(kg K)) + a third of the foam "
    "(35 kg/m³, 1.4 kJ/(kg K)) + about 1.2 kJ/K of an evaporator or 0.6 kJ/K of a cold plate "
    "that is inside"
)


def span_of(work: Work) -> Balance:
    """The stretch of the card's run over which its balance is made.

    Parameters
    ----------
    work : Work
        On a card whose first kind of run is ``heater`` or ``warm-up``.

    Raises
    ------
    UserError
        What was read is not enough for a balance; what would be needed is told.
    """
    run = work.run()
    if run.balance is None:
        needs = next((f.note for f in run.findings if f.finding == "heat_leak"), "")
        raise UserError(Fault(
            f"the run gives no heat balance for the card {work.card.name}",
            f"runs/{run.record.run}.toml", do=needs or "log inside air, load and ambient",
        ))
    return run.balance


def difference(span: Balance, warmer: int) -> np.ndarray:
    """Mean difference between ambient and inside.

    Parameters
    ----------
    span : Balance
    warmer : int
        +1 where ambient is the warmer one, −1 where the inside is.

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        [K]
    """
    return warmer * with_draws(span.drive, span.drive_true) / (span.t1 - span.t0)


def rise(span: Balance) -> np.ndarray:
    """By how much the inside air got warmer from the first ten minutes to the last. [K]"""
    return with_draws(span.rise, span.rise_true)


def structure(work: Work, kind: str = "") -> np.ndarray:
    """Heat capacity of liner, inner foam and what else the air sees.

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        Not a number where the cooler's sheet tells no size. [kJ/K]

    References
    ----------
    .. [1] :func:`coldbench.analysis.structure.modelled_structure`.
    """
    context = work.context(kind)
    cooler = context.record.cooler
    found = modelled_structure(
        cooler, context.campaign.coolers[cooler], context.run.machine == "out")
    if found is None:
        return np.array([np.nan])
    return with_draws(found.value, found.draws) / 1000


def half_width(values: np.ndarray) -> float:
    """Half of the 95 % interval; not a number where an instrument states no error. [as values]"""
    if len(values) < 2:
        return np.nan
    low, high = draws.interval(values[1:])
    return (high - low) / 2


def within_twice(value: float) -> tuple[float, float]:
    """Band of a student's own uncertainty: a budget by hand is right within a factor of two.

    References
    ----------
    .. [1] This kit's own definition.
    """
    return value / 2, value * 2
