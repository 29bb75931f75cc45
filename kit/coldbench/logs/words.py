"""Counts in sentences: one row, two rows; once, three times."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo


def many(count: int, noun: str) -> str:
    """A count with its noun.

    Examples
    --------
    >>> many(1, "row"), many(3, "cell")
    ('1 row', '3 cells')
    """
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def often(count: int) -> str:
    """How often.

    Examples
    --------
    >>> often(1), often(4)
    ('once', '4 times')
    """
    return "once" if count == 1 else f"{count} times"


def listed(parts: Iterable[str], shown: int = 3) -> str:
    """The first few of many, and how many more there are.

    Examples
    --------
    >>> listed(["line 3", "line 5"]), listed("abcde")
    ('line 3, line 5', 'a, b, c and 2 more')
    """
    every = list(parts)
    more = f" and {len(every) - shown} more" if len(every) > shown else ""
    return ", ".join(every[:shown]) + more


def told_time(t: float, tz: ZoneInfo) -> str:
    """An instant as local time to the minute."""
    return datetime.fromtimestamp(t, tz).strftime("%Y-%m-%d %H:%M")
