"""Findings: numbers with interval, basis, conditions and runs; and notices.

A *finding* is a number a reader may use. A *notice* is something the reader must know: a gap, a
guess not made, a short window.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from coldbench import draws as _draws

Basis = Literal[
    "measured", "bounded", "not reached", "normalised", "modelled", "sheet", "claimed",
    "not measured", "not applicable",
]
Severity = Literal["note", "doubt", "disqualifies"]

COLUMNS = (
    "cooler", "finding", "at", "conditions", "value", "unit", "low", "high", "basis",
    "coverage", "runs", "note",
)

# Units in which conditions are kept; the text form prints them.
CONDITION_UNITS = {
    "ambient": "°C", "inside": "°C", "start": "°C", "load": "kg", "ice": "kg", "window": "h",
    "cycles": "", "wall": "°C", "foam": "", "background": "dB",
}


@dataclass(frozen=True)
class Kind:
    """What a finding is called in print, its group, unit and which way is better.

    ``better`` is -1 where less is better, +1 where more is better, 0 where neither is; ``varies``
    names the assumed spread from run to run ("energy", "temperature", "time", or none).
    """

    title: str
    group: str
    unit: str
    better: int = 0
    varies: str = ""


KINDS: dict[str, Kind] = {
    "coldest_air": Kind("Coldest air", "cold", "°C", -1, "temperature"),
    "below_ambient": Kind("Below ambient", "cold", "K", +1, "temperature"),
    "pull_down_time": Kind("Pull-down time", "cold", "h", -1, "time"),
    "pull_down_energy": Kind("Pull-down energy", "cold", "Wh", -1, "energy"),
    "load_heat": Kind("Heat taken from the load", "cold", "Wh"),
    "load_heat_ratio": Kind("Load heat per electrical energy", "cold", "-", +1, "energy"),
    "air_swing": Kind("Air swing in a cycle", "cold", "K", -1, "temperature"),
    "spread": Kind("Warmest place above coldest", "cold", "K", -1, "temperature"),
    "display_error": Kind("Display above cycle mean", "cold", "K", 0, "temperature"),
    "warmest_load": Kind("Warmest load place", "cold", "°C", -1, "temperature"),
    "hours_above_limit": Kind("Time above the food limit", "cold", "h", -1, "time"),
    "mean_power": Kind("Mean power", "energy", "W", -1, "energy"),
    "running_power": Kind("Power while running", "energy", "W", 0, "energy"),
    "idle_power": Kind("Power while idle", "energy", "W", -1, "energy"),
    "peak_power": Kind("Largest power seen", "energy", "W", -1, "energy"),
    "duty": Kind("Duty", "energy", "-", 0, "energy"),
    "cycle_time": Kind("Cycle time", "energy", "min", 0, "time"),
    "daily_energy": Kind("Daily energy", "energy", "Wh/d", -1, "energy"),
    "daily_energy_footing": Kind("Daily energy at the footing", "energy", "Wh/d", -1, "energy"),
    "daily_energy_per_litre": Kind(
        "Daily energy at the footing, a litre", "energy", "Wh/(d·L)", -1, "energy"),
    "ice_needed": Kind("Ice needed at the footing", "energy", "kg/d", -1, "energy"),
    "ice_energy": Kind("Energy to make that ice", "energy", "Wh/d", -1, "energy"),
    "heat_leak": Kind("Heat leak", "box", "W/K", -1, "energy"),
    "hold_time": Kind("Hold time without power", "box", "h", +1, "time"),
    "heat_leak_geometry": Kind("Heat leak of the walls alone", "box", "W/K"),
    "structure_heat": Kind("Structure heat", "box", "kJ/K"),
    "cooling_capacity": Kind("Cooling capacity, mean", "machine", "W", 0, "energy"),
    "running_capacity": Kind("Cooling capacity while running", "machine", "W", +1, "energy"),
    "cop": Kind("COP, net", "machine", "-", +1, "energy"),
    "carnot_cop": Kind("COP of an ideal machine", "machine", "-", 0, "energy"),
    "carnot_fraction": Kind("Fraction of the ideal", "machine", "-", +1, "energy"),
    "hot_side_resistance": Kind("Hot side resistance", "machine", "K/W", 0, "energy"),
    "freeze_start": Kind("Time to the start of freezing", "freeze", "h", -1, "time"),
    "plateau_time": Kind("Freezing plateau", "freeze", "h", -1, "time"),
    "freeze_time": Kind("Freezing time", "freeze", "h", -1, "time"),
    "freeze_energy": Kind("Energy to freeze the load", "freeze", "Wh", -1, "energy"),
    "freeze_energy_per_kg": Kind(
        "Energy to freeze a kilogram", "freeze", "Wh/kg", -1, "energy"),
    "freeze_time_predicted": Kind("Freezing time, predicted", "freeze", "h"),
    "freezing_capacity_eu": Kind(
        "Freezing capacity by the European arithmetic", "freeze", "kg/12 h", +1, "energy"),
    "ice_fraction": Kind("Share of the load frozen", "freeze", "-", +1, "energy"),
    "freezing_capacity": Kind("Freezing capacity", "freeze", "kg/d", +1, "energy"),
    "daily_charge": Kind("Charge a day at the footing", "supply", "Ah/d", -1, "energy"),
    "battery_needed": Kind("Battery needed", "supply", "Wh", -1, "energy"),
    "panel_needed": Kind("Panel needed", "supply", "W", -1, "energy"),
    "cable_drop": Kind("Voltage lost in the cable", "supply", "%", -1, "energy"),
    "cut_out_volts": Kind("Cut-out voltage", "supply", "V"),
    "restart_volts": Kind("Restart voltage", "supply", "V"),
    "adapter_loss": Kind("Lost in the adapter", "energy", "W", -1),
    "sound_level": Kind("Sound level", "sound", "dB", -1),
    "starts_per_hour": Kind("Starts an hour", "sound", "1/h", -1, "time"),
    "probe_offset": Kind("Probe offset", "checks", "K"),
    "clock_shift": Kind("Clock shift", "checks", "s"),
    "outside_volume": Kind("Outside volume", "size", "L", -1),
    "inside_volume": Kind("Inside volume", "size", "L", +1),
    "usable_volume": Kind("Usable volume", "size", "L", +1),
    "volume_ratio": Kind("Inside for outside volume", "size", "-", +1),
    "fits_space": Kind("Fits the space", "size", "-"),
    "can_count": Kind("Cans that stand inside", "size", "-", +1),
    "max_bottle_height": Kind("Tallest bottle that stands", "size", "mm", +1),
    "wall_thickness": Kind("Wall thickness, implied by sizes", "size", "mm"),
    "mass": Kind("Empty mass", "size", "kg", -1),
    "price": Kind("Price", "money", "", -1),
    "price_per_litre": Kind("Price per litre", "money", "", -1),
    "running_cost": Kind("Running cost", "money", "", -1, "energy"),
    "supply_cost": Kind("Battery and panel, price", "money", "", -1),
    "life_cost": Kind("Life cost", "money", "", -1),
}


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One number with everything that makes it usable.

    Parameters
    ----------
    cooler, finding, at : str
        Identity: cooler id, name out of ``KINDS``, and the key by which coolers are matched
        (target, method, state, metering point).
    conditions : mapping of str to float or str
        Measured conditions, in the units of ``CONDITION_UNITS``.
    value, low, high : float or None
        The number and its 95 % interval, in ``unit``. An empty end is open. [unit]
    unit, basis : str
        Unit text, and one of the bases of definitions, part 8.
    coverage : float or None
        Share of the window within the gap limit of a sample. [%]
    runs : tuple of str
        The runs it came from.
    note : str
        What the reader must know beside the number.
    draws : ndarray or None, shape (4000,)
        The value under the drawn hidden constants of the campaign; differences subtract them
        row by row. Not exported. [unit]
    """

    cooler: str
    finding: str
    at: str = ""
    conditions: Mapping[str, float | str] = field(default_factory=dict)
    value: float | None = None
    unit: str = ""
    low: float | None = None
    high: float | None = None
    basis: Basis = "measured"
    coverage: float | None = None
    runs: tuple[str, ...] = ()
    note: str = ""
    draws: np.ndarray | None = field(default=None, repr=False, compare=False)

    @property
    def kind(self) -> Kind:
        """Title, group, unit and direction of this finding."""
        return KINDS[self.finding]

    @property
    def key(self) -> tuple[str, str]:
        """What coolers are matched by: finding and ``at``."""
        return (self.finding, self.at)

    def row(self) -> dict[str, object]:
        """The finding as a row of ``findings.csv``."""
        row = {name: getattr(self, name) for name in COLUMNS}
        row["conditions"] = conditions_text(self.conditions)
        row["runs"] = " ".join(self.runs)
        return row


