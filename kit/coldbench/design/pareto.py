"""The best of the candidates: those that meet what is asked for, the front, and three picks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from coldbench.design.candidate import Candidates
from coldbench.design.wishes import Wishes
from coldbench.quantities import show

PICKS = ("coldest", "thriftiest", "roomiest")
NEAREST = "nearest"
FINEST = (0.1, 1.0, 0.1)  # litres, Wh/d and kelvin that nobody builds to: less is no difference


@dataclass(frozen=True)
class Must:
    """One thing that is asked for.

    Attributes
    ----------
    words : str
        What a design that fails it is like.
    fails : ndarray of bool, shape (n,)
    short : ndarray, shape (n,)
        By how much of what is asked for; 0 where it does not fail. [-]
    """

    words: str
    fails: np.ndarray
    short: np.ndarray


@dataclass(frozen=True)
class Front:
    """What is left of the candidates.

    Attributes
    ----------
    candidates : Candidates
    passes : ndarray of bool, shape (n,)
        Meets all that is asked for.
    excluded : dict of str to int
        How many fail each must, by its words.
    index : ndarray of int
        Of those that pass, or of all where none does: no other one has as many litres, as little
        energy and as cold an inside, and more of one.
    picks : dict of str to int
        Which candidate is the coldest, the thriftiest, the roomiest; or only the nearest. One
        that stands in for another that was picked already need not be on the front.
    words : tuple of str
        What a reader has to know of them, in sentences.
    """

    candidates: Candidates
    passes: np.ndarray
    excluded: dict[str, int]
    index: np.ndarray
    picks: dict[str, int]
    words: tuple[str, ...]


def front(
    candidates: Candidates, wishes: Wishes, also: Mapping[str, np.ndarray] = MappingProxyType({})
) -> Front:
    """Those that meet what is asked for, the best of them, and three picks.

    Parameters
    ----------
    candidates : Candidates
    wishes : Wishes
        Musts: litres, coldest, energy, price; and that the inside is held.
    also : mapping of str to ndarray of bool, shape (n,)
        Further musts, by words for a design that fails them: which do.

    Returns
    -------
    Front
        Without picks where there are no candidates.

    Notes
    -----
    Better is more litres, less energy a day, a colder inside; differences below ``FINEST`` do not
    count. Of equals the cheapest stays, then the lightest, then that of fewest layers. A price
    that is not known is not judged. The nearest is the one whose worst shortfall is least, as a
    share of what is asked for; kelvin count as a share of the way from ambient.

    References
    ----------
    .. [1] Non-dominated set (V. Pareto); resolution, ties and shortfall are this kit's own.
    """
    if not len(candidates):
        return Front(candidates, np.zeros(0, bool), {}, np.zeros(0, int), {},
                     ("No box fits: machine and walls leave no inside.",))
    musts = [*_musts(candidates, wishes),
             *(Must(words, fails, fails.astype(float)) for words, fails in also.items())]
    passes = ~np.any([must.fails for must in musts], axis=0)
    excluded = {must.words: int(must.fails.sum()) for must in musts}
    among = np.flatnonzero(passes) if passes.any() else np.arange(len(candidates))
    costs = _costs(candidates)
    index = among[_undominated(costs[among], _ties(candidates, among))]
    if passes.any():
        picks, words = _picks(candidates, index, among, costs)
    else:
        picks, words = {NEAREST: _nearest(candidates, musts)}, []
    said = (_count(passes, excluded), *_unjudged(candidates, wishes), *words)
    return Front(candidates, passes, excluded, index, picks, said)


def _musts(c: Candidates, wishes: Wishes) -> Iterator[Must]:
    span = max(wishes.ambient - wishes.inside, 1.0)
    fails = np.isnan(c.energy)
    yield Must(f"not holding {_as_said(wishes.inside, '°C')} at {_as_said(wishes.ambient, '°C')}",
               fails, _short(fails, (c.coldest - wishes.inside) / span))
    if wishes.usable is not None:
        yield Must(f"less than {_as_said(wishes.usable, 'L')}", c.litres < wishes.usable,
                   _short(c.litres < wishes.usable, 1 - c.litres / wishes.usable))
    if wishes.coldest is not None:
        fails = ~(c.coldest <= wishes.coldest)
        span = max(wishes.ambient - wishes.coldest, 1.0)
        yield Must(f"warmer than {_as_said(wishes.coldest, '°C')} at their coldest", fails,
                   _short(fails, (c.coldest - wishes.coldest) / span))
    for name, values, most, unit in (("energy", c.energy, wishes.energy, "Wh/d"),
                                     ("price", c.price, wishes.price, wishes.currency)):
        if most is not None:
            yield Must(f"{name} above {_as_said(most, unit)}", values > most,
                       _short(values > most, values / most - 1))


def _as_said(value: float, unit: str) -> str:
    return show(value, value, value, unit)


def _short(fails: np.ndarray, by: np.ndarray) -> np.ndarray:
    # What fails is never as near as what does not, however little it lacks.
    return np.where(fails, np.maximum(np.nan_to_num(by, nan=1.0), 1e-6), 0.0)


def _costs(c: Candidates) -> np.ndarray:
    """What is to be low: less litres, energy, coldest, each in whole steps; shape (n, 3)."""
    steps = np.array([-c.litres, c.energy, c.coldest]).T / FINEST
    return np.where(np.isnan(steps), np.inf, np.round(steps))


def _ties(c: Candidates, among: np.ndarray) -> tuple[np.ndarray, ...]:
    """What decides between equals, the first last, as ``np.lexsort`` wants it."""
    return c.layers[among], c.mass[among], c.price[among]  # NaN sorts to the end


def _undominated(costs: np.ndarray, ties: tuple[np.ndarray, ...]) -> np.ndarray:
    """Rows that no other row undercuts; of equal ones the first by the ties."""
    left = np.lexsort((*ties, *costs.T[::-1]))
    found = []
    while len(left):
        # Sorted by the first cost: nothing that comes later undercuts what comes first.
        first = left[0]
        found.append(first)
        left = left[(costs[left, 1:] < costs[first, 1:]).any(axis=1)]
    return np.array(found, int)


def _picks(
    c: Candidates, index: np.ndarray, among: np.ndarray, costs: np.ndarray
) -> tuple[dict[str, int], list[str]]:
    """Best of the front by each measure; one picked before gives way to one of another kind."""
    picks: dict[str, int] = {}
    words = []
    for label, column in zip(PICKS, (2, 1, 0), strict=True):
        best = int(_by(c, index, costs[:, column])[0])
        also = [name for name, taken in picks.items() if taken == best]
        if also:
            other, said = _other(c, index, among, costs[:, column], label, picks)
            words.append(f"The {also[0]} is the {label} too" + (
                "." if other == best else f"; as {label} stands {said}."))
            best = other
        picks[label] = best
    return picks, words


def _other(
    c: Candidates, index: np.ndarray, among: np.ndarray, cost: np.ndarray, label: str,
    picks: dict[str, int],
) -> tuple[int, str]:
    """What stands for a label whose best is picked already, and in words why."""
    if label == "thriftiest":
        best = int(_by(c, index, c.energy / c.litres)[0])
        if best not in picks.values():
            return best, "that of the least energy for each litre"
    kinds = {_kind(c, taken) for taken in picks.values()}
    order = _by(c, among, cost)
    best = next((int(i) for i in order if _kind(c, i) not in kinds), int(order[0]))
    return best, "the next one that has another wall or machine"


def _by(c: Candidates, among: np.ndarray, cost: np.ndarray) -> np.ndarray:
    return among[np.lexsort((*_ties(c, among), cost[among]))]


def _kind(c: Candidates, i: int) -> tuple[int, int, int]:
    return int(c.machine[i]), int(c.board[i]), int(c.layers[i])


def _nearest(c: Candidates, musts: list[Must]) -> int:
    short = np.array([must.short for must in musts])
    return int(np.lexsort((c.mass, c.price, short.sum(axis=0), short.max(axis=0)))[0])


def _count(passes: np.ndarray, excluded: dict[str, int]) -> str:
    fails = "; ".join(f"{count} {words}" for words, count in excluded.items() if count)
    total = len(passes)
    if not passes.any():
        return (f"No design of {total} meets all that is asked for ({fails}): the nearest is "
                "shown, and what is asked for must give way.")
    return (f"{int(passes.sum())} of {total} designs meet all that is asked for"
            f"{f' ({fails})' if fails else ''}.")


def _unjudged(c: Candidates, wishes: Wishes) -> Iterator[str]:
    unknown = int(np.isnan(c.price).sum())
    if wishes.price is not None and unknown:
        yield f"Of {unknown} designs a price is not stated: they are not judged by it."
    if wishes.usable is None:
        yield "No litres are asked for: the least energy is that of the smallest box."
