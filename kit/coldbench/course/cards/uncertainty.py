"""Lab card: the uncertainty of one ratio, watts for each kelvin, by budget and by chance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import RunResult
from coldbench.analysis.limits import LIMITS
from coldbench.course.card import Asked, Card, Expected, Guide, Steps
from coldbench.course.cards.carnot_gap import ambient_of, power_of, steady_of
from coldbench.course.cautions import GENERAL, MAINS
from coldbench.course.limits import CARDS
from coldbench.course.readings import mean_of, steady_hours
from coldbench.errors import Fault, UserError
from coldbench.quantities import number

if TYPE_CHECKING:
    from coldbench.course.work import Work

COVERAGE = 2.0
ROOT3 = np.sqrt(3.0)


@dataclass(frozen=True)
class Term:
    """One line of an uncertainty budget.

    Attributes
    ----------
    name : str
        Of the input.
    standard : float
        Its standard uncertainty. [unit of the input]
    sensitivity : float
        How the result moves with it. [result / input]
    freedom : float
        Degrees of freedom; infinite for a limit. [-]
    """

    name: str
    standard: float
    sensitivity: float = 1.0
    freedom: float = np.inf

    @property
    def part(self) -> float:
        """What it brings to the result. [unit of the result]"""
        return abs(self.sensitivity) * self.standard


@dataclass(frozen=True)
class Budget:
    """What the terms of a budget make together.

    Attributes
    ----------
    combined : float
        Combined standard uncertainty. [unit of the result]
    freedom : float
        Effective degrees of freedom. [-]
    largest : str
        Name of the largest term.
    share : float
        Its share of the variance. [-]
    """

    combined: float
    freedom: float
    largest: str
    share: float


def budget_of(terms: Sequence[Term]) -> Budget:
    """Root sum of squares, effective degrees of freedom and the largest term.

    Parameters
    ----------
    terms : sequence of Term
        At least one that is not zero.

    Returns
    -------
    Budget

    References
    ----------
    .. [1] JCGM 100:2008, eqs. (10) and (G.2b), Welch–Satterthwaite.

    Examples
    --------
    >>> budget_of([Term("a", 3.0), Term("b", 4.0)]).combined
    5.0
    """
    variance = sum(term.part**2 for term in terms)
    fourth = sum(term.part**4 / term.freedom for term in terms)
    largest = max(terms, key=lambda term: term.part)
    freedom = variance**2 / fourth if fourth else np.inf
    return Budget(float(np.sqrt(variance)), float(freedom), largest.name,
                  largest.part**2 / variance)


def coverage_factor(freedom: float, share: float = 0.95) -> float:
    """Half width of an interval of Student's t that covers a share.

    Parameters
    ----------
    freedom : float
        Effective degrees of freedom, truncated to a whole number. [-]
    share : float
        That is covered. [-]

    Returns
    -------
    float
        [-]

    References
    ----------
    .. [1] JCGM 100:2008, G.4.1 and table G.2.

    Examples
    --------
    >>> round(coverage_factor(10), 3), round(coverage_factor(float("inf")), 2)
    (2.228, 1.96)
    """
    from scipy.special import ndtri, stdtrit

    upper = (1 + share) / 2
    return float(ndtri(upper) if np.isinf(freedom) else stdtrit(np.floor(freedom), upper))


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's readings give; see :class:`coldbench.course.card.Card`."""
    run = steady_of(work)
    power, inside = (float(one[0]) for one in (power_of(run), mean_of(run, "air")))
    ambient = float(ambient_of(work, run)[0])
    limits = [_limit(run, "power", power), _limit(run, "air", inside),
              _ambient_limit(work, run, ambient)]
    return ratio_steps(given, power, inside, ambient, limits)


