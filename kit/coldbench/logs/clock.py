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
OFFSET_AT_END = r"(?:Z|[+-]\d{2}:?\d{2})$"
OFFSET = re.compile(OFFSET_AT_END)
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
    text = text.str.strip()
    if sheet.elapsed:
        return float(start or 0.0) + _elapsed(text, sheet.elapsed, shape, where)
    if sheet.format:
        times = _declared(text, sheet.format, shape, where)
    else:
        times = _iso(text, shape, where)
    if times.dt.tz is not None:
        return _seconds(times.dt.tz_convert(None))
    return _to_utc(times, tz, text, shape)


def _elapsed(text: pd.Series, unit: str, shape: Shape, where: str) -> np.ndarray:
    import pandas as pd

    plain = text.str.replace(shape.decimal, ".", regex=False)
    numbers = pd.to_numeric(plain, errors="coerce").replace([np.inf, -np.inf], np.nan)
    _all_read(numbers, text, shape, f"numbers, in {unit} since the start", where)
    return numbers.to_numpy(float) * factors(unit, "duration")[0]


def _declared(text: pd.Series, pattern: str, shape: Shape, where: str) -> pd.Series:
    import pandas as pd

    if "%" in pattern and not re.search("%[YyGcx]", pattern):
        raise UserError(Fault(
            "the time format has no date", where, found=f'"{pattern}"',
            allowed="day, month and year: %d %m %Y",
            do='count from the start instead: time = { column = …, elapsed = "min" }, '
               "or join the date to the time in a copy of the log",
        ))
    try:
        times = pd.to_datetime(text, format=pattern, errors="coerce", utc="%z" in pattern)
    except ValueError:
        times = None
    if times is None or "%" not in pattern:
        raise UserError(Fault(
            "this is not a time format", where, found=f'"{pattern}"',
            allowed="%Y year, %m month, %d day, %H hour, %M minute, %S second, %p AM or PM",
            do='write it like format = "%d.%m.%Y %H:%M:%S"',
        )) from None
    _all_read(times, text, shape, f'times like "{pattern}"', where)
    return times


def _iso(text: pd.Series, shape: Shape, where: str) -> pd.Series:
    import pandas as pd

    _is_iso(text, shape, where)
    aware = bool(OFFSET.search(text.iloc[0]))
    # ISO 8601 lets a comma stand before parts of a second; pandas does not.
    plain = text.str.replace(",", ".", regex=False) if "," in text.iloc[0] else text
    try:
        times = pd.to_datetime(plain, format="ISO8601", errors="coerce", utc=aware)
    except ValueError:  # how pandas tells offsets beside times without
        times = None
    if aware or times is None:
        _same_offsets(text, aware, shape)
    _all_read(times, text, shape, "ISO 8601 times: 2031-06-14 09:00:00", where)
    return times


def _same_offsets(text: pd.Series, aware: bool, shape: Shape) -> None:
    other = text[text.str.contains(OFFSET_AT_END) != aware]
    if len(other):
        raise UserError(Fault(
            "some times have an offset from UTC and some have none",
            f"{shape.name}:{shape.line(int(other.index[0]))}", found=f'"{other.iloc[0]}"',
            allowed="all with an offset, or all without", do="export the log again in one way",
        ))


def _seconds(times: pd.Series) -> np.ndarray:
    import pandas as pd

    # Whatever the resolution pandas chose: never the bare integers behind the times.
    return (times - pd.Timestamp(0)).dt.total_seconds().to_numpy(float)


def _to_utc(times: pd.Series, tz: ZoneInfo, text: pd.Series, shape: Shape) -> np.ndarray:
    first, last = times.iloc[0].to_pydatetime(), times.iloc[-1].to_pydatetime()
    offsets = {t.replace(tzinfo=tz, fold=fold).utcoffset() for t in (first, last)
               for fold in (0, 1)}
    local = _seconds(times)
    if len(offsets) == 1 and abs(local[-1] - local[0]) < NO_CHANGE:
        return local - offsets.pop().total_seconds()
    try:
        # The hour that comes twice is told by its order.
        known = times.dt.tz_localize(tz, ambiguous="infer", nonexistent="raise")
    except ValueError:
        lost = times.dt.tz_localize(tz, ambiguous="NaT", nonexistent="NaT").isna()
        row = int(times.index[lost][0])
        raise UserError(Fault(
            "the clock changed here, and which instant is meant cannot be told",
            f"{shape.name}:{shape.line(row)}", found=f'"{text[row]}" in {tz.key}',
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
