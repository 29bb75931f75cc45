"""Whether a cooler can hold the footing's inside at the footing's ambient."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.states import State
from coldbench.findings import Finding
from coldbench.quantities import number


@dataclass(frozen=True)
class Holds:
    """The answer, and what it rests on. ``can`` is None where it cannot be told."""

    can: bool | None
    note: str


def holds(
    states: Sequence[State], rows: Sequence[Finding], cooler: str, inside: float, ambient: float
) -> Holds:
    """Judge a cooler by what it held, else by how cold it got, else by its duty.

    Parameters
    ----------
    states : sequence of State
        Of the cooler.
    rows : sequence of Finding
        Of the campaign.
    cooler : str
        Its id.
    inside, ambient : float
        Of the footing. [°C]

    Returns
    -------
    Holds

    Notes
    -----
    It held as much where a thermostat cycled as cold in a room as warm. Else the coldest air is
    moved, by less than a kelvin for each of the ambient (from trial on simulated coolers). A
    coldest at which a thermostat cycled is the thermostat's: it stays where it is, as long as the
    share of time the machine would run stays below one; so does that of a cooler whose coldest was
    not measured.

    References
    ----------
    .. [1] This kit's own definition.
    """
    wanted = f"{number(inside, 0)} °C at {number(ambient, 0)} °C"
    near = LIMITS.footing_near
    for one in states:
        as_cold = one.inside.value <= inside + near and one.ambient.value >= ambient - near
        if one.settled and as_cold:
            return Holds(True, "")
    coldest = next((f for f in rows if f.finding == "coldest_air" and f.cooler == cooler), None)
    if coldest is not None and coldest.value is not None and "ambient" in coldest.conditions:
        limited = [one for one in states if one.settled and set(one.runs) & set(coldest.runs)]
        return _by_coldest(coldest, limited, cooler, inside, ambient, wanted)
    if coldest is not None and coldest.high is not None and "ambient" in coldest.conditions:
        moved = ambient - float(coldest.conditions["ambient"])
        most = LIMITS.coldest_follows + LIMITS.coldest_doubt
        if coldest.high + max(moved * most, 0.0) <= inside:
            return Holds(True, "")
    return _by_duty([one for one in states if one.settled], inside, ambient, wanted)


def _by_coldest(
    coldest: Finding, limited: Sequence[State], cooler: str, inside: float, ambient: float,
    wanted: str,
) -> Holds:
    """By the coldest air; ``limited`` are its states where a thermostat ended it."""
    if coldest.draws is None:
        return Holds(None, f"cannot tell whether it holds {wanted}: error not stated")
    moved = 0.0 if limited else ambient - float(coldest.conditions["ambient"])
    follows = LIMITS.coldest_follows + draws.uniform(
        f"{cooler} coldest follows ambient", LIMITS.coldest_doubt)
    low, high = draws.interval(coldest.draws + moved * follows)
    there = number(coldest.value + moved * LIMITS.coldest_follows, 1)
    if high <= inside:
        return _by_duty(limited, inside, ambient, wanted) if limited else Holds(True, "")
    if low > inside:
        return Holds(False, f"cannot hold {wanted}; coldest {there} °C")
    return Holds(None, f"cannot tell whether it holds {wanted}: coldest {there} °C, "
                       f"{number(low, 1)} to {number(high, 1)} °C")


def _by_duty(states: Sequence[State], inside: float, ambient: float, wanted: str) -> Holds:
    """The share of time it would run, by the power law with its doubt."""
    if not states or ambient <= inside:
        return Holds(None, f"cannot tell whether it holds {wanted}: needs a run at the coldest "
                           "setting")
    one = min(states, key=lambda s: abs(s.ambient.value - ambient) + abs(s.inside.value - inside))
    if one.difference.value <= 0:
        return Holds(None, f"cannot tell whether it holds {wanted}")
    ratio = (ambient - inside) / one.difference.value
    grows = one.law + 2 * LIMITS.law_doubt * np.array([-1.0, 1.0])
    least, most = sorted(one.duty.value * ratio**grows)
    if most < 1:
        return Holds(True, "")
    if least > 1:
        return Holds(False, f"cannot hold {wanted}; it would have to run {number(least, 1)} times "
                            "all the time")
    return Holds(None, f"cannot tell whether it holds {wanted}: it would run "
                       f"{number(100 * least, 0)} to {number(100 * most, 0)} % of the time")
