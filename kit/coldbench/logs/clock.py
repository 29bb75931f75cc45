"""Times of a log as POSIX seconds; a format that is not declared is never guessed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from coldbench.errors import Fault, UserError
from coldbench.logs.clock_sense import DAY, refuse_far, refuse_holes, set_clock
from coldbench.logs.counts import COUNTED, EPOCHS, counted
from coldbench.logs.formats import fitting
from coldbench.logs.rows import Rows, all_read
from coldbench.sheets.clock import seconds as posix
from coldbench.sheets.run import TimeSheet
from coldbench.sheets.types import SEXAGESIMAL

if TYPE_CHECKING:
    import pandas as pd

ISO = re.compile(
    r"\d{4}-\d{2}-\d{2}([T ]\d{2}:\d{2}(:\d{2}([.,]\d+)?)?)?\s?(Z|[+-]\d{2}:?\d{2})?"
)
OFFSET_AT_END = r"(?:Z|[+-]\d{2}:?\d{2})$"
OFFSET = re.compile(OFFSET_AT_END)
NO_CHANGE = 80 * DAY  # a zone does not change twice within this [s]


@dataclass(frozen=True)
class Clock:
    """What is declared of a log's clock.

    Parameters
    ----------
    sheet : TimeSheet
        The time column and how it is written.
    tz : ZoneInfo
        Zone of times that carry no offset.
    start : float or None
        Start of the run. [s]
    decimal : str
        Decimal sign.
    where : str
        File and line of the declaration.
    """

    sheet: TimeSheet
    tz: ZoneInfo
    start: float | None
    decimal: str
    where: str


def posix_times(rows: Rows, clock: Clock) -> tuple[np.ndarray, np.ndarray, list[str]]:
    """POSIX seconds of the rows of a log.

    Parameters
    ----------
    rows : Rows
        Of the log, in the order of the file.
    clock : Clock
        What is declared of its clock.

    Returns
    -------
    t : ndarray, shape (m,)
        POSIX. [s]
    kept : ndarray of bool, shape (n,)
        Rows that have one; those before the clock was set are left out.
    said : list of str
        What was left out.

    Raises
    ------
    UserError
        A row without a time, a time that cannot be read, or one that a clock change left out or
        doubled.
    """
    sheet = clock.sheet
    everyone = np.ones(rows.count, bool)
    if sheet.every is not None:
        zero = clock.start if sheet.from_ is None else posix(sheet.from_, clock.tz)
        refuse_holes(rows)
        return float(zero) + sheet.every.value * np.arange(rows.count), everyone, []
    if sheet.elapsed:
        zero = float(clock.start or 0.0) if sheet.from_ is None else posix(sheet.from_, clock.tz)
        seconds, said = counted(_cells(rows, sheet), sheet, clock.decimal, rows, clock.where)
        refuse_far(zero + seconds, rows)
        return zero + seconds, everyone, said
    local, aware = _local(rows, clock)
    refuse_far(local, rows)
    kept, said = set_clock(local)
    if not said:
        return local if aware else _to_utc(local, clock.tz, rows, kept), kept, said
    local = local[kept]
    return local if aware else _to_utc(local, clock.tz, rows, kept), kept, said


def _local(rows: Rows, clock: Clock) -> tuple[np.ndarray, bool]:
    """Seconds since 1970 by the log's own clock, and whether that is UTC."""
    sheet, cells = clock.sheet, _cells(rows, clock.sheet)
    if sheet.format in COUNTED:
        seconds, _ = counted(cells, sheet, clock.decimal, rows, clock.where)
        return seconds, sheet.format in EPOCHS
    if isinstance(cells, np.ndarray):
        return cells, False
    times = (_declared if sheet.format else _iso)(cells, rows, clock)
    aware = times.dt.tz is not None
    return _seconds(times.dt.tz_convert(None) if aware else times), aware


def kind_of_time(sheet: TimeSheet) -> str:
    """How the cells of a time column are best read: ``"time"``, ``"number"`` or ``"text"``."""
    if sheet.with_ or sheet.elapsed in SEXAGESIMAL:
        return "text"
    if sheet.elapsed or sheet.format in COUNTED:
        return "number"
    return "text" if sheet.format else "time"


def _cells(rows: Rows, sheet: TimeSheet) -> pd.Series | np.ndarray:
    """Each row's time as it stands; a date that stands apart from its clock is joined to it."""
    if sheet.column in rows.numbers:
        return rows.numbers[sheet.column]
    date = rows.texts[sheet.column]
    untimed = date.isna()
    if sheet.with_:
        # Where a date is written once for many rows, it holds until the next.
        clock = rows.texts[sheet.with_]
        date, untimed = date.ffill(), clock.isna() | date.ffill().isna()
        date = date + " " + clock
    if untimed.any():
        raise UserError(Fault(
            "a row without a time", rows.place(int(np.flatnonzero(untimed)[0])),
            do="take the row out of a copy of the log, or export it again",
        ))
    return date


