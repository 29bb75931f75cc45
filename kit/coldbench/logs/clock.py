"""Times of a log as POSIX seconds; a format that is not declared is never guessed."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.shape import Shape
from coldbench.quantities.units import factors
from coldbench.sheets.run import TimeSheet

if TYPE_CHECKING:
    import pandas as pd

ISO = re.compile(
    r"\d{4}-\d{2}-\d{2}([T ]\d{2}:\d{2}(:\d{2}([.,]\d+)?)?)?\s?(Z|[+-]\d{2}:?\d{2})?"
)
OFFSET = re.compile(r"(Z|[+-]\d{2}:?\d{2})$")
NO_CHANGE = 80 * 86400.0  # a zone does not change twice within this [s]
CANDIDATES = (
    "%d.%m.%Y %H:%M:%S", "%d.%m.%Y %H:%M", "%d/%m/%Y %H:%M:%S", "%m/%d/%Y %H:%M:%S",
    "%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M", "%m/%d/%Y %I:%M:%S %p", "%m/%d/%Y %I:%M %p",
    "%d-%m-%Y %H:%M:%S", "%Y/%m/%d %H:%M:%S", "%Y/%m/%d %H:%M", "%Y%m%d%H%M%S", "%Y%m%d %H%M%S",
)


def posix_times(
    text: pd.Series, sheet: TimeSheet, tz: ZoneInfo, start: float | None, shape: Shape, where: str
) -> np.ndarray:
    """POSIX seconds of a time column.

    Parameters
    ----------
    text : Series of str, shape (n,)
        As in the file; the index is the row.
    sheet : TimeSheet
        Declared format, or unit of elapsed time; ISO 8601 without either.
    tz : ZoneInfo
        Zone of times that carry no offset.
    start : float or None
        Start of the run, from which elapsed time counts. [s]
    shape : Shape
        Names lines in faults.
    where : str
        File and line of the declaration.

    Returns
    -------
    ndarray, shape (n,)
        [s]

    Raises
    ------
    UserError
        A time that cannot be read, or that a clock change left out or doubled.
    """
    import pandas as pd

    text = text.str.strip()
    if sheet.elapsed:
        seconds = pd.to_numeric(text.str.replace(shape.decimal, ".", regex=False),
                                errors="coerce") * factors(sheet.elapsed, "duration")[0]
        _all_read(seconds, text, shape, f"numbers, in {sheet.elapsed} since the start", where)
        return float(start or 0.0) + seconds.to_numpy(float)
    if sheet.format:
        aware = "%z" in sheet.format
        times = pd.to_datetime(text, format=sheet.format, errors="coerce", utc=aware)
        _all_read(times, text, shape, f'times like "{sheet.format}"', where)
    else:
        _is_iso(text, shape, where)
        aware = bool(OFFSET.search(text.iloc[0]))
        times = pd.to_datetime(text, format="ISO8601", errors="coerce", utc=aware)
        _all_read(times, text, shape, "ISO 8601 times, all with or all without an offset", where)
    if aware:
        return _seconds(times.dt.tz_convert(None))
    return _to_utc(times, tz, shape)


def _seconds(times: pd.Series) -> np.ndarray:
    import pandas as pd

    # Whatever the resolution pandas chose: never the bare integers behind the times.
    return (times - pd.Timestamp(0)).dt.total_seconds().to_numpy(float)


def _to_utc(times: pd.Series, tz: ZoneInfo, shape: Shape) -> np.ndarray:
    first, last = times.iloc[0].to_pydatetime(), times.iloc[-1].to_pydatetime()
    offsets = {t.replace(tzinfo=tz, fold=fold).utcoffset() for t in (first, last)
               for fold in (0, 1)}
    local = _seconds(times)
    if len(offsets) == 1 and abs(local[-1] - local[0]) < NO_CHANGE:
        return local - offsets.pop().total_seconds()
    try:
        known = times.dt.tz_localize(tz, ambiguous="infer", nonexistent="raise")
    except ValueError:
        raise UserError(Fault(
            "the log crosses a clock change, and which hour is meant cannot be told", shape.name,
            found=f"{first} to {last}, {tz.key}",
            do='log in UTC and say so in the [[log]] block: timezone = "UTC"',
        )) from None
    return _seconds(known.dt.tz_convert(None))


def _is_iso(text: pd.Series, shape: Shape, where: str) -> None:
    """Day or month first is never guessed: only ISO needs no declaration."""
    head = text.iloc[:200]
    wrong = head[~head.str.fullmatch(ISO)]
    if not len(wrong):
        return
    value = str(wrong.iloc[0])
    fits = [f'format = "{c}"' for c in CANDIDATES if _fits(value, c)][:3]
    if re.fullmatch(r"[-+]?\d+([.,]\d+)?", value):
        fits = ['elapsed = "s"', 'elapsed = "min"', 'elapsed = "h"']
    choice = "declare which in time = { column = …, … }: " + "  or  ".join(fits)
    raise UserError(Fault(
        "the time is not ISO 8601, and how to read it is not declared",
        f"{shape.name}:{shape.line(int(wrong.index[0]))}", found=f'"{value}"',
        allowed=f"2030-07-01 09:00:00, or a format declared at {where}",
        do=choice if fits else 'declare it: time = { column = …, format = "%d.%m.%Y %H:%M:%S" }',
    ))


def _fits(value: str, pattern: str) -> bool:
    import datetime as dt

    try:
        dt.datetime.strptime(value, pattern)
    except ValueError:
        return False
    return True


def _all_read(
    times: pd.Series, text: pd.Series, shape: Shape, allowed: str, where: str
) -> None:
    wrong = text[times.isna()]
    if len(wrong):
        more = f" and {len(wrong) - 1} more" if len(wrong) > 1 else ""
        raise UserError(Fault(
            "a time that cannot be read", f"{shape.name}:{shape.line(int(wrong.index[0]))}",
            found=f'"{wrong.iloc[0]}"{more}', allowed=f"{allowed} ({where})",
        ))
