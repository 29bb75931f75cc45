"""Quantities as people write them, and numbers as a report prints them.

Units are decided at the door: ``"24.5 °C"``, ``"33 qt"`` and ``"1 % + 0.2 W"`` become plain
numbers in one unit a kind. Behind it there are floats only.
"""

from coldbench.quantities.kinds import CANONICAL, KINDS, Kind
from coldbench.quantities.parsing import (
    ErrorLimit,
    Quantity,
    QuantityError,
    parse,
    parse_error_limit,
)
from coldbench.quantities.printing import number, show, two_figures
from coldbench.quantities.units import convert, unit_kind

__all__ = [
    "CANONICAL", "KINDS", "ErrorLimit", "Kind", "Quantity", "QuantityError", "convert", "number",
    "parse", "parse_error_limit", "show", "two_figures", "unit_kind",
]
