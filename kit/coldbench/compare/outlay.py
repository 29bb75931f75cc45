"""What is paid for a cooler at first and each year, on the mains, from a battery, from the sun."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.compare.running_cost import ICE, combined, with_spread
from coldbench.findings import Finding, find

MAINS, BATTERY, SUN = "mains", "battery", "battery and panel"


@dataclass(frozen=True)
class Outlay:
    """Money for one cooler in one case.

    Parameters
    ----------
    cooler, case : str
        Id, and how it is supplied: metering point and ``mains``, ``battery``, or ``battery and
        panel``; ``ice`` for a passive box.
    first : Finding
        Paid at first: price, and what the supply costs. [currency]
    yearly : Finding
        Paid each year, with the spread from run to run in its draws. [currency/yr]
    """

    cooler: str
    case: str
    first: Finding
    yearly: Finding

    def spent(self, years: float) -> Finding:
        """All that was paid by then, as it was paid: nothing is discounted.

        Parameters
        ----------
        years : float
            Since it was bought. [yr]

        Returns
        -------
        Finding
            [currency]
        """
        base = replace(self.first, value=None, low=None, high=None, draws=None, note="")
        return combined(base, lambda f, y: np.add(f, years * y), self.first, self.yearly)


def outlays(rows: Sequence[Finding]) -> list[Outlay]:
    """Outlays of all coolers with a price and a running cost.

    Parameters
    ----------
    rows : sequence of Finding
        One a cooler, finding and ``at``: ``price``, ``running_cost``, ``supply_cost``.

    Returns
    -------
    list of Outlay
        A cooler on a battery alone has it charged from the mains; with a panel the sun pays.

    References
    ----------
    .. [1] This kit's own definition.
    """
    return [one for yearly in find(rows, finding="running_cost") for one in _of(rows, yearly)]


def _of(rows: Sequence[Finding], running: Finding) -> Iterator[Outlay]:
    price = next(iter(find(rows, cooler=running.cooler, finding="price")), None)
    if price is None or price.value is None or (running.value is None and running.high is None):
        return
    yearly = replace(running, draws=with_spread(running))
    if running.at == ICE:
        yield Outlay(running.cooler, ICE, price, yearly)
        return
    yield Outlay(running.cooler, f"{running.at} {MAINS}", price, yearly)
    for supply in find(rows, cooler=running.cooler, finding="supply_cost"):
        point, _, how = supply.at.partition(" ")
        known = supply.value is not None or None not in (supply.low, supply.high)
        if point == running.at and known:
            first = combined(replace(price, note=""), np.add, price, supply)
            yield Outlay(running.cooler, supply.at, first, _free(yearly) if how == SUN else yearly)


def _free(yearly: Finding) -> Finding:
    """Nothing to pay: the sun's own."""
    return replace(yearly, value=0.0, low=0.0, high=0.0, draws=np.zeros(draws.DRAWS),
                   basis="modelled", note="the sun pays")


def by_case(found: Sequence[Outlay]) -> dict[str, list[Outlay]]:
    """Outlays that can be set side by side: all in one case, passive boxes in each.

    Parameters
    ----------
    found : sequence of Outlay
        Of all coolers.

    Returns
    -------
    dict of str to list of Outlay
        By case, in the order of the coolers.

    References
    ----------
    .. [1] This kit's own definition.
    """
    cases = list(dict.fromkeys(one.case for one in found if one.case != ICE)) or [ICE]
    return {case: [one for one in found if one.case in (case, ICE)] for case in cases}


def case_words(case: str) -> str:
    """A case in print.

    Examples
    --------
    >>> case_words("dc battery")
    'from a battery charged at the mains, metered at dc'
    """
    point, _, how = case.partition(" ")
    words = {MAINS: "on the mains", BATTERY: "from a battery charged at the mains",
             SUN: "from battery and panel"}
    return f"{words[how]}, metered at {point}" if how else f"with {case}"
