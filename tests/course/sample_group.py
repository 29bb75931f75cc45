"""A group's folder without a simulator: curves in closed form, so that a test can do the sums."""

from __future__ import annotations

from pathlib import Path

import numpy as np

CAMPAIGN = """\
title = "Group work (invented)"
timezone = "UTC"

[targets]
temperatures = ["10 °C", "6 °C"]
food_limit = "6 °C"

[disclosure]
invented = "Invented for a test."

[instruments.probes]
measures = "temperature"
error = "0.1 K"
resolution = "0.01 K"

[instruments.volts]
measures = "voltage"
error = "0.2 %"

[instruments.amps]
measures = "current"
error = "0.5 %"

[instruments.meter]
measures = "power"
error = "1 %"
resolution = "0.1 W"

[instruments.plug]
measures = "energy"
error = "2 %"
counter_step = "0.01 kWh"
"""
COOLER = """\
name = "Box of a group"
technology = "passive"
origin = "lent"
inside = { width = "330 mm", depth = "240 mm", height = "280 mm" }
insulation = { material = "PUR", thickness = "35 mm" }
liner = { material = "polypropylene", mass = "0.9 kg" }
"""
HEAD = """\
cooler = "box"
kind = {kind}
start = 2031-09-01T09:00:00
"""
LOG = """
[[log]]
file = "logs/{run}.csv"
time = {{ column = "min", elapsed = "min" }}

[log.columns]
"""
PROBES = {"air": "P1", "load": "P2", "ambient": "P3"}
LOAD = """
[[load]]
count = 3
water = "500 g ± 5 g"
container = { material = "PET", mass = "24 g" }
start = "24 °C"
"""
HEATED = "".join(
    f'\n[[reading]]\nat = "{hour} h"\ninstrument = "{instrument}"\n{role} = "{value}"\n'
    for hour, volts, amps in (("3", "12.04 V", "0.752 A"), ("8", "12.02 V", "0.748 A"))
    for instrument, role, value in (("volts", "voltage", volts), ("amps", "current", amps))
)
COUNTED = "".join(
    f'\n[[reading]]\nat = "{hour} h"\ninstrument = "plug"\nmetered_at = "dc"\n'
    f'energy = "{count} kWh"\n'
    for hour, count in ((0, "137.02"), (30, "137.58"))
)


# A lamp, then a resistor: 12.10 V × 3.95 A and 11.98 V × 0.142 A.
LAMPS = "".join(
    f'\n[[reading]]\nat = "{at} h"\ninstrument = "{instrument}"\n{role} = "{value}"\n{more}'
    for at, watts, volts, amps in (
        (1, "46.4 W", "12.10 V", "3.95 A"), (2, "1.4 W", "11.98 V", "0.142 A"))
    for instrument, role, value, more in (
        ("meter", "power", watts, 'metered_at = "dc"\n'), ("volts", "voltage", volts, ""),
        ("amps", "current", amps, ""))
)


def minutes(hours: float, step: float = 5.0) -> np.ndarray:
    """Even instants. [min]"""
    return np.arange(0, 60 * hours + step / 2, step)


def heater() -> dict[str, np.ndarray]:
    """An empty box that a heater warms to 20 K above a steady room."""
    t = minutes(10)
    return {"min": t, "air": 24 + 20.137 * (1 - np.exp(-t / 60)), "ambient": 24 + 0.0 * t}


def warm_up() -> dict[str, np.ndarray]:
    """Air and load that come up towards a room that itself gets a little warmer."""
    t = minutes(12)
    room = 24 + 0.08 * t / 60
    fall = np.exp(-t / 60 / 9.3)
    return {"min": t, "air": room - 16.4 * fall, "load": room - 20.7 * fall, "ambient": room}


def cold() -> dict[str, np.ndarray]:
    """A pull-down in 24 °C, then cycles of an hour of which the machine runs a quarter."""
    t = minutes(30)
    hours = t / 60
    place = hours % 1
    wave = np.where(place < 0.25, 0.5 - 4 * place, -0.5 + 4 / 3 * (place - 0.25))
    down = 20 * np.exp(-hours / 0.8)
    runs = (hours < 4) | (place < 0.25)
    return {
        "min": t, "air": 4 + down + np.where(hours < 4, 0.0, wave),
        "load": 4.3 + 19.7 * np.exp(-hours / 2.2), "ambient": 24.2 + 0.0 * t,
        "power": np.where(runs, 48.3, 1.7),
    }


RUNS = {"heater": heater, "warm-up": warm_up, "cold": cold}


def write_group(folder: Path, answers: str = "", **sheets: str) -> Path:
    """Write the folder.

    Parameters
    ----------
    folder : Path
        Where to.
    answers : str
        Text of ``answers.toml``.
    **sheets : str
        Texts in place of ``campaign`` or ``cooler``.
    """
    files = {
        "campaign.toml": sheets.get("campaign", CAMPAIGN),
        "coolers/box.toml": sheets.get("cooler", COOLER),
        "runs/heater.toml": HEAD.format(kind='["heater"]') + 'machine = "off"\n' + HEATED
        + _log("heater"),
        "runs/warm-up.toml": HEAD.format(kind='["warm-up"]') + 'machine = "off"\n' + LOAD
        + _log("warm-up"),
        "runs/cold.toml": HEAD.format(kind='["pull-down", "steady"]') + 'setting = "4 °C"\n'
        + LOAD + COUNTED + LAMPS + _log("cold"),
        "parameters.toml": 'group = "g07"\nseed = "5"\ntarget = "6 °C"\n',
        "answers.toml": answers,
    }
    files |= {f"logs/{run}.csv": _csv(curves()) for run, curves in RUNS.items()}
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    return folder


def _log(run: str) -> str:
    text = LOG.format(run=run)
    for role in RUNS[run]():
        if role in PROBES:
            text += (f'{role} = {{ role = "{role}", probe = "{PROBES[role]}", '
                     'instrument = "probes", unit = "°C" }\n')
    if run == "cold":
        text = text.replace("\n\n[log.columns]", '\npower = "mean"\nlabel = "start"\n'
                            'metered_at = "dc"\n\n[log.columns]')
        text += 'power = { role = "power", instrument = "meter", unit = "W" }\n'
    return text


def _csv(curves: dict[str, np.ndarray]) -> str:
    rows = (",".join(f"{x:.2f}" for x in row) for row in zip(*curves.values(), strict=True))
    return "\n".join([",".join(curves), *rows]) + "\n"
