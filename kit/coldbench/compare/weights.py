"""A ranking by weights that the user wrote, with how much it hangs on them and on doubt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from coldbench import draws
from coldbench.compare.against import NOT_STATED
from coldbench.compare.differences import run_to_run
from coldbench.compare.repeats import Spread
from coldbench.compare.shortlist import AXES, axis_rows
from coldbench.findings import KINDS, Finding
from coldbench.sheets import Campaign


@dataclass(frozen=True)
class Move:
    """How far one weight must move, the others staying, to change the first place.

    Attributes
    ----------
    axis : str
        Finding that is weighted.
    weight : float
        As written. [-]
    below, above : float or None
        The nearest weights at which another cooler draws level; None where none does. [-]
    below_first, above_first : str
        Who comes first beyond them.
    """

    axis: str
    weight: float
    below: float | None = None
    above: float | None = None
    below_first: str = ""
    above_first: str = ""


@dataclass(frozen=True)
class Ranking:
    """Coolers by weighted score.

    Attributes
    ----------
    order : tuple of str
        Ids, best first.
    scores : mapping of str to float
        1 is best on every weighted finding, 0 worst on every one. [-]
    chances : mapping of str to float
        Share of the draws in which a cooler comes first. [-]
    moves : tuple of Move
        One for each weight above zero.
    left_out : mapping of str to str
        Coolers without a score, and why.
    """

    order: tuple[str, ...] = ()
    scores: Mapping[str, float] = field(default_factory=dict)
    chances: Mapping[str, float] = field(default_factory=dict)
    moves: tuple[Move, ...] = ()
    left_out: Mapping[str, str] = field(default_factory=dict)


def ranking(
    campaign: Campaign, rows: Sequence[Finding], coolers: Sequence[str],
    spreads: Mapping[str, Spread] | None = None,
) -> Ranking | None:
    """Rank coolers by the campaign's weights.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    rows : sequence of Finding
        One a cooler, finding and ``at``.
    coolers : sequence of str
        Those to be ranked: the shortlist.
    spreads : mapping of str to Spread, optional
        Run-to-run spread seen, by finding; the assumed one enters without.

    Returns
    -------
    Ranking or None
        None where the user wrote no weight above zero.

    References
    ----------
    .. [1] Weighted sum of findings, each scaled from 0 at the worst to 1 at the best value of the
       coolers ranked: common practice, no source. Draws are scaled by the same two values.
    """
    weights = _weights(campaign)
    if not weights:
        return None
    on = {axis: axis_rows(campaign, rows, coolers, axis) for axis in weights}
    left_out = {c: why for c in coolers if (why := _why_not(on, c))}
    ranked = [c for c in coolers if c not in left_out]
    if not ranked:
        return Ranking(left_out=left_out)
    share = np.array(list(weights.values())) / sum(weights.values())
    scaled, drawn = _scaled(on, ranked, spreads or {})
    scores = share @ scaled
    best = np.tensordot(share, drawn, 1).argmax(axis=0)
    chances = np.bincount(best, minlength=len(ranked)) / draws.DRAWS
    first = int(scores.argmax())
    return Ranking(
        tuple(ranked[n] for n in np.argsort(-scores, kind="stable")),
        dict(zip(ranked, scores.tolist(), strict=True)),
        dict(zip(ranked, chances.tolist(), strict=True)),
        tuple(_move(axis, n, np.array(list(weights.values())), scaled, first, ranked)
              for n, axis in enumerate(weights)),
        left_out,
    )


def _weights(campaign: Campaign) -> dict[str, float]:
    told = campaign.sheet.weights
    return {axis: weight for axis in AXES if told is not None and (weight := getattr(told, axis))}


def _why_not(on: Mapping[str, Mapping[str, Finding | None]], cooler: str) -> str:
    """Why a cooler has no score, or ``""``."""
    for axis, rows in on.items():
        row = rows[cooler]
        title = KINDS[axis].title.lower()
        if row is None:
            return f"{title} not known"
        if row.value is None:
            return f"{title}: only a bound"
        if row.draws is None and not row.low == row.high == row.value:
            return f"{title}: {NOT_STATED}"
    return ""


def _scaled(
    on: Mapping[str, Mapping[str, Finding]], coolers: Sequence[str], spreads: Mapping[str, Spread]
) -> tuple[np.ndarray, np.ndarray]:
    """Values (axes, coolers) and draws (axes, coolers, 4000), 0 at the worst, 1 at the best."""
    values = np.array([[on[axis][c].value for c in coolers] for axis in on])
    drawn = np.array([[_drawn(on[axis][c], spreads) for c in coolers] for axis in on])
    better = np.array([-1.0 if next(iter(on[axis].values())).kind.better < 0 else 1.0
                       for axis in on])[:, None]
    values, drawn = values * better, drawn * better[:, :, None]
    worst, span = values.min(axis=1), np.ptp(values, axis=1)
    # Where all are the same, they stay so: nobody gains by it.
    per = np.divide(1.0, span, out=np.zeros_like(span), where=span > 0)
    return ((values - worst[:, None]) * per[:, None],
            (drawn - worst[:, None, None]) * per[:, None, None])


def _drawn(row: Finding, spreads: Mapping[str, Spread]) -> np.ndarray:
    if row.draws is None or np.ptp(row.draws) == 0:
        return np.full(draws.DRAWS, row.value)
    return row.draws + run_to_run(row, spreads.get(row.finding))[0]


def _move(
    axis: str, n: int, weights: np.ndarray, scaled: np.ndarray, first: int, coolers: Sequence[str]
) -> Move:
    """Nearest weights of one axis at which another draws level with the first.

    With the sum S of each, the first leads another by ``S₁ − S₂``, which falls by ``s₁ − s₂``
    for each unit that the weight falls.
    """
    sums = weights @ scaled
    below, above = (-np.inf, ""), (np.inf, "")
    for other, cooler in enumerate(coolers):
        slope = scaled[n, first] - scaled[n, other]
        if other == first or slope == 0:
            continue
        level = weights[n] - (sums[first] - sums[other]) / slope
        if slope > 0 and level >= 0 and level > below[0]:
            below = (level, cooler)
        elif slope < 0 and level < above[0]:
            above = (level, cooler)
    return Move(
        axis, float(weights[n]), float(below[0]) if below[1] else None,
        float(above[0]) if above[1] else None, below[1], above[1],
    )
