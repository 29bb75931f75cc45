"""Next steps for a cooler that stands on the bench: what each gains, and what for a price."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from coldbench import draws
from coldbench.compare.leaks import Leak
from coldbench.design.box import Excess
from coldbench.design.expected import DAY, Unit, expected
from coldbench.design.wishes import Wishes
from coldbench.sheets import CoolerSheet

Change = Callable[[Unit, np.ndarray], tuple[Unit, np.ndarray]]


@dataclass(frozen=True)
class Present:
    """The cooler as it stands: machine and walls as measured.

    Parameters
    ----------
    cooler : str
        Its id.
    sheet : CoolerSheet
    unit : ThermoelectricUnit or CompressorUnit
        Fitted to its own runs; draws.
    leak : Leak
        Of its walls.
    excess : Excess
        What it leaks beyond them.
    """

    cooler: str
    sheet: CoolerSheet
    unit: Unit
    leak: Leak
    excess: Excess


@dataclass(frozen=True)
class Step:
    """One change, and what it gains at the footing.

    Parameters
    ----------
    what : str
        In the builder's words.
    kind : str
        What it changes; of one kind only one is done.
    change : callable
        From machine and heat leak of the walls, draws [W/K], to what they are afterwards.
    price : float or None
        None where it is not stated. [currency]
    doubt : str
        What the numbers leave out.
    colder : ndarray, shape (4000,)
        Coldest air, lower by. [K]
    saved : ndarray, shape (4000,)
        Less energy a day for holding the inside; NaN where it is not held before or after. [Wh/d]
    holds : float
        Share of the draws in which the inside is held afterwards. [-]
    fits : bool
        Whether it still fits the space, or did not before either.
    """

    what: str
    kind: str
    change: Change
    price: float | None = None
    doubt: str = ""
    colder: np.ndarray = field(default_factory=lambda: np.full(draws.DRAWS, np.nan))
    saved: np.ndarray = field(default_factory=lambda: np.full(draws.DRAWS, np.nan))
    holds: float = 0.0
    fits: bool = True

    @property
    def sure(self) -> bool:
        """Whether it gains cold or energy beyond doubt and loses none of the other."""
        lows = [draws.interval(x)[0] for x in (self.colder, self.saved) if np.isfinite(x).all()]
        return any(low > 0 for low in lows) and all(low >= 0 for low in lows)

    def each(self, gain: np.ndarray) -> float | None:
        """Median of a gain for one unit of money; None without a price or a gain.

        What costs nothing gains without limit, or loses so.
        """
        if self.price is None or not np.isfinite(gain).all():
            return None
        middle = float(np.median(gain))
        if self.price == 0:
            return float(np.copysign(np.inf, middle)) if middle else 0.0
        return middle / self.price


def ranked(proposed: Iterable[Step], wishes: Wishes, present: Present) -> list[Step]:
    """Steps, each judged alone.

    Parameters
    ----------
    proposed : iterable of Step
        See :func:`coldbench.design.proposals.proposals`.
    wishes : Wishes
        Footing and room.
    present : Present

    Returns
    -------
    list of Step
        Those that surely gain something first, most watt-hours for the money before others.

    References
    ----------
    .. [1] Steady heat balance of the inside before and after, with the same draws; this kit's own.
    """
    found = [judged(one, wishes, present) for one in proposed]
    return sorted(found, key=lambda one: (not one.sure, not one.fits,
                                          -(one.each(one.saved) or 0.0),
                                          -float(np.nan_to_num(np.median(one.saved)))))


def judged(step: Step, wishes: Wishes, present: Present) -> Step:
    """A step with what it gains on a present cooler, at the footing.

    Parameters
    ----------
    step : Step
    wishes : Wishes
    present : Present

    Returns
    -------
    Step

    References
    ----------
    .. [1] As :func:`ranked`.
    """
    ambient, inside = wishes.footing
    _, walls = present.leak.at_temperatures(inside, ambient)
    before = expected(present.unit, walls, ambient, inside)
    after = expected(*step.change(present.unit, walls), ambient, inside)
    return replace(step, colder=before.coldest - after.coldest,
                   saved=DAY * (before.power - after.power), holds=after.holds)


def three(found: Sequence[Step]) -> list[Step]:
    """Three to begin with: most watt-hours for the money, most kelvin for it, then the next.

    Parameters
    ----------
    found : sequence of Step
        As :func:`ranked` orders them.

    Returns
    -------
    list of Step
        One of a kind; fewer where fewer surely gain something.

    References
    ----------
    .. [1] This kit's own rule.
    """
    sure = [one for one in found if one.sure and one.fits]
    cold = sorted((one for one in sure if one.each(one.colder) is not None),
                  key=lambda one: -one.each(one.colder))
    chosen: list[Step] = []
    for one in [*sure[:1], *cold[:1], *sure]:
        if one.kind not in [other.kind for other in chosen]:
            chosen.append(one)
    return chosen[:3]


def together(chosen: Sequence[Step], wishes: Wishes, present: Present) -> Step:
    """Several steps at once: their gains do not add up.

    Parameters
    ----------
    chosen : sequence of Step
        Of different kinds.
    wishes : Wishes
    present : Present

    Returns
    -------
    Step
    """
    def change(unit: Unit, leak: np.ndarray) -> tuple[Unit, np.ndarray]:
        for one in chosen:
            unit, leak = one.change(unit, leak)
        return unit, leak

    prices = [one.price for one in chosen]
    price = None if None in prices else float(sum(prices))
    return judged(Step("All of these together", "all", change, price), wishes, present)
