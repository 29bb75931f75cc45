"""The key: a group's answers held against what its own data give, and against its own slips.

What is expected exists here and in what ``key_pages`` writes, in no student's file.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coldbench.course.answers import Answer
from coldbench.course.card import RUBRIC, Asked, Expected
from coldbench.course.work import Work

RIGHT, CARRIED, OUTSIDE = "right", "right from an earlier slip", "outside the band"
UNIT, NONE, UNKNOWN = "another unit", "not answered", "cannot be marked"
# How far an answer may lie off, as a share of what is expected: 3 % where tables are read, 10 % off
# a chart, the propagated interval where it was measured, but never less than tables allow. Common
# practice, no source.
SHARES = {"table": 0.03, "computed": 0.03, "measured": 0.03, "chart": 0.10,
          "state": 0.0}  # its zero is chosen, as that of °C: only the interval has a meaning
UNSTATED = 0.05  # measured with instruments that state no error
KELVINS = 0.5  # of a temperature, of which a share has no meaning [K]


@dataclass(frozen=True)
class Marked:
    """One answer, marked.

    Parameters
    ----------
    asked : Asked
        What was asked.
    answer : Answer
        What was written.
    number : float or None
        The same in the unit asked for. [unit]
    expected : Expected or None
        From the group's data alone; None where they do not give it.
    carried : Expected or None
        From its data and its own earlier answers; None where it builds on none of them.
    band : (float, float) or None
        What counts as right: of what is carried where the verdict rests on that. [unit]
    verdict : str
        One of the words above.
    points, most : float
        Given, and to be had.
    """

    asked: Asked
    answer: Answer
    number: float | None
    expected: Expected | None
    carried: Expected | None
    band: tuple[float, float] | None
    verdict: str
    points: float
    most: float


def marked(work: Work) -> tuple[Marked, ...]:
    """All answers of a group to a card, marked.

    Parameters
    ----------
    work : Work
        Opened.

    Returns
    -------
    tuple of Marked
        In order. What the group's data do not give is not marked, and its points go to the
        others of its part of the rubric.

    Raises
    ------
    UserError
        The group's data give no balance, no steady window or whatever the card rests on.
    """
    own = work.card.solve(work, {})
    carried = _carried(work)
    told = set(own) | set(carried)
    shares = Counter(one.part for one in work.card.asked if one.name in told)
    most = {one.name: RUBRIC[one.part] / shares[one.part] if one.name in told else 0.0
            for one in work.card.asked}
    return tuple(
        _mark(one, work.answers.numbers[one.name], work.number(one.name), own.get(one.name),
              carried.get(one.name), most[one.name])
        for one in work.card.asked
    )


def _carried(work: Work) -> dict[str, Expected]:
    """What follows from the group's own answers, for what builds on one of them.

    Each step takes the answers that it needs and hands on its own answer, so one way through the
    card tells all of them.
    """
    given = {one.name: number for one in work.card.asked
             if (number := work.number(one.name)) is not None}
    building = [one for one in work.card.asked if set(one.needs) & set(given)]
    found = _solved(work, given)
    if found is None:  # with one of the answers nothing can be worked out: each step alone, then
        alone = {one.name: _solved(work, {name: given[name] for name in one.needs
                                          if name in given}) or {} for one in building}
        return {name: steps[name] for name, steps in alone.items() if name in steps}
    return {one.name: found[one.name] for one in building if one.name in found}


def _solved(work: Work, given: Mapping[str, float]) -> dict[str, Expected] | None:
    try:
        with np.errstate(all="ignore"):
            return work.card.solve(work, given)
    except (ArithmeticError, ValueError):
        return None


def _mark(
    asked: Asked, answer: Answer, number: float | None, expected: Expected | None,
    carried: Expected | None, most: float,
) -> Marked:
    bands = [band_of(asked, one) for one in (expected, carried)]
    inside = [b is not None and number is not None and b[0] <= number <= b[1] for b in bands]
    if not any(bands):
        verdict = UNKNOWN
    elif not answer.text:
        verdict = NONE
    elif number is None:
        verdict = UNIT
    elif inside[0] or (inside[1] and expected is None):
        verdict = RIGHT
    else:
        verdict = CARRIED if inside[1] else OUTSIDE
    band = bands[1] if verdict == CARRIED or bands[0] is None else bands[0]
    points = most if verdict in (RIGHT, CARRIED) else 0.0
    return Marked(asked, answer, number, expected, carried, band, verdict, points, most)


def band_of(asked: Asked, expected: Expected | None) -> tuple[float, float] | None:
    """Within which an answer counts as right.

    Parameters
    ----------
    asked : Asked
        How it is read.
    expected : Expected or None
        Value and interval. [unit of what is asked]

    Returns
    -------
    (float, float) or None
        The wider of interval and share. [unit of what is asked]

    Examples
    --------
    >>> leak = Asked("leak", "", "heat_leak", "W/K", 0, 9, "")
    >>> band_of(leak, Expected(1.0, 0.9, 1.01))
    (0.9, 1.03)
    """
    if expected is None:
        return None
    known = expected.low is not None and expected.high is not None
    share = SHARES[asked.reading]
    if asked.reading == "measured" and not known:
        share = UNSTATED
    half = KELVINS if asked.kind == "temperature" else share * abs(expected.value)
    low, high = expected.value - half, expected.value + half
    return (min(low, expected.low), max(high, expected.high)) if known else (low, high)