def ratio_steps(
    given: Mapping[str, float], power: float, inside: float, ambient: float,
    limits: Sequence[float],
) -> dict[str, Expected]:
    """The way through the card from plain numbers.

    Parameters
    ----------
    given : mapping of str to float
        Answers to carry forward. [unit of each]
    power : float
        [W]
    inside, ambient : float
        [°C]
    limits : sequence of float
        Of error, of each of the three. [W], [K], [K]

    Returns
    -------
    dict of str to Expected

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7 and 5.1; JCGM 101:2008, 6.4.2 and 7.7.
    """
    steps = Steps(given)
    watts = _step(steps, "power", power)
    kelvins = _step(steps, "difference", abs(inside - ambient))
    ratio = _step(steps, "power_per_kelvin", watts / kelvins)
    standards = [_step(steps, name, float(limit / ROOT3)) for name, limit in
                 zip(("u_power", "u_inside", "u_ambient"), limits, strict=True)]
    of_watts, of_kelvins = 1 / kelvins, ratio / kelvins
    terms = [Term("power", standards[0], of_watts), Term("inside", standards[1], of_kelvins),
             Term("ambient", standards[2], of_kelvins)]
    budget = budget_of(terms)
    parts = zip(("part_power", "part_inside", "part_ambient"), terms, strict=True)
    shown = [_step(steps, name, term.part) for name, term in parts]
    combined = _step(steps, "combined", float(np.sqrt(sum(part**2 for part in shown))))
    expanded = _step(steps, "expanded", COVERAGE * combined)
    share = 100 * max(shown) ** 2 / combined**2
    _step(steps, "largest_share", share, f"largest: {budget.largest}")
    half = _simulated(watts, kelvins, [ROOT3 * one for one in standards])
    around = CARDS.simulated * half
    steps.put("simulated", half, half - around, half + around,
              f"half width of 95 %; by the budget {number(expanded, 4)}")
    return steps.expected


def _step(steps: Steps, name: str, value: float, note: str = "") -> float:
    """A step without draws: what is asked is arithmetic, right within a table's tolerance."""
    around = CARDS.pencil * abs(value)
    return float(steps.put(name, value, value - around, value + around, note)[0])


def _simulated(watts: float, kelvins: float, limits: Sequence[float]) -> float:
    """Half width of the 95 % interval of the ratio, each input drawn within its limit. [W/K]"""
    power, inside, ambient = (draws.uniform(f"card {name}", limit) for name, limit in
                              zip(("power", "inside", "ambient"), limits, strict=True))
    low, high = draws.interval((watts + power) / (kelvins + inside - ambient))
    return (high - low) / 2


def _ambient_limit(work: Work, run: RunResult, ambient: float) -> float:
    if run.record.trace("ambient") is not None:
        return _limit(run, "ambient", ambient)
    limit = work.book.campaign.runs[run.record.run].ambient.limit
    return LIMITS.ambient_typed if limit is None else limit


def _limit(run: RunResult, role: str, value: float) -> float:
    """Limit of error of an instrument at a reading. [unit of the role]"""
    trace = run.record.trace(role) or (run.record.trace("energy") if role == "power" else None)
    if trace is None or trace.error is None:
        raise UserError(Fault(
            f"the limit of error of the instrument for {role} is not stated", "campaign.toml",
            do='write error = "0.5 K" (or "1 % + 0.2 W") under [instruments.ID], and name the '
               "instrument in the run's sheet"))
    return trace.error.absolute + trace.error.relative * abs(value)


def _asked(name: str, title: str, kind: str, unit: str, span: tuple[float, float], formula: str,
           *needs: str, reading: str = "table", part: str = "uncertainty") -> Asked:
    return Asked(name, title, kind, unit, *span, formula, needs, reading, part)


