"""The shortlist: coolers that meet all musts, and which of them no other beats on everything."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, permutations

from coldbench.compare.differences import FAMILY, Difference, compare, in_family
from coldbench.compare.musts import CANNOT_TELL, HEARD, MISSED, POINTS, Verdict
from coldbench.compare.repeats import Spread
from coldbench.findings import KINDS, Finding, find
from coldbench.quantities import show
from coldbench.sheets import Campaign

AXES = {
    "daily_energy_footing": ("uses less than", "uses more than"),
    "price": ("costs less than", "costs more than"),
    "usable_volume": ("holds more than", "holds less than"),
    "coldest_air": ("gets colder than", "stays warmer than"),
    "sound_level": ("is quieter than", "is louder than"),
}
"""What coolers of the shortlist are compared on, and what a reader says of it."""

Pair = tuple[str, str]


@dataclass(frozen=True)
class Shortlist:
    """Who is on the list, who on the front of it, and what each trades.

    Attributes
    ----------
    meets : tuple of str
        Coolers that meet all musts; all coolers where no must is stated.
    open : mapping of str to tuple of Verdict
        Coolers that miss none, but of which some cannot be told.
    missed : mapping of str to tuple of Verdict
        What the others miss.
    axes : tuple of str
        Findings on which those that meet all are compared.
    left_out : mapping of str to str
        Findings on which they are not, and why.
    clear : mapping of str to mapping of (str, str) to Difference
        Pairs told apart on each axis, the better one first, and how far they are apart.
    beaten : mapping of str to tuple of str
        Coolers that others beat on everything, and by whom.
    """

    meets: tuple[str, ...] = ()
    open: Mapping[str, tuple[Verdict, ...]] = field(default_factory=dict)
    missed: Mapping[str, tuple[Verdict, ...]] = field(default_factory=dict)
    axes: tuple[str, ...] = ()
    left_out: Mapping[str, str] = field(default_factory=dict)
    clear: Mapping[str, Mapping[Pair, Difference]] = field(default_factory=dict)
    beaten: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def front(self) -> tuple[str, ...]:
        """Those that no other beats on everything."""
        return tuple(c for c in self.meets if c not in self.beaten)


def shortlist(
    campaign: Campaign, rows: Sequence[Finding], verdicts: Sequence[Verdict],
    spreads: Mapping[str, Spread] | None = None,
) -> Shortlist:
    """Coolers that meet all musts, compared with each other.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    rows : sequence of Finding
        One a cooler, finding and ``at``.
    verdicts : sequence of Verdict
        Of :func:`coldbench.compare.musts.musts`.
    spreads : mapping of str to Spread, optional
        Run-to-run spread seen, by finding; the assumed one enters without.

    Returns
    -------
    Shortlist

    References
    ----------
    .. [1] This kit's own rules. A cooler beats another where it is told apart from it, for the
       better, on at least one axis and is no worse on each other one; a tie within doubt does not
       beat, a price or size that is the same to the last digit is no worse.
    """
    missed = _with(verdicts, MISSED)
    unsure = {c: v for c, v in _with(verdicts, CANNOT_TELL).items() if c not in missed}
    meets = tuple(c for c in campaign.coolers if c not in missed and c not in unsure)
    protocols = {run: sheet.protocol or "" for run, sheet in campaign.runs.items()}
    clear: dict[str, dict[Pair, Difference]] = {}
    equal: dict[str, frozenset[Pair]] = {}
    left_out: dict[str, str] = {}
    for axis in AXES:
        on = axis_rows(campaign, rows, meets, axis)
        absent = [campaign.coolers[c].name for c in meets if on.get(c) is None]
        if absent:
            left_out[axis] = f"not known of {', '.join(absent)}"
            continue
        pairs = _pairs([on[c] for c in meets], meets, spreads or {}, protocols)
        apart = next((d.why for d in pairs.values() if d.verdict == "not comparable"), "")
        if apart:
            left_out[axis] = apart
            continue
        clear[axis] = told_apart(pairs, on[meets[0]].kind.better if meets else 0)
        equal[axis] = frozenset(p for p in permutations(meets, 2) if _same(on[p[0]], on[p[1]]))
    beats = dominance(meets, clear, equal)
    beaten = {c: by for c in meets if (by := tuple(a for a in meets if (a, c) in beats))}
    return Shortlist(meets, unsure, missed, tuple(clear), left_out, clear, beaten)


def _with(verdicts: Sequence[Verdict], word: str) -> dict[str, tuple[Verdict, ...]]:
    """Verdicts of a word, by cooler."""
    found: dict[str, tuple[Verdict, ...]] = {}
    for v in verdicts:
        if v.verdict == word:
            found[v.cooler] = (*found.get(v.cooler, ()), v)
    return found


def axis_rows(
    campaign: Campaign, rows: Sequence[Finding], coolers: Sequence[str], axis: str
) -> dict[str, Finding | None]:
    """The row of each cooler on an axis, all at one metering point or place.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    rows : sequence of Finding
        One a cooler, finding and ``at``.
    coolers : sequence of str
        Ids.
    axis : str
        Key of ``AXES``. A passive box stands on the energy axis with the energy that makes its
        ice.

    Returns
    -------
    dict of str to Finding or None
        None where a cooler has neither value nor bounds there.
    """
    places = {"daily_energy_footing": POINTS, "sound_level": (HEARD,)}.get(axis, ("",))
    tried = [{c: _row(campaign, rows, c, axis, at) for c in coolers} for at in places]
    return min(tried, key=lambda on: sum(row is None for row in on.values()))


def _row(
    campaign: Campaign, rows: Sequence[Finding], cooler: str, axis: str, at: str
) -> Finding | None:
    if axis == "daily_energy_footing" and campaign.coolers[cooler].technology == "passive":
        found = find(rows, cooler=cooler, finding="ice_energy")
    else:
        found = find(rows, cooler=cooler, finding=axis, at=at)
    return next((f for f in found if (f.value, f.low, f.high) != (None, None, None)
                 and f.basis != "not reached"), None)


def _pairs(
    on: Sequence[Finding], coolers: Sequence[str], spreads: Mapping[str, Spread],
    protocols: Mapping[str, str],
) -> dict[Pair, Difference]:
    pairs = [compare(a, b, spreads.get(a.finding), protocols) for a, b in combinations(on, 2)]
    if len(coolers) > FAMILY:
        pairs = in_family(pairs)
    return dict(zip(combinations(coolers, 2), pairs, strict=True))


def told_apart(pairs: Mapping[Pair, Difference], better: int) -> dict[Pair, Difference]:
    """Pairs of which one is better beyond doubt, the better one first.

    Parameters
    ----------
    pairs : mapping of (str, str) to Difference
        Of two coolers on one axis.
    better : {-1, 1}
        Whether less (-1) or more (1) is better.
    """
    found = {}
    for (a, b), d in pairs.items():
        side = {"less": -1, "more": 1}.get(d.verdict, 0)
        # Draws and values must agree: then nobody can, round a ring, come to beat himself.
        if side and (d.value is None or d.value * side > 0):
            found[(a, b) if side == better else (b, a)] = d
    return found


def _same(a: Finding, b: Finding) -> bool:
    """Whether two counts without error are the same."""
    ends = {a.value, a.low, a.high, b.value, b.low, b.high}
    return len(ends) == 1 and None not in ends


def dominance(
    coolers: Sequence[str], clear: Mapping[str, Container[Pair]],
    equal: Mapping[str, Container[Pair]],
) -> frozenset[Pair]:
    """Who beats whom on everything.

    Parameters
    ----------
    coolers : sequence of str
        Ids.
    clear, equal : mapping of str to container of (str, str)
        On each axis: pairs told apart, the better one first, and pairs that are the same.

    Returns
    -------
    frozenset of (str, str)
        The one that beats, the one beaten. Who beats one that beats a third beats the third too.

    References
    ----------
    .. [1] Pareto dominance; the closure is this kit's own, since "told apart" is not transitive
       by itself.

    Examples
    --------
    >>> cheaper = {"price": frozenset({("a", "b"), ("b", "c")})}
    >>> sorted(dominance("abc", cheaper, {"price": frozenset()}))
    [('a', 'b'), ('a', 'c'), ('b', 'c')]
    """
    beats = {
        pair for pair in permutations(coolers, 2)
        if any(pair in told for told in clear.values())
        and all(pair in told or pair in equal[axis] for axis, told in clear.items())
    }
    for middle in coolers:  # Warshall's order closes the relation in one pass
        beats |= {(a, c) for a in coolers for c in coolers
                  if (a, middle) in beats and (middle, c) in beats}
    return frozenset(beats)


def trade(short: Shortlist, cooler: str, names: Mapping[str, str]) -> str:
    """What a cooler of the front gains and gives against the others of it, as a sentence.

    Parameters
    ----------
    short : Shortlist
        With the cooler on its front.
    cooler : str
        Id.
    names : mapping of str to str
        Name of each cooler.
    """
    others = [c for c in short.front if c != cooler]
    if not others:
        return f"{names[cooler]} is the only one left."
    gains, gives, ties = [], [], []
    for axis in short.axes:
        less, more = AXES[axis]
        told = short.clear[axis]
        won = [f"{names[c]}{_by(told[cooler, c])}" for c in others if (cooler, c) in told]
        lost = [f"{names[c]}{_by(told[c, cooler])}" for c in others if (c, cooler) in told]
        gains += [f"{less} {_listed(won)}"] if won else []
        gives += [f"{more} {_listed(lost)}"] if lost else []
        ties += [] if won or lost else [KINDS[axis].title.lower()]
    told = "; but ".join("; ".join(part) for part in (gains, gives) if part)
    if ties:
        from_whom = "the others" if len(others) > 1 else names[others[0]]
        told += f"{'; ' if told else ''}is not told apart from {from_whom} in {_listed(ties)}"
    return f"{names[cooler]} {told or 'has nothing in common with the others to compare'}."


def _by(apart: Difference) -> str:
    """How far two are apart, in brackets, where that is known."""
    if apart.value is None:
        return ""
    unit = "K" if apart.first.unit == "°C" else apart.first.unit
    ends = (apart.low, apart.high) if apart.value > 0 else (apart.high, apart.low)
    low, high = (None if end is None else abs(end) for end in ends)
    return f" (by {show(abs(apart.value), low, high, unit)})"


def _listed(names: Sequence[str]) -> str:
    *front, last = names
    return f"{', '.join(front)} and {last}" if front else last
