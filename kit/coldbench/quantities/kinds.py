"""The kinds of quantity: what each is called, the one unit it is kept in, an example of each."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Kind:
    """A kind of quantity.

    Parameters
    ----------
    words : str
        What a message calls it: ``"a temperature"``.
    unit : str
        The unit it is kept in.
    example : str
        How one is written.
    units : str
        Units that people use for it, for messages.
    """

    words: str
    unit: str
    example: str
    units: str


KINDS: dict[str, Kind] = {
    "temperature": Kind("a temperature", "°C", "5 °C", "°C, °F, K (degC, degF will do)"),
    "difference": Kind("a temperature difference", "K", "0.5 K", "K, °C, °F"),
    "length": Kind("a length", "mm", "570 mm", "mm, cm, m, in, ft"),
    "area": Kind("an area", "mm²", "4 mm²", "mm², cm², m²"),
    "mass": Kind("a mass", "kg", "11.5 kg", "g, kg, oz, lb"),
    "volume": Kind("a volume", "L", "12.1 L", "mL, L, m³, fl oz, qt, gal, cu ft"),
    "energy": Kind("an energy", "Wh", "350 Wh", "Wh, kWh, J, kJ, MJ, Btu"),
    "power": Kind("a power", "W", "52 W", "W, kW, Btu/h"),
    "voltage": Kind("a voltage", "V", "12 V", "mV, V, kV"),
    "current": Kind("a current", "A", "6.4 A", "mA, A"),
    "duration": Kind("a duration", "s", "12 h", "s, min, h, d"),
    "fraction": Kind("a share", "-", "80 %", "%"),
    "humidity": Kind("a relative humidity", "%", "45 %", "%"),
    "rate": Kind("a yearly rate", "%/yr", "3 %", "%, %/yr"),
    "angle": Kind("an angle", "°", "45°", "°"),
    "sound": Kind("a sound level", "dB", "45 dB", "dB, dB(A)"),
    "resistance": Kind("an electrical resistance", "Ω", "0.1 Ω", "mΩ, Ω, ohm"),
    "pressure": Kind("a pressure", "kPa", "250 kPa", "Pa, kPa, bar, psi"),
    "heat_leak": Kind("a heat leak", "W/K", "0.42 W/K", "W/K"),
    "heat_resistance": Kind("a resistance to heat", "K/W", "0.15 K/W", "K/W"),
    "conductivity": Kind("a conductivity of heat", "W/(m·K)", "0.034 W/(m·K)", "W/(m·K)"),
    "heat_capacity": Kind("a heat capacity", "kJ/K", "5.2 kJ/K", "J/K, kJ/K, Wh/K"),
    "specific_energy": Kind("an energy a mass", "kJ/kg", "160 kJ/kg", "kJ/kg, J/g, Wh/kg"),
    "mass_flow": Kind("a mass flow", "g/s", "0.4 g/s", "g/s, kg/h"),
    "seebeck": Kind("a voltage a kelvin", "V/K", "0.05 V/K", "mV/K, V/K"),
    # Students write a COP as "0.41", a duty as "0.35" or "35 %".
    "ratio": Kind("a ratio", "-", "0.41", "none, or %"),
    "count": Kind("a plain number", "", "4", "none"),
    # What a scale or a measuring jug says of water; kept as mass at 1 kg/L.
    "water": Kind("a mass or volume of water", "kg", "330 mL", "g, kg, oz, lb, mL, L, fl oz"),
    # People write either "350 Wh" or "350 Wh/d"; both mean a day.
    "daily_energy": Kind("an energy a day", "Wh/d", "350 Wh", "Wh, kWh, Wh/d, kWh/d"),
    "money": Kind("an amount of money", "", "180 EUR", "a three-letter currency code"),
    "energy_price": Kind("a price of energy", "/kWh", "0.32 EUR/kWh", "EUR/kWh and the like"),
    "battery_price": Kind("a price of storage", "/Wh", "0.35 EUR/Wh", "EUR/Wh, EUR/kWh"),
    "panel_price": Kind("a price of power", "/W", "0.9 EUR/W", "EUR/W, EUR/kW"),
    "mass_price": Kind("a price of a mass", "/kg", "0.5 EUR/kg", "EUR/kg, EUR/lb"),
    "area_price": Kind("a price of an area", "/m²", "12 EUR/m²", "EUR/m², EUR/sq ft"),
}

CANONICAL: dict[str, str] = {name: kind.unit for name, kind in KINDS.items()}

# A price is money over one unit of another kind.
PRICED: dict[str, tuple[str, str]] = {
    "energy_price": ("energy", "kWh"), "battery_price": ("energy", "Wh"),
    "panel_price": ("power", "W"), "mass_price": ("mass", "kg"),
    "area_price": ("area", "m²"),
}
