"""Quantities out of text: a number, its own limit of error if stated, and a unit."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from coldbench.quantities.kinds import CANONICAL, KINDS, PRICED
from coldbench.quantities.units import described, factors, tidy

# The decimal sign is a point. A comma is caught too, so that it can be refused with the fix.
NUMBER = r"[+-]?(?:\d+(?:[.,]\d*)*|[.,]\d+)(?:[eE][+-]?\d+)?"
# "6.2 W", "6.2 W ± 0.1 W", "6.2 ± 0.1 W"; a unit neither begins like a number nor has one in it.
UNIT = r"[^\d\s.,±+/-](?:(?!\s\d)[^±])*?"
WRITTEN = re.compile(
    rf"(?P<number>{NUMBER})\s*(?P<unit>{UNIT})?"
    rf"(?:\s*±\s*(?P<limit>{NUMBER})\s*(?P<limit_unit>{UNIT})?)?\s*"
)
MONEY = re.compile(r"(?P<code>[A-Z]{3})(?:\s*/\s*(?P<per>.+))?")
NOT_UNITS = {"C": "°C", "F": "°F", "degrees": "°C", "c": "°C", "f": "°F"}
PLAIN = ("count", "ratio")  # kinds that need no unit
CURRENCY_SIGNS = set("€£$¥")


class QuantityError(ValueError):
    """Text that is not the quantity asked for.

    Parameters
    ----------
    what, found, allowed, do : str
        As in :class:`coldbench.errors.Fault`.
    """

    def __init__(self, what: str, found: str = "", allowed: str = "", do: str = "") -> None:
        self.what, self.found, self.allowed, self.do = what, found, allowed, do
        super().__init__(what)

    def __reduce__(self):
        return (type(self), (self.what, self.found, self.allowed, self.do))


@dataclass(frozen=True)
class Quantity:
    """A quantity as a sheet states it.

    Parameters
    ----------
    value : float
        [canonical unit of the kind]
    limit : float or None
        Limit of error stated with it (``± x``). [canonical unit, K for a temperature]
    kind : str
        Kind, out of ``CANONICAL``.
    text : str
        As written.
    currency : str
        ISO 4217 code of a price, otherwise ``""``.
    """

    value: float
    limit: float | None
    kind: str
    text: str
    currency: str = ""

    @property
    def unit(self) -> str:
        """Canonical unit; a price's is headed by its currency."""
        return self.currency + CANONICAL[self.kind]

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True)
class ErrorLimit:
    """Limit of an instrument's error, as its maker states it.

    Parameters
    ----------
    absolute : float
        [canonical unit of what is measured, K for temperatures]
    relative : float
        Part of the reading. [-]
    """

    absolute: float = 0.0
    relative: float = 0.0


def parse(text: object, kind: str) -> Quantity:
    """A quantity out of text with its unit.

    Parameters
    ----------
    text : str
        ``"24.5 °C"``, ``"12 fl oz"``, ``"6.2 W ± 0.1 W"``. Anything else is refused with the fix;
        a plain number will do where a plain number is wanted.
    kind : str
        Kind, out of ``CANONICAL``.

    Returns
    -------
    Quantity

    Raises
    ------
    QuantityError
        Not text, no number, no unit, an unknown unit, or one of another kind.

    Notes
    -----
    ``°C`` may be written ``degC``; a plain ``C`` is coulomb and is refused. Fluid ounces, pints,
    quarts and gallons are those of the United States unless ``imp`` stands before them.

    Examples
    --------
    >>> parse("76 °F", "temperature").value
    24.444
    >>> parse("6.2 W ± 0.1 W", "power").limit
    0.1
    """
    if isinstance(text, int | float) and not isinstance(text, bool):
        if kind in PLAIN:
            return Quantity(float(text), None, kind, f"{text}")
        text = f"{text:.12g}"
    if not isinstance(text, str):
        raise QuantityError(
            f"{KINDS[kind].words} is wanted here", found=f"{text}", allowed=_allowed(kind),
            do=f'write "{KINDS[kind].example}"',
        )
    found = WRITTEN.fullmatch(tidy(text.replace("+/-", "±").replace("+-", "±")))
    if found is None:
        raise _unreadable(text, kind)
    value = _float(found["number"], text)
    unit, currency = _money(found["unit"] or found["limit_unit"] or "", text, kind)
    scale, offset = _factors(unit, text, kind)
    limit = None
    if found["limit"]:
        own, _ = _money(found["limit_unit"] or found["unit"] or "", text, kind)
        beside = "difference" if kind == "temperature" else kind
        limit = abs(_float(found["limit"], text)) * _factors(own, text, beside)[0]
    return Quantity(value * scale + offset, limit, kind, text.strip(), currency)


