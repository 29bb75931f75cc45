"""Cycles of cold appliances that nobody here measured, as power logs from file to findings.

Expected answers: plain sums over the running phase that the wheel describes, and the idle phase
that is put behind it here.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_campaign
from coldbench.sheets import read_campaign

STEP = 10  # s
IDLE = 1.5  # W
CYCLES = 16
CYCLE = {  # s; the rest of each is idle
    "REFRIGERATOR/dev_76C07F/mode1": 2700, "REFRIGERATOR/dev20111228/mode0": 2400,
    "FREEZER/ECO-H1/mode0": 7200, "REFRIGERATOR/ECO-H1/mode1": 7800,
}


@pytest.fixture(params=CYCLE)
def cycle(request, running_phases) -> np.ndarray:
    """One whole cycle, a value each second. [W]"""
    running = running_phases[request.param]
    return np.append(running, np.full(CYCLE[request.param] - len(running), IDLE))


def log(cycle: np.ndarray) -> str:
    """Means of ten seconds, with decimal commas, beginning a third into an idle phase."""
    means = cycle.reshape(-1, STEP).mean(axis=1)
    rows = np.roll(np.tile(means, CYCLES), 20)
    begin = datetime(2031, 6, 14, 9)
    return "Datum;Uhrzeit;Leistung W\n" + "".join(
        f"{begin + timedelta(seconds=STEP * i):%d.%m.%Y;%H:%M:%S};{y:.3f}\n".replace(".", ",")
        .replace(",", ".", 2) for i, y in enumerate(rows))


@pytest.fixture
def findings(cycle, tmp_path) -> dict[str, float]:
    """What the kit finds in it, by name."""
    for name, text in {**SHEETS, "logs/power.csv": log(cycle)}.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8", newline="\n")
    result = analyse_campaign(read_campaign(tmp_path))
    assert not [n for n in result.notices if n.code.startswith("LOG-")]
    return {f.finding: f.value for f in result.findings}


def test_the_phases_are_those_of_the_wheel(running_phases):
    """Lengths as the profiles state them, each piece being a whole number of seconds."""
    assert [len(y) for y in running_phases.values()] == [966, 841, 3956, 4154]
    assert all(30 < np.median(y) < 160 for y in running_phases.values())


def test_energy_and_cycles(cycle, findings):
    running = len(cycle) - np.count_nonzero(cycle == IDLE)
    mean = cycle.mean()
    # Three decimals are logged: half of the last one.
    assert findings["mean_power"] == pytest.approx(mean, abs=5e-4)
    assert findings["daily_energy"] == pytest.approx(mean * 24, abs=0.012)
    assert findings["cycle_time"] == pytest.approx(len(cycle) / 60, abs=1e-6)
    # The change of state falls within a sample at either end.
    assert findings["duty"] == pytest.approx(running / len(cycle), abs=2 * STEP / len(cycle))
    assert findings["idle_power"] == pytest.approx(IDLE, abs=5e-4)
    # The median while running but for the first minute, known to a sample at either end.
    settled = np.sort(cycle[60:running])
    low, middle, high = settled[len(settled) // 2 + np.array([-2 * STEP, 0, 2 * STEP])]
    assert findings["running_power"] == pytest.approx(middle, abs=high - low + 5e-4)
    assert high - low < 0.01 * middle


SHEETS = {
    "campaign.toml": """
title = "Four cold appliances"
question = "What do they draw?"
author = "tests of the kit, on data from outside"
date = 2031-06-14
timezone = "UTC"

[instruments.meter]
measures = "power"
""",
    "coolers/appliance.toml": """
name = "Appliance"
technology = "compressor"
origin = "lent"
""",
    "runs/one.toml": """
cooler = "appliance"
kind = ["steady"]
setting = "coldest"
start = 2031-06-14T09:00:00

[[log]]
file = "logs/power.csv"
instrument = "meter"
time = { column = "Datum", with = "Uhrzeit", format = "%d.%m.%Y %H:%M:%S" }
decimal = ","
columns = { "Leistung W" = "power" }
power = "mean"
label = "start"
metered_at = "wall"
""",
}
