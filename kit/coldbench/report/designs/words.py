"""Numbers with their intervals, from draws."""

from __future__ import annotations

import numpy as np

from coldbench import draws
from coldbench.quantities import show


def told(values: np.ndarray, unit: str, most: int = 99) -> str:
    """Median and 95 % interval; what some of the draws do not reach has no value.

    Parameters
    ----------
    values : ndarray, shape (4000,)
        [unit]
    unit : str
        Printed after the number.
    most : int
        Decimals at most.

    Returns
    -------
    str

    Examples
    --------
    >>> told(np.full(4000, 3.0), "K")
    '3 K'
    >>> told(np.full(4000, np.nan), "Wh/d")
    'not held'
    """
    share = float(np.isfinite(values).mean())
    if share <= 1 - draws.HIGH / 100:
        return "not held"
    if share < draws.HIGH / 100:
        return f"cannot tell: held in {100 * share:.0f} % of the draws"
    kept = np.where(np.isfinite(values), values, np.nanmax(values))
    low, high = draws.interval(kept)
    return show(float(np.median(kept)), low, high, unit, most)


def money(amount: float | None, currency: str) -> str:
    """A price, or that none is stated.

    Examples
    --------
    >>> money(8.5, "EUR"), money(None, "EUR")
    ('8.50 EUR', 'not stated')
    """
    if amount is None or np.isnan(amount):
        return "not stated"
    if amount == 0:
        return "nothing"
    return f"{amount:.2f} {currency}".strip() if amount < 20 else f"{amount:.0f} {currency}".strip()


def metered(at: str) -> str:
    """Where a machine's power was metered, in words.

    Examples
    --------
    >>> metered("wall"), metered("")
    ('metered at the wall, its adapter in it', 'where it was metered is not known')
    """
    words = {"dc": "metered at the cooler", "battery": "metered at the battery",
             "wall": "metered at the wall, its adapter in it"}
    return words.get(at, "where it was metered is not known")