def _declared(text: pd.Series, rows: Rows, clock: Clock) -> pd.Series:
    import pandas as pd

    pattern = clock.sheet.format
    if "%" in pattern and not re.search("%[YyGcx]", pattern):
        raise UserError(Fault(
            "the time format has no date", clock.where, found=f'"{pattern}"',
            allowed="day, month and year: %d %m %Y",
            do='if the date has a column of its own: time = { column = "…", with = "…", format = … '
               '}; if it counts from the start: elapsed = "h:min:s"',
        ))
    try:
        times = pd.to_datetime(text, format=pattern, errors="coerce", utc="%z" in pattern)
    except ValueError:
        times = None
    if times is None or "%" not in pattern:
        raise UserError(Fault(
            "this is not a time format", clock.where, found=f'"{pattern}"',
            allowed='%Y year, %m month, %d day, %H hour, %M minute, %S second, %p AM or PM; or '
                    '"epoch s", "epoch ms", "spreadsheet days"',
            do='write it like format = "%d.%m.%Y %H:%M:%S"',
        )) from None
    times = _no_words(times, text)
    all_read(times, text, rows, f'times like "{pattern}"', clock.where)
    return times


def _iso(text: pd.Series, rows: Rows, clock: Clock) -> pd.Series:
    import pandas as pd

    _is_iso(text, rows, clock)
    aware = bool(OFFSET.search(text.iloc[0]))
    # ISO 8601 lets a comma stand before parts of a second; pandas does not.
    plain = text.str.replace(",", ".", regex=False) if "," in text.iloc[0] else text
    try:
        times = pd.to_datetime(plain, format="ISO8601", errors="coerce", utc=aware)
    except ValueError:  # how pandas tells offsets beside times without
        times = None
    if aware or times is None:
        _same_offsets(text, aware, rows)
    times = _no_words(times, text)
    all_read(times, text, rows, "ISO 8601 times: 2031-06-14 09:00:00", clock.where)
    return times


def _no_words(times: pd.Series, text: pd.Series) -> pd.Series:
    """Times without those that pandas reads from words: in a log, “now” is no time."""
    words = text.isin(("now", "today"))
    return times.mask(words) if words.any() else times


def _same_offsets(text: pd.Series, aware: bool, rows: Rows) -> None:
    other = np.flatnonzero((text.str.contains(OFFSET_AT_END) != aware).to_numpy(bool))
    if len(other):
        raise UserError(Fault(
            "some times have an offset from UTC and some have none", rows.place(int(other[0])),
            found=f'"{text.iloc[other[0]]}"',
            allowed="all with an offset, or all without", do="export the log again in one way",
        ))


def _seconds(times: pd.Series) -> np.ndarray:
    import pandas as pd

    # Whatever the resolution pandas chose: never the bare integers behind the times, and no
    # nanoseconds, which end in 2262.
    return (times - pd.Timestamp("1970-01-01")).dt.total_seconds().to_numpy(float)


def _to_utc(local: np.ndarray, tz: ZoneInfo, rows: Rows, kept: np.ndarray) -> np.ndarray:
    """Local seconds as POSIX seconds; the hour that comes twice is told by its order."""
    import datetime as dt

    import pandas as pd

    ends = [dt.datetime(1970, 1, 1) + dt.timedelta(seconds=float(s)) for s in (local[0], local[-1])]
    offsets = {t.replace(tzinfo=tz, fold=fold).utcoffset() for t in ends for fold in (0, 1)}
    if len(offsets) == 1 and abs(local[-1] - local[0]) < NO_CHANGE:
        offset = offsets.pop().total_seconds()
        return local - offset if offset else local
    times = pd.Series(pd.to_datetime(np.round(local * 1e6).astype("int64"), unit="us"))
    try:
        known = times.dt.tz_localize(tz, ambiguous="infer", nonexistent="raise")
    except ValueError:
        lost = times.dt.tz_localize(tz, ambiguous="NaT", nonexistent="NaT").isna()
        row = int(np.flatnonzero(lost)[0]) if lost.any() else 0
        raise UserError(_no_instant(times.iloc[row], tz,
                                    rows.place(int(np.flatnonzero(kept)[row])))) from None
    return _seconds(known.dt.tz_convert(None))


def _no_instant(when: pd.Timestamp, tz: ZoneInfo, place: str) -> Fault:
    # A clock that nobody turns with the season keeps one of the two offsets all year.
    hours = {round((when.to_pydatetime().replace(tzinfo=tz, fold=fold).utcoffset()
                    ).total_seconds() / 3600) for fold in (0, 1)}
    fixed = "  or  ".join(f'timezone = "Etc/GMT{-h:+d}"' for h in sorted(hours))
    return Fault(
        "the clock changed here, and which instant is meant cannot be told", place,
        found=f'"{when:%Y-%m-%d %H:%M}" in {tz.key}',
        do=f"if the logger's clock does not change with the season, add to the [[log]] block: "
           f'{fixed}; if it runs in UTC: timezone = "UTC"',
    )


def _is_iso(text: pd.Series, rows: Rows, clock: Clock) -> None:
    """Day or month first is never guessed: only ISO needs no declaration."""
    head = text.iloc[:200]
    wrong = np.flatnonzero(~head.str.fullmatch(ISO).to_numpy(bool))
    if not len(wrong):
        return
    value = str(text.iloc[wrong[0]])
    fits = fitting(text.iloc[:: max(1, len(text) // 300)])
    column = f'time = {{ column = "{clock.sheet.column}"'
    if clock.sheet.with_:
        column += f', with = "{clock.sheet.with_}"'
    lines = "  or  ".join(f"{column}, {fit} }}" for fit in fits)
    raise UserError(Fault(
        "the time is not ISO 8601, and how to read it is not declared",
        rows.place(int(wrong[0])), found=f'"{value}"',
        allowed=f"2030-07-01 09:00:00, or a format declared at {clock.where}",
        do=f"declare which: {lines}" if fits else
        f'declare it: {column}, format = "%d.%m.%Y %H:%M:%S" }}',
    ))
