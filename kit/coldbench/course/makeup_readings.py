"""Readings for an absent group that no log holds: a refrigerant circuit, a module on the bench.

Made from the physics of the cards themselves, with each instrument off by a constant of its own,
so they test reading and reckoning, not nature. They are marked as made up like all other files.
"""

from __future__ import annotations

import datetime as dt
import zlib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from coldbench.bench.sheet_text import toml_text
from coldbench.physics.thermoelectric import module_from_sheet, operating_point
from coldbench.quantities import parse

KELVIN = 273.15
START = dt.datetime(2031, 9, 20, 10)
ROUNDS, APART = 5, 4  # rounds of readings, minutes apart
CIRCUIT = {"cold_side", "hot_side"}
MODULE = {"cold_side", "hot_side", "current", "heater"}
AMPS = (0.0, 1.0, 2.0, 3.0, 4.0)
HEATER = 6.0  # [W]
INSTRUMENTS: dict[str, dict[str, str]] = {
    "gauges": {"measures": "pressure", "kind": "gauge, reads from the air's pressure",
               "error": "5 kPa", "resolution": "1 kPa"},
    "clamps": {"measures": "temperature", "kind": "probes taped to pipe or block, insulated",
               "error": "0.5 K", "resolution": "0.1 K"},
    "meter": {"measures": "power", "kind": "power meter, read by eye", "error": "2 %",
              "resolution": "0.1 W"},
    "volts": {"measures": "voltage", "kind": "multimeter", "error": "0.5 %",
              "resolution": "0.01 V"},
    "amps": {"measures": "current", "kind": "multimeter", "error": "1 %",
             "resolution": "0.01 A"},
}
RIG = {
    "name": "Module between two blocks", "technology": "thermoelectric", "origin": "built",
    "supply": "12 V",
}


def make_up_readings(
    folder: Path, cooler: str, group: str, seed: int, roles: Iterable[str],
    numbers: Mapping[str, str], remark: str,
) -> None:
    """Add to a made-up campaign what its cards want read by eye.

    Parameters
    ----------
    folder : Path
        Of a campaign that was written.
    cooler : str
        Id of its compressor cooler; its sheet names the refrigerant.
    group : str
        Id.
    seed : int
        The roster's.
    roles : iterable of str
        That its cards want read.
    numbers : mapping of str to str
        The group's own.
    remark : str
        At the head of each file.
    """
    rng = np.random.default_rng([seed, zlib.crc32(f"{group} readings".encode())])
    roles, used = set(roles), []
    if roles >= CIRCUIT:
        rows = _circuit(rng, numbers.get("refrigerant", "R134a"))
        _run(folder, "readings-circuit", cooler, "Readings while the machine ran.", rows, remark)
        used += ["gauges", "clamps", "meter"]
    if roles >= MODULE:
        _write(folder / "coolers" / "rig.toml", toml_text(RIG), remark)
        _run(folder, "readings-module", "rig", "Module between two blocks; heater on the cold one.",
             _module(rng, numbers), remark)
        used += ["clamps", "volts", "amps", "meter"]
    if used:
        sheet = folder / "campaign.toml"
        more = toml_text({"instruments": {name: INSTRUMENTS[name] for name in dict.fromkeys(used)}})
        text = sheet.read_text(encoding="utf-8")
        sheet.write_text(f"{text}\n{more}", encoding="utf-8", newline="\n")


def _run(
    folder: Path, run: str, cooler: str, note: str, rows: list[dict[str, Any]], remark: str
) -> None:
    sheet = {"cooler": cooler, "kind": ["steady"], "protocol": "make-up", "note": note,
             "start": START, "reading": rows}
    _write(folder / "runs" / f"{run}.toml", toml_text(sheet), remark)


def _write(path: Path, text: str, remark: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"# {remark}\n{text}", encoding="utf-8", newline="\n")


def _circuit(rng: np.random.Generator, fluid: str) -> list[dict[str, Any]]:
    """Rounds of readings of a machine that runs steadily; a row an instrument and round."""
    from coldbench.physics.vapour import cycle

    evaporating, condensing = rng.uniform(-20, -12), rng.uniform(38, 46)
    made = cycle(fluid, evaporating + KELVIN, condensing + KELVIN,
                 superheat=rng.uniform(14, 22), subcooling=rng.uniform(3, 7),
                 efficiency=rng.uniform(0.55, 0.70))
    low, high = (float(made.states[n].pressure) / 1e3 - 101.3 for n in (0, 1))
    suction, discharge, liquid = (float(made.states[n].temperature) - KELVIN for n in range(3))
    off = rng.uniform(-0.4, 0.4, 5)
    watts = rng.uniform(55, 70)
    rows = []
    for n in range(ROUNDS):
        def near(value: float, spread: float, digits: int) -> str:
            return f"{value + rng.normal(0, spread):.{digits}f}"

        at = f"{n * APART} min"
        rows += [
            {"at": at, "instrument": "gauges", "pressure_low": f"{near(low + 2, 1, 0)} kPa",
             "pressure_high": f"{near(high - 2, 3, 0)} kPa"},
            {"at": at, "instrument": "clamps", "suction": f"{near(suction + off[0], 0.2, 1)} °C",
             "discharge": f"{near(discharge + off[1], 0.3, 1)} °C",
             "liquid": f"{near(liquid + off[2], 0.2, 1)} °C",
             "cold_side": f"{near(evaporating + 0.6 + off[3], 0.2, 1)} °C",
             "hot_side": f"{near(condensing - 0.8 + off[4], 0.2, 1)} °C"},
            {"at": at, "instrument": "meter", "metered_at": "dc",
             "power": f"{near(watts, 0.4, 1)} W"},
        ]
    return rows


def _module(rng: np.random.Generator, numbers: Mapping[str, str]) -> list[dict[str, Any]]:
    """A row a current with the block insulated, then the group's own with the heater on."""
    own = parse(numbers["current"], "current").value if "current" in numbers else AMPS[-2]
    module = module_from_sheet(rng.uniform(5.6, 6.4), rng.uniform(14.8, 16.0), 66.0, 300.0)
    hot, cold_off, hot_off = rng.uniform(303, 308), *rng.uniform(-0.2, 0.2, 2)
    rows = []
    for n, amps in enumerate((*AMPS, own)):
        heat = HEATER if n == len(AMPS) else 0.0
        warm = hot + 2.5 * amps
        # At zero current the faces were left apart by the heater; else where no heat is left over.
        cold = warm - 25.0 if amps == 0 else (
            (module.conductance * warm + amps**2 * module.resistance / 2 + heat)
            / (module.seebeck * amps + module.conductance))
        volts = float(operating_point(module, amps, cold, warm).voltage)
        row = {"current": f"{amps * 1.003:.2f} A", "voltage": f"{volts:.2f} V",
               "cold_side": f"{cold - KELVIN + cold_off:.1f} °C",
               "hot_side": f"{warm - KELVIN + hot_off:.1f} °C"}
        if amps:
            row["heater"] = f"{heat:.1f} W"
        tools = {"current": "amps", "voltage": "volts", "heater": "meter"}
        at = f"{10 * n} min"
        rows += [{"at": at, "instrument": tool, **{k: v for k, v in row.items()
                  if tools.get(k, "clamps") == tool}} for tool in ("clamps", "volts", "amps")]
        if amps:
            rows.append({"at": at, "instrument": "meter", "heater": row["heater"]})
    return rows
