"""Units at the door: what kind a unit measures, and its scale to the unit the kit keeps.

The registry holds the units of this trade only. The full one of pint reads ``"cu ft"`` as a
product of centi-atomic-mass-units and feet, ``"C"`` as coulomb and ``"a"`` as year, and takes
longer to load than all sheets of a campaign. The application's own registry is not touched.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from typing import TYPE_CHECKING

from coldbench.quantities.kinds import CANONICAL, KINDS, PRICED

if TYPE_CHECKING:
    import numpy as np
    import pint

# Sources of the conversions: the SI brochure (9th edition) and NIST SP 811 (2008), appendix B,
# quoted from memory; a test compares every unit with pint's own table.
DEFINITIONS = """
mega- = 1e6 = M-
kilo- = 1e3 = k-
hecto- = 1e2 = h-
deci- = 1e-1 = d-
centi- = 1e-2 = c-
milli- = 1e-3 = m-
micro- = 1e-6 = µ- = μ-
meter = [length] = m = metre
gram = [mass] = g
second = [time] = s = sec
ampere = [current] = A = amp
kelvin = [temperature] = K
fraction = [fraction]
percent = 0.01 fraction = pct
degree = [angle] = deg
decibel = [sound] = dB
minute = 60 s = min
hour = 3600 s = h = hr
day = 24 h = d
week = 7 d
year = 365.25 d = yr = a
inch = 25.4 mm = in
foot = 12 inch = ft = feet
liter = dm**3 = L = l = litre
gallon = 231 inch**3 = gal
quart = gallon / 4 = qt
pint = gallon / 8 = pt
fluid_ounce = gallon / 128 = fl_oz = floz
imperial_gallon = 4.54609 L
imperial_quart = imperial_gallon / 4
imperial_pint = imperial_gallon / 8
imperial_fluid_ounce = imperial_gallon / 160
pound = 453.59237 g = lb = lbs
ounce = pound / 16 = oz
newton = kg * m / s**2 = N
joule = N * m = J
calorie = 4.184 J = cal
british_thermal_unit = 1055.05585262 J = Btu = BTU = btu
watt = J / s = W
watt_hour = W * h = Wh
volt = W / A = V
ohm = V / A = Ω
pascal = N / m**2 = Pa
bar = 1e5 Pa
pound_force_per_square_inch = 4.4482216152605 N / inch**2 = psi
"""

# Scale and offset to °C. "C" alone would be coulomb, "F" farad: both are refused with the fix.
TEMPERATURES = {
    "°C": (1.0, 0.0), "°F": (5 / 9, -160 / 9), "K": (1.0, -273.15),
}
SPELLINGS = {
    "degC": "°C", "deg C": "°C", "° C": "°C", "Celsius": "°C", "celsius": "°C",
    "degF": "°F", "deg F": "°F", "° F": "°F", "Fahrenheit": "°F", "kelvin": "K", "Kelvin": "K",
    "%": "percent", "%/yr": "percent/year", "%/a": "percent/year", "% RH": "percent",
    "%RH": "percent", "°": "degree", "dBA": "decibel", "dB(A)": "decibel", "dB A": "decibel",
    "US fl oz": "fluid_ounce", "fl oz": "fluid_ounce", "fl. oz.": "fluid_ounce",
    "imp fl oz": "imperial_fluid_ounce", "US qt": "quart", "US gal": "gallon", "US pt": "pint",
    "imp qt": "imperial_quart", "imp pt": "imperial_pint", "imp gal": "imperial_gallon",
    "cu ft": "foot**3", "cu in": "inch**3", "cc": "cm**3", "sq in": "inch**2", "sq ft": "foot**2",
}
# Signs that look alike on screen, and what they stand for.
LOOKALIKES = str.maketrans({"º": "°", "˚": "°", "\u2212": "-", "\u2013": "-", "\u2126": "Ω"})
# Kinds that a unit alone can mean; the others (water, rate, prices) need to be asked for.
_MEASURED = (
    "length", "area", "mass", "volume", "energy", "power", "voltage", "current", "duration",
    "fraction", "angle", "sound", "resistance", "pressure", "heat_leak", "heat_resistance",
    "conductivity", "specific_energy", "mass_flow", "seebeck",
)
# Kinds that take a second unit, and the one their canonical unit then stands for.
_SECOND_UNIT = {"water": "L", "daily_energy": "Wh", "rate": "%"}


def tidy(text: str) -> str:
    """Text with one sign for each degree, minus and space, and ``m2`` for ``m²``.

    Examples
    --------
    >>> tidy("−18\\u00a0℃")
    '-18 °C'
    """
    plain = unicodedata.normalize("NFKC", text.translate(LOOKALIKES)).replace("μ", "µ")
    return " ".join(plain.split())


def unit_kind(unit_text: str) -> str | None:
    """Kind that a unit measures; None where the unit is not known.

    Examples
    --------
    >>> unit_kind("°F"), unit_kind("kWh"), unit_kind("furlong")
    ('temperature', 'energy', None)
    """
    unit = _spelt(unit_text)
    if unit in TEMPERATURES:
        return "temperature"
    return _measured().get(_dimension(unit))


def factors(unit_text: str, kind: str) -> tuple[float, float] | None:
    """Scale and offset from a unit to the canonical unit of a kind; None if it cannot be one."""
    unit = _spelt(unit_text)
    if kind == "temperature":
        return TEMPERATURES.get(unit)
    if kind == "difference":
        return (TEMPERATURES[unit][0], 0.0) if unit in TEMPERATURES else None
    if kind in PRICED:
        base, per = PRICED[kind]
        scale = _scale(unit, per) if unit_kind(unit) == base else None
        return None if scale is None else (1.0 / scale, 0.0)
    scale = _scale(unit, "fraction" if CANONICAL[kind] == "-" else CANONICAL[kind])
    if scale is None and kind in _SECOND_UNIT:
        scale = _scale(unit, _SECOND_UNIT[kind])
    return None if scale is None else (scale, 0.0)


def convert(array: np.ndarray, unit_text: str, kind: str) -> np.ndarray:
    """Values of a log column in the canonical unit of their kind.

    Parameters
    ----------
    array : ndarray, any shape
        Values as logged. [unit_text]
    unit_text : str
        Their unit, as a sheet or a heading writes it.
    kind : str
        Kind, out of ``CANONICAL``.

    Returns
    -------
    ndarray, same shape
        [canonical unit of the kind]

    Raises
    ------
    QuantityError
        The unit is not known or measures another kind.

    Examples
    --------
    >>> import numpy as np
    >>> convert(np.array([32.0, 212.0]), "°F", "temperature")
    array([  0., 100.])
    """
    from coldbench.quantities.parsing import wrong_unit

    found = factors(unit_text, kind)
    if found is None:
        raise wrong_unit(unit_text, unit_text, kind)
    scale, offset = found
    return array * scale + offset


def described(unit_text: str) -> str:
    """What a message calls the kind of a unit, ``""`` where it is not known."""
    kind = unit_kind(unit_text)
    return KINDS[kind].words if kind else ""


def _spelt(unit_text: str) -> str:
    unit = tidy(unit_text)
    unit = SPELLINGS.get(unit, unit).replace("^", "**")
    if unit in TEMPERATURES:
        return unit
    # "W/(m·K)", "W/(m K)" and "W/mK" are one thing; brackets are not parsed.
    unit = re.sub(r"/\((\w+)[ ·*]+(\w+)\)|/\(?(m)(K)\)?$", _two_below, unit)
    # "ft3", "mm2" and "m/s2": a digit straight after a letter is a power.
    return re.sub(r"(?<=[A-Za-z])([23])\b", r"**\1", unit).replace("%", "percent")


def _two_below(found: re.Match) -> str:
    """``/m/K`` of ``/(m·K)``."""
    return "/" + "/".join(part for part in found.groups() if part)


@cache
def _registry() -> pint.UnitRegistry:
    import pint

    registry = pint.UnitRegistry(None, cache_folder=None)
    registry.load_definitions(DEFINITIONS.strip().splitlines())
    return registry


@cache
def _measured() -> dict[str, str]:
    """Kinds by dimension."""
    units = {name: _spelt(CANONICAL[name]) for name in _MEASURED} | {"fraction": "fraction"}
    return {_dimension(unit): name for name, unit in units.items()}


@cache
def _dimension(unit: str) -> str:
    """Dimension of a unit as text, ``""`` where the unit is not known or has none."""
    parsed = _parsed(unit)
    if parsed is None:
        return ""
    return str(sorted(_registry().get_dimensionality(parsed).items()))


@cache
def _scale(unit: str, to: str) -> float | None:
    """How many of one unit make one of another; None where they do not measure the same."""
    parsed, wanted = _parsed(unit), _parsed(_spelt(to))
    if parsed is None or wanted is None or _dimension(unit) != _dimension(_spelt(to)):
        return None
    return float(_registry().convert(1.0, parsed, wanted))


def _parsed(unit: str) -> pint.Unit | None:
    # Letters, powers, products and quotients only: pint's parser would also run arithmetic.
    if not re.fullmatch(r"[A-Za-zµΩ_]+(\*\*[23])?([ */.·]+[A-Za-zµΩ_]+(\*\*[23])?)*", unit):
        return None
    import pint

    try:
        parsed = _registry().parse_units(unit)
    except (pint.errors.PintError, AttributeError, ValueError, TypeError, SyntaxError):
        return None
    return None if parsed.dimensionless else parsed
