"""How long until a dearer cooler that costs less to run has paid back what it cost more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from coldbench import draws
from coldbench.compare.outlay import Outlay, by_case, outlays
from coldbench.findings import Finding
from coldbench.physics.money import payback_years

MONTHS = 12.0


@dataclass(frozen=True)
class Payback:
    """Two coolers in one case.

    Parameters
    ----------
    dearer, cheaper : Outlay
        By what is paid at first; ``dearer`` is the one that may pay back.
    verdict : {"pays back", "never", "cannot tell"}
        ``never``: it costs as much or more to run. ``cannot tell``: the interval holds both.
    value, low, high : float or None
        Time after which it has cost less altogether, with its 95 % interval; None is never, an
        open end, or a bound's missing value. Later money counts in full. [month]
    why : str
        What the verdict rests on, where not on draws.
    """

    dearer: Outlay
    cheaper: Outlay
    verdict: str
    value: float | None = None
    low: float | None = None
    high: float | None = None
    why: str = ""

    @property
    def case(self) -> str:
        """How the two are supplied."""
        return self.dearer.case if self.dearer.case != "ice" else self.cheaper.case


def paybacks(rows: Sequence[Finding]) -> list[Payback]:
    """All pairs of coolers, case by case.

    Parameters
    ----------
    rows : sequence of Finding
        One a cooler, finding and ``at``: ``price``, ``running_cost``, ``supply_cost``.

    Returns
    -------
    list of Payback

    References
    ----------
    .. [1] Simple payback, NIST Handbook 135 (from memory); draws are subtracted row by row, after
       JCGM 101:2008, so that what both share cancels. The spread from run to run is in it.
    """
    return [_pair(a, b) for group in by_case(outlays(rows)).values()
            for a, b in combinations(group, 2)]


def _pair(a: Outlay, b: Outlay) -> Payback:
    # Of two that cost the same at first, the thriftier one has paid back at once.
    dearer, cheaper = sorted((a, b), key=lambda one: (-_middle(one.first), _middle(one.yearly)))
    rows = (dearer.first, cheaper.first, cheaper.yearly, dearer.yearly)
    if any(row.value is None for row in rows):
        low, high = _by_bounds(*rows)
        return _judged(dearer, cheaper, None, low, high, "by bounds")
    value = _months(*(row.value for row in rows))
    if any(row.draws is None for row in rows):
        verdict = "pays back" if np.isfinite(value) else "never"
        return Payback(dearer, cheaper, verdict, _end(value), why="error not stated")
    low, high = draws.interval(_months(*(row.draws for row in rows)))
    return _judged(dearer, cheaper, value, low, high, "")


def _months(first: object, other_first: object, other_yearly: object, yearly: object) -> object:
    return MONTHS * payback_years(np.subtract(first, other_first),
                                  np.subtract(other_yearly, yearly))


def _by_bounds(
    first: Finding, other_first: Finding, other_yearly: Finding, yearly: Finding
) -> tuple[float, float]:
    """Soonest and latest, each input at the end that makes it so."""
    return (
        float(_months(_at(first, "low"), _at(other_first, "high"), _at(other_yearly, "high"),
                      _at(yearly, "low"))),
        float(_months(_at(first, "high"), _at(other_first, "low"), _at(other_yearly, "low"),
                      _at(yearly, "high"))),
    )


def _judged(
    dearer: Outlay, cheaper: Outlay, value: float | None, low: float, high: float, why: str
) -> Payback:
    verdict = "never" if np.isinf(low) else "cannot tell" if np.isinf(high) else "pays back"
    return Payback(dearer, cheaper, verdict, _end(value), _end(low), _end(high), why)


def _at(row: Finding, name: str) -> float:
    end = getattr(row, name)
    return row.value if end is None else end


def _middle(row: Finding) -> float:
    return row.value if row.value is not None else (row.low + row.high) / 2


def _end(value: float | None) -> float | None:
    return float(value) if value is not None and np.isfinite(value) else None
