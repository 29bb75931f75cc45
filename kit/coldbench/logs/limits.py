"""Limits of the quality rules, in one place; the report prints them with those of the analyses."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


def _limit(value: float, what: str, unit: str) -> Any:
    return field(default=value, metadata={"what": what, "unit": unit})


@dataclass(frozen=True)
class QualityLimits:
    """Defaults, each this kit's own; each field's metadata say what it is and its unit."""

    leap: float = _limit(5.0, "An error code or a spike jumps from both neighbours by over", "K")
    code_share: float = _limit(10.0, "… not a temperature: this many times the largest value", "-")
    code_run: int = _limit(3, "Codes that could be true last at most, in samples", "-")
    spike_run: int = _limit(3, "A spike lasts at most, in samples", "-")
    stuck_time: float = _limit(3 * 3600.0, "One value for longer is remarked", "s")
    stuck_samples: int = _limit(30, "… and for more samples than", "-")
    stuck_stands_out: float = _limit(10.0, "… and longer than the usual stretch by", "-")
    counter_margin: float = _limit(1.2, "A counter rises by at most this times seen power", "-")
    counter_new: float = _limit(0.02, "… below this share of the old count it began again", "-")
    counter_return: float = _limit(3.0, "… no power known: back to an old count, times usual", "-")
    counter_falls: float = _limit(0.05, "… falling in more of its steps, it is asked about", "-")
    counter_falls_few: int = _limit(10, "… and at least, times", "-")
    counter_apart: float = _limit(0.03, "Counter and power apart by more are remarked", "-")
    swapped: float = _limit(1.0, "Air warmer than ambient by more is asked about", "K")
    tare: float = _limit(20.0, "A scale jumps by this many times its usual step", "-")


QUALITY = QualityLimits()