def parse_error_limit(text: object, kind: str) -> ErrorLimit:
    """Limit of error of an instrument that measures a kind.

    Parameters
    ----------
    text : str
        ``"0.5 K"``, ``"1 %"`` or ``"1 % + 0.2 W"``, with or without a leading ``±``.
    kind : str
        Kind that the instrument measures, out of ``CANONICAL``.

    Returns
    -------
    ErrorLimit

    Raises
    ------
    QuantityError
        A part is neither a percentage nor of the kind.

    Notes
    -----
    Where the reading itself is a share or a humidity, a percentage is in points of it, as data
    sheets mean it.

    Examples
    --------
    >>> parse_error_limit("1 % + 0.2 W", "power")
    ErrorLimit(absolute=0.2, relative=0.01)
    """
    beside = "difference" if kind == "temperature" else kind
    absolute = relative = 0.0
    for part in _parts(text):
        if isinstance(part, str) and part.endswith("%") and kind not in ("fraction", "humidity"):
            relative += abs(parse(part, "fraction").value)
        else:
            absolute += abs(parse(part, beside).value)
    return ErrorLimit(absolute, relative)


def wrong_unit(unit: str, text: str, kind: str) -> QuantityError:
    """The error for a unit that cannot be one of a kind; both kinds are named."""
    wanted = KINDS[kind]
    bare = unit.strip()
    fix = NOT_UNITS.get(bare)
    if kind in ("temperature", "difference") and fix:
        return QuantityError(
            f"{bare!r} is no temperature unit", found=text, allowed=_allowed(kind),
            do=f'write "{_swap(text, bare, fix)}"',
        )
    if not bare:
        unit_meant = wanted.example.lstrip("0123456789.")
        return QuantityError(
            "a unit is missing", found=text, allowed=_allowed(kind),
            do=f'write "{text.strip()}{unit_meant}" if {unit_meant.strip()} is meant',
        )
    other = described(bare)
    if other and other != wanted.words:
        what = f"found {other}, needs {wanted.words}"
    else:
        what = f"unit {bare!r} is not known for {wanted.words}"
    return QuantityError(
        what, found=text, allowed=_allowed(kind), do=f'write it like "{wanted.example}"'
    )


def _parts(text: object) -> list[object]:
    """Summands of a limit of error; what is no text is left for the parser to refuse."""
    if not isinstance(text, str):
        return [text]
    return [part.strip() for part in tidy(text).removeprefix("±").split(" + ")]


def _factors(unit: str, text: str, kind: str) -> tuple[float, float]:
    if kind == "count" or (kind in ("money", "ratio") and not unit):
        if unit:
            raise QuantityError(
                "a plain number is wanted here", found=text, do="leave the unit out"
            )
        return 1.0, 0.0
    found = factors(unit, kind)
    if found is None:
        raise wrong_unit(unit, text, kind)
    return found


def _money(unit: str, text: str, kind: str) -> tuple[str, str]:
    """Unit without its currency, and the currency; money has no unit beside it."""
    if kind != "money" and kind not in PRICED:
        return unit, ""
    found = MONEY.fullmatch(unit)
    if found is None or bool(found["per"]) != (kind in PRICED):
        if unit and not found and not CURRENCY_SIGNS & set(text):
            raise wrong_unit(unit, text, kind)
        raise QuantityError(
            f"{KINDS[kind].words} is a number with {KINDS[kind].units}", found=text,
            allowed=_allowed(kind), do=f'write it like "{KINDS[kind].example}"',
        )
    return found["per"] or "", found["code"]


def _float(number: str, text: str) -> float:
    if "," in number or number.count(".") > 1:
        fixed = text.replace(",", ".") if number.count(",") + number.count(".") == 1 else None
        raise QuantityError(
            "the decimal sign is a point, and thousands have no mark", found=text,
            do=f'write "{fixed}"' if fixed else 'write "1200" for one thousand two hundred',
        )
    if not math.isfinite(float(number)):
        raise QuantityError("the number is too large", found=text, do="check the exponent")
    return float(number)


def _unreadable(text: str, kind: str) -> QuantityError:
    do = f'write it like "{KINDS[kind].example}"'
    if CURRENCY_SIGNS & set(text):
        do = f'write the currency as its code, after the number: "{KINDS[kind].example}"'
    elif kind == "duration" and re.search(r"\d\s*\D+\d", text):
        do = 'write one number and one unit: "3.5 h"'
    return QuantityError(
        f"this is not {KINDS[kind].words}", found=text or "nothing", allowed=_allowed(kind), do=do
    )


def _allowed(kind: str) -> str:
    wanted = KINDS[kind]
    return f'{wanted.words} such as "{wanted.example}"; units: {wanted.units}'


def _swap(text: str, bare: str, unit: str) -> str:
    return f"{text.strip()[: -len(bare)].strip()} {unit}"
