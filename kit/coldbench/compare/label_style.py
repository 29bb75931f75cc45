"""Arithmetic of the European energy label on measured coolers: a comparison, never a label.

Mobile 12/24 V boxes lie outside the label and the runs are not its tests; ``physics.regulation``
has the formulas and ``SCOPE``, which stands beside every figure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.limits import LIMITS
from coldbench.compare.footing import DAY, Moved, move
from coldbench.compare.heat_taken import Known, of
from coldbench.compare.holds import holds
from coldbench.compare.leaks import leak_of
from coldbench.compare.states import states
from coldbench.findings import Finding
from coldbench.physics.regulation import KINDS, Compartment, standard_energy
from coldbench.physics.regulation_runs import annual_energy

FRESH = "fresh food"
AMBIENTS = (16.0, 32.0)


@dataclass(frozen=True)
class LabelStyle:
    """One cooler as a fresh-food appliance.

    Parameters
    ----------
    cooler : str
        Its id.
    daily : tuple of (low, value, high)
        At 16 and at 32 °C ambient with 4 °C inside. [Wh/d]
    index : (low, value, high) or None
        Energy efficiency index. [%]
    litres : Finding or None
        Volume it rests on.
    how : tuple of str
        How each ambient was reached.
    note : str
        Why there is no figure.
    """

    cooler: str
    daily: tuple[tuple[float, float, float], ...] = ()
    index: tuple[float, float, float] | None = None
    litres: Finding | None = None
    how: tuple[str, ...] = ()
    note: str = ""


def label_style(result: CampaignResult, rows: Sequence[Finding]) -> list[LabelStyle]:
    """Daily energy at 16 and 32 °C and the index that the label would make of it.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign.

    Returns
    -------
    list of LabelStyle
        One for each powered cooler with two steady states some kelvin of ambient apart: a single
        ambient says too little of 16 and 32 °C.

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV; moving to its ambients is this kit's own.
    """
    told = []
    inside = KINDS[FRESH].target
    for cooler, sheet in result.campaign.coolers.items():
        if sheet.technology == "passive":
            continue
        known = states(result, rows, cooler)
        at = next((one.at for one in known), "")
        known = [one for one in known if one.at == at]
        moved = [move(known, leak_of(rows, cooler), cooler, inside, t) for t in AMBIENTS
                 ] if known else []
        if not moved or max(len(one.runs) for one in moved) < 2 or _one_ambient(known):
            continue
        judged = holds(known, rows, cooler, inside, AMBIENTS[1])
        if judged.can is False:
            told.append(LabelStyle(cooler, note=judged.note))
            continue
        if max(one.kelvins for one in moved) > LIMITS.footing_far:
            told.append(LabelStyle(cooler, note="16 or 32 °C lies too far from what was measured"))
            continue
        told.append(_of(cooler, moved, rows))
    return told


def _one_ambient(known: Sequence[object]) -> bool:
    ambients = [one.ambient.value for one in known]
    return max(ambients) - min(ambients) < 3


def _of(cooler: str, moved: Sequence[Moved], rows: Sequence[Finding]) -> LabelStyle:
    by = {f.finding: f for f in reversed(rows) if f.cooler == cooler}
    litres = by.get("usable_volume") or by.get("inside_volume")
    daily = tuple(_three(of(lambda p: DAY * p, one.power)) for one in moved)
    index = None
    if litres is not None and litres.value:
        standard = standard_energy([Compartment(FRESH, litres.value)])
        index = _three(of(lambda p, q: 100 * annual_energy(
            DAY * p / 1000, DAY * q / 1000) / standard, *(one.power for one in moved)))
    return LabelStyle(cooler, daily, index, litres, tuple(one.how for one in moved))


def _three(known: Known) -> tuple[float, float, float]:
    value = float(known.value)
    low, high = draws.interval(known.draws) if known.draws is not None else (value, value)
    return low, value, high