@dataclass(frozen=True)
class Notice:
    """Something the reader must know.

    Parameters
    ----------
    code : str
        Stable name such as ``"LOG-GAP"``.
    severity : str
        ``note``, ``doubt`` (a number is weaker for it) or ``disqualifies`` (no number).
    where : str
        File or run, and place in it.
    message : str
        One or two plain sentences.
    cooler : str
        Cooler it belongs to, or ``""``.
    """

    code: str
    severity: Severity
    where: str
    message: str
    cooler: str = ""


def measured(draws: np.ndarray, value: float) -> dict[str, object]:
    """``value``, ``low``, ``high`` and ``draws`` of a measured finding, open ends left empty.

    Parameters
    ----------
    draws : ndarray, shape (4000,)
        The finding under the hidden constants; infinite where it is not reached. [any]
    value : float
        The finding as computed from the readings as they stand. [as draws]
    """
    low, high = _draws.interval(draws)
    return {
        "value": float(value),
        "low": low if np.isfinite(low) else None,
        "high": high if np.isfinite(high) else None,
        "draws": draws,
    }


def conditions_text(conditions: Mapping[str, float | str]) -> str:
    """Conditions as one line of ``name=value unit``.

    Examples
    --------
    >>> conditions_text({"ambient": 24.63, "inside": 3.9})
    'ambient=24.6 °C inside=3.9 °C'
    """
    parts = []
    for name, value in conditions.items():
        unit = CONDITION_UNITS.get(name, "")
        text = value if isinstance(value, str) else _plain(value)
        parts.append(f"{name}={text}{' ' + unit if unit else ''}")
    return " ".join(parts)


def _plain(value: float) -> str:
    text = f"{value:.1f}"
    return text[1:] if text == "-0.0" else text


def find(findings: Iterable[Finding], **wanted: str) -> list[Finding]:
    """Findings whose fields equal the wanted ones.

    Examples
    --------
    >>> a = Finding(cooler="a", finding="mass", value=9.0)
    >>> find([a], cooler="a", finding="mass")[0].value
    9.0
    >>> find([a], cooler="b")
    []
    """
    return [f for f in findings if all(getattr(f, k) == v for k, v in wanted.items())]
