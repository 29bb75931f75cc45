"""Findings in words, for alternative texts, captions and rows without a dot."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from coldbench.findings import KINDS, Finding, find
from coldbench.quantities import number, show

INTERVAL = "95 % interval"
COUNTS = {"can_count"}  # of whole things
FINEST = {"h": 2, "min": 2, "Wh/d": 0, "Wh": 1}  # decimals that still say something to a reader


def said(finding: Finding) -> str:
    """The value with its interval, or the answer in its place.

    Examples
    --------
    >>> said(Finding(cooler="a", finding="mass", basis="not measured"))
    'not measured'
    """
    if finding.basis == "not reached":
        tried = finding.low
        return "not reached" if tried is None else f"not reached in {number(tried, 1)} h"
    if finding.value is None and finding.low is None and finding.high is None:
        return finding.basis if finding.basis != "bounded" else "not known"
    unit = "" if finding.unit == "-" else finding.unit
    finest = 0 if finding.finding in COUNTS else FINEST.get(unit, 99)
    return show(finding.value, finding.low, finding.high, unit, finest)


def one(findings: Iterable[Finding], **wanted: str) -> Finding | None:
    """The first finding whose fields equal the wanted ones, or None."""
    return next(iter(find(findings, **wanted)), None)


def named(names: Mapping[str, str] | None, cooler: str) -> str:
    """A cooler's name on one line, or its id if it has none."""
    return " ".join((names or {}).get(cooler, cooler).splitlines()) or cooler


def spoken(at: str) -> str:
    """A key in print.

    Examples
    --------
    >>> spoken("air<=-18 °C")
    'air ≤ −18 °C'
    """
    return printed(at.replace("<=", " ≤ "))


def printed(text: str) -> str:
    """Text with a real minus sign before numbers.

    Examples
    --------
    >>> printed("supercooled to -4.2 °C in run-2")
    'supercooled to −4.2 °C in run-2'
    """
    return re.sub(r"(?<![\w-])-(?=\d)", "\u2212", text)


def axis_title(finding: str, unit: str = "") -> str:
    """Title of a finding with its unit in brackets, as on an axis.

    Examples
    --------
    >>> axis_title("coldest_air")
    'Coldest air [°C]'
    """
    kind = KINDS[finding]
    unit = unit or kind.unit
    return kind.title if unit in ("", "-") else f"{kind.title} [{unit}]"


def listed(parts: Iterable[str]) -> str:
    """Words as an enumeration: ``a, b and c``.

    Examples
    --------
    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    *front, last = list(parts) or [""]
    return f"{', '.join(front)} and {last}" if front else last
