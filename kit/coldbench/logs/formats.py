"""Which ways of writing a time fit what stands in a column: proposals, never a choice."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import pandas as pd

DATES = ("%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%d-%m-%Y", "%m-%d-%Y", "%Y/%m/%d", "%Y.%m.%d",
         "%d.%m.%y", "%d/%m/%y", "%m/%d/%y", "%d %b %Y", "%b %d %Y", "%Y-%m-%d")
CLOCKS = ("%H:%M:%S", "%H:%M", "%I:%M:%S %p", "%I:%M %p", "%H:%M:%S.%f", "%H.%M.%S", "%H.%M")
RUN_ON = ("%Y%m%d%H%M%S", "%Y%m%d %H%M%S", "%Y%m%d%H%M", "%Y%m%dT%H%M%S", "%Y%m%dT%H%M%SZ")
FORMATS = (*(f"{date} {clock}" for date in DATES for clock in CLOCKS),
           *(f"{date}, {clock}" for date in DATES[:6] for clock in CLOCKS[:4]), *RUN_ON)
SHOWN = 4
SERIAL = (29_000.0, 73_000.0)  # days from 1899-12-30 to 1979 and to 2099
EPOCH = {"epoch s": (3e8, 4e9), "epoch ms": (3e11, 4e12), "epoch us": (3e14, 4e15)}


def fitting(text: pd.Series) -> list[str]:
    """Declarations that read every one of these times, as a run sheet writes them.

    Parameters
    ----------
    text : Series of str, shape (n,)
        Some times of a log, in their order.

    Returns
    -------
    list of str
        ``format = "…"`` or ``elapsed = "…"``; more than one where the column cannot tell, none
        where no known way fits.

    Examples
    --------
    >>> import pandas as pd
    >>> fitting(pd.Series(["13.06.2031 09:00", "14.06.2031 09:00"]))
    ['format = "%d.%m.%Y %H:%M"']
    """
    import pandas as pd

    some = text.dropna()
    if not len(some):
        return []
    if some.str.fullmatch(r"[-+]?[0-9]+([.,][0-9]+)?").all() and not _looks_run_on(some):
        return _counts(pd.to_numeric(some.str.replace(",", ".", regex=False)).to_numpy(float))
    if some.str.fullmatch(r"\d+:\d{2}(:\d{2}([.,]\d+)?)?").all():
        return _clock_only(some)
    found = []
    for pattern in FORMATS:
        if not _reads(some.iloc[0], pattern):
            continue
        times = pd.to_datetime(some, format=pattern, errors="coerce")
        if times.notna().all():
            found.append((pattern, times))
    # Of two readings of one column, one that runs back in time is not meant.
    onward = [pattern for pattern, times in found if times.is_monotonic_increasing]
    good = onward or [pattern for pattern, _ in found]
    return [f'format = "{pattern}"' for pattern in good[:SHOWN]]


def _reads(text: str, pattern: str) -> bool:
    """Whether one time can be read so: nearly all patterns fall here, and it costs little."""
    try:
        dt.datetime.strptime(text, pattern)
    except ValueError:
        return "%f" in pattern  # some write nine decimals, of which this reader knows six
    return True


def _looks_run_on(some: pd.Series) -> bool:
    return bool(some.str.fullmatch(r"(19|20)\d{10}(\d{2})?").all())


def _counts(values: np.ndarray) -> list[str]:
    low, high = float(values.min()), float(values.max())
    for name, (least, most) in EPOCH.items():
        if least < low and high < most:
            return [f'format = "{name}"']
    fits = ['elapsed = "s"', 'elapsed = "min"', 'elapsed = "h"', 'elapsed = "d"']
    if SERIAL[0] < low and high < SERIAL[1]:
        return ['format = "spreadsheet days"', *fits]
    return fits


def _clock_only(some: pd.Series) -> list[str]:
    parts = some.iloc[0].count(":")
    return ['elapsed = "h:min:s"'] if parts == 2 else ['elapsed = "h:min"', 'elapsed = "min:s"']
