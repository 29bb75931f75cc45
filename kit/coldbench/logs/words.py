"""Counts in sentences: one row, two rows; once, three times."""

from __future__ import annotations


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
