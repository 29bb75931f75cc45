"""Local times of a time zone: which instant one is, and those that are none or two."""

from __future__ import annotations

import datetime as dt
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from coldbench.errors import nearest
from coldbench.quantities import QuantityError


@cache
def zone(name: str) -> ZoneInfo:
    """Time zone of a name.

    Raises
    ------
    QuantityError
        No such zone; the nearest one is named.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        near = nearest(name, available_timezones())
        raise QuantityError(
            "no time zone of that name", found=f'"{name}"',
            allowed='names of the IANA time zone database: "Europe/Paris", "UTC"',
            do=f'write "{near}"' if near else "",
        ) from None


def seconds(when: dt.datetime, tz: ZoneInfo) -> float:
    """POSIX seconds of a time; one without offset is local to the zone. [s]

    Examples
    --------
    >>> seconds(dt.datetime(2031, 6, 14, 9), ZoneInfo("UTC"))
    1939194000.0
    """
    return (when if when.tzinfo else when.replace(tzinfo=tz)).timestamp()


def check_local(when: dt.datetime, tz: ZoneInfo) -> None:
    """Refuse a local time that a clock change left out or gave twice.

    Raises
    ------
    QuantityError
        Without an offset nobody can tell which instant is meant.
    """
    if when.tzinfo is not None:
        return
    early, late = (when.replace(tzinfo=tz, fold=fold) for fold in (0, 1))
    if early.utcoffset() == late.utcoffset():
        return
    back = early.astimezone(dt.UTC).astimezone(tz).replace(tzinfo=None)
    happened = "came twice" if back == when else "never came"
    offsets = " or ".join(sorted({f"{t.isoformat()}" for t in (early, late)}))
    raise QuantityError(
        f"the clock changed: this local time {happened} in {tz.key}", found=when.isoformat(),
        allowed="a time with its offset", do=f"write {offsets}",
    )