RATIO = "heat_leak"
ASKED = (
    _asked("power", "Power", "power", "W", (0.5, 500),
           "mean power over whole cycles of the steady window", part="derived quantities"),
    _asked("difference", "Inside against ambient", "difference", "K", (2, 80),
           "difference of the two means", part="derived quantities"),
    _asked("power_per_kelvin", "Power for each kelvin", RATIO, "W/K", (0.02, 20),
           "power / difference", "power", "difference", part="derived quantities"),
    _asked("u_power", "Standard uncertainty of the power", "power", "W", (0.0005, 50),
           "limit of error / √3"),
    _asked("u_inside", "Standard uncertainty of the inside temperature", "difference", "K",
           (0.005, 3), "limit of error / √3"),
    _asked("u_ambient", "Standard uncertainty of the ambient temperature", "difference", "K",
           (0.005, 3), "limit of error / √3"),
    _asked("part_power", "What the power brings", RATIO, "W/K", (0.0001, 5),
           "its standard uncertainty / difference", "u_power", "difference"),
    _asked("part_inside", "What the inside probe brings", RATIO, "W/K", (0.0001, 5),
           "its standard uncertainty × ratio / difference", "u_inside", "power_per_kelvin"),
    _asked("part_ambient", "What the ambient probe brings", RATIO, "W/K", (0.0001, 5),
           "its standard uncertainty × ratio / difference", "u_ambient", "power_per_kelvin"),
    _asked("combined", "Combined standard uncertainty", RATIO, "W/K", (0.0001, 5),
           "root of the sum of squares of the three", "part_power", "part_inside",
           "part_ambient"),
    _asked("expanded", "Expanded uncertainty", RATIO, "W/K", (0.0001, 10), "k = 2 times that",
           "combined"),
    _asked("largest_share", "Share of the largest in the variance", "fraction", "%", (33, 100),
           "(largest / combined)²", "combined"),
    _asked("simulated", "Half width of 95 % by chance", RATIO, "W/K", (0.0001, 10),
           "draw the three inputs within their limits, 1 000 times or more; half the distance "
           "between the 2.5 and 97.5 % quantiles", "power", "difference", reading="computed"),
)

CARD = Card(
    name="uncertainty",
    title="How sure is a ratio? A budget, and the same by chance",
    asked=ASKED,
    solve=solve,
    runs=("steady",),
    roles=("air", "ambient", "power"),
    safety=(*GENERAL, MAINS),
    questions=(
        "What is the largest term of your budget, and how would you halve the uncertainty of the "
        "result with the least effort?",
        "Both temperature probes came from one bag. If both read too high alike, what happens to "
        "the ratio, and what does your budget say?",
        "Is a maker's limit of error a standard uncertainty? What does the root of three stand "
        "for?",
        "Why are the 95 % by chance narrower, or wider, than k = 2 times the combined "
        "uncertainty?",
        "You repeat the test five times and the results scatter by less than your budget says. "
        "What has the scatter not seen?",
        "Adding percentages would have been quicker. When is that nearly right, and when is it "
        "far too wide?",
    ),
    windows=lambda work: steady_hours(steady_of(work)),
    guide=Guide(
        usual={
            "power_per_kelvin": "0.2 to 1.5 W/K for a compressor cooler, 1 to 4 for a "
                                "thermoelectric one",
            "expanded": "5 to 15 % of the ratio with unchecked probes, 2 to 5 % after a "
                        "same-place check",
            "largest_share": "often one probe or the power has more than half of it",
            "simulated": "within a few percent of the expanded uncertainty",
        },
        slips=(
            "Percentages added instead of squares.",
            "A limit taken for a standard uncertainty: everything 1.7 times too wide.",
            "Percent of a temperature in °C: only the difference has a meaning.",
            "Fewer than a thousand draws: the quantiles still wander.",
        ),
        plan=(("10 min", "limits of error from the instruments' papers"),
              ("25 min", "three standard uncertainties, three parts, root sum of squares"),
              ("30 min", "the same by chance, in a spreadsheet or a notebook"),
              ("25 min", "largest term; question")),
        shopping=("a steady run of the group", "papers of the instruments",
                  "a spreadsheet"),
    ),
)
