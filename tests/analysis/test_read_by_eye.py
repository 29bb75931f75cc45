"""A run read by eye gives what the same readings in a log give; two readings give no balance."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from coldbench.analysis.campaign import analyse_campaign
from coldbench.sheets import read_campaign

ROOM, LEAK, FILM = 24.0, 0.42, 3.0  # [°C], [W/K], [W/K]
LOAD = 1.5 * 4186.0  # [J/K], water alone
RUN = """cooler = "box"
kind = ["warm-up"]
machine = "out"
start = 2031-06-14T09:00:00
[[load]]
count = 3
water = "500 mL"
"""
COOLER = """name = "Box"
technology = "thermoelectric"
origin = "built"
liner = { material = "polypropylene", mass = "0.9 kg" }
outside = { width = "400 mm", depth = "300 mm", height = "300 mm" }
inside = { width = "320 mm", depth = "220 mm", height = "220 mm" }
insulation = { material = "XPS", thickness = "40 mm" }
"""
CAMPAIGN = """title = "Trial"
timezone = "UTC"
[instruments.T]
measures = "temperature"
error = "0.5 K"
resolution = "0.1 K"
"""


def course(minutes: range) -> list[tuple[int, float, float]]:
    """Minutes, air and load of a box that warms up behind a film at the load."""
    through = LEAK * FILM / (LEAK + FILM)
    loads = [ROOM - 18 * math.exp(-through * 60 * minute / LOAD) for minute in minutes]
    return [(minute, (LEAK * ROOM + FILM * load) / (LEAK + FILM), load)
            for minute, load in zip(minutes, loads, strict=True)]


def heat_leak(folder: Path, run: str):
    """The heat leak of a campaign with one run."""
    files = {"campaign.toml": CAMPAIGN, "coolers/box.toml": COOLER, "runs/w.toml": RUN + run}
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
    (result,) = analyse_campaign(read_campaign(folder)).results.values()
    return next(row for row in result.findings if row.finding == "heat_leak")


def typed(rows) -> str:
    return "".join(
        f'[[reading]]\nat = "{minute} min"\nair = "{air:.2f} °C"\nload = "{load:.2f} °C"\n'
        f'ambient = "{ROOM:.2f} °C"\ninstrument = "T"\n' for minute, air, load in rows)


def test_readings_by_eye_tell_the_heat_leak_that_a_log_tells(tmp_path):
    rows = course(range(0, 301, 10))
    log = "".join(f"2031-06-14 {9 + m // 60:02}:{m % 60:02},{air:.2f},{load:.2f},{ROOM:.2f}\n"
                  for m, air, load in rows)
    (tmp_path / "log.csv").write_text("time,air_C,load_C,room_C\n" + log, encoding="utf-8",
                                      newline="\n")
    logged = heat_leak(tmp_path, '[[log]]\nfile = "log.csv"\ninstrument = "T"\n'
                       'time = { column = "time" }\n[log.columns]\nair_C = "air"\n'
                       'load_C = "load"\nroom_C = "ambient"\n')
    by_eye = heat_leak(tmp_path, typed(rows))
    assert by_eye.value == pytest.approx(logged.value, rel=1e-9)
    assert by_eye.low < by_eye.value < by_eye.high


def test_two_readings_of_the_load_are_no_balance(tmp_path):
    first, *_, last = rows = course(range(0, 301, 10))
    air = "".join(f'[[reading]]\nat = "{m} min"\nair = "{air:.2f} °C"\n'
                  f'ambient = "{ROOM:.2f} °C"\ninstrument = "T"\n' for m, air, _ in rows)
    load = "".join(f'[[reading]]\nat = "{m} min"\nload = "{load:.2f} °C"\ninstrument = "T"\n'
                   for m, _, load in (first, last))
    assert heat_leak(tmp_path, air + load).value is None
