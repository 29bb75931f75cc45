"""Reading and analysing a month of one-second samples, against a bare read of the same file.

``python run.py bench`` runs it. The floor is ``pyarrow.csv.read_csv`` of the file with its
defaults, taken in the same run; the log is made here: 30 days, six channels, 2 592 000 rows.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.csv as arrow_csv
import pytest

from coldbench.analysis.campaign import analyse_run
from coldbench.logs import cache, read_run
from coldbench.sheets import read_campaign

ROWS = 30 * 86_400
SHEET = """cooler = "box"
kind = ["pull-down", "steady"]
setting = "coldest"
start = 2031-06-01T00:00:00
[[log]]
file = "logs/box.csv"
time = { column = "time" }
metered_at = "dc"
[log.columns]
air_C = { role = "air", instrument = "T" }
load_C = { role = "load", instrument = "T" }
ambient_C = { role = "ambient", instrument = "T" }
power_W = { role = "power", instrument = "P" }
supply_V = "voltage"
hot_C = "hot_side"
"""
CAMPAIGN = """title = "A month"
timezone = "UTC"
[targets]
temperatures = ["10 °C", "5 °C", "-18 °C"]
food_limit = "5 °C"
[instruments.T]
measures = "temperature"
error = "0.5 K"
[instruments.P]
measures = "power"
error = "1 % + 0.2 W"
"""
COOLER = """name = "Box"
technology = "compressor"
origin = "built"
outside = { volume = "58 L" }
inside = { volume = "13 L" }
"""
# Peak above imports, in a process of its own, in frames of seven columns of doubles.
PEAK = """
import json, re, sys
from pathlib import Path
import pyarrow.csv, pyarrow.parquet, pandas, numpy
from coldbench.analysis.campaign import analyse_run
from coldbench.logs import read_run
from coldbench.sheets import read_campaign
def peak():
    # What getrusage tells of a child still holds its parent's peak.
    return int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]) * 1024
campaign = read_campaign(Path(sys.argv[1]))
before = peak()
analyse_run(read_run(campaign, "one"), campaign)
print(json.dumps(peak() - before))
"""


def written(folder: Path, rows: int, step: int) -> Path:
    """A campaign with one made log."""
    for name, text in (("campaign.toml", CAMPAIGN), ("coolers/box.toml", COOLER),
                       ("runs/one.toml", SHEET)):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    s = np.arange(rows) * step
    rng = np.random.default_rng(20310601)
    runs = (s % 2400 < 720) | (s < 20_000)
    start = np.datetime64("2031-06-01T00:00:00", "s")
    columns = {
        "time": pa.array(start + s).cast(pa.string()),
        "air_C": 4 + np.sin(s / 382) + 20 * np.exp(-s / 5000) + rng.normal(0, 0.02, rows),
        "load_C": 4.4 + 20 * np.exp(-s / 9000) + 0.2 * np.sin(s / 382),
        "ambient_C": 25 + np.sin(s / 13_751) + rng.normal(0, 0.02, rows),
        "power_W": np.where(runs, 45.0, 1.5) + rng.normal(0, 0.3, rows),
        "supply_V": 12.6 - 0.3 * runs + rng.normal(0, 0.01, rows),
        "hot_C": 31.0 + 5.0 * runs + rng.normal(0, 0.1, rows),
    }
    log = folder / "logs" / "box.csv"
    log.parent.mkdir(exist_ok=True)
    with log.open("w", encoding="utf-8", newline="\n") as file:
        file.write(",".join(columns) + "\n")
        times = columns.pop("time").to_pylist()
        numbers = np.column_stack(list(columns.values()))
        for begin in range(0, rows, 50_000):
            part = zip(times[begin : begin + 50_000], numbers[begin : begin + 50_000].tolist(),
                       strict=True)
            file.write("".join(
                f"{t},{a:.2f},{b:.2f},{c:.2f},{d:.2f},{e:.2f},{f:.2f}\n"
                for t, (a, b, c, d, e, f) in part))
    return folder


@pytest.fixture(scope="module")
def month(tmp_path_factory) -> Path:
    """Campaign of the long log; its libraries are warm."""
    small = written(tmp_path_factory.mktemp("warm"), 2000, 60)
    campaign = read_campaign(small)
    analyse_run(read_run(campaign, "one"), campaign)
    folder = written(tmp_path_factory.mktemp("month"), ROWS, 1)
    arrow_csv.read_csv(folder / "logs" / "box.csv")
    return folder


@pytest.fixture(scope="module")
def bare(month) -> float:
    """Median of five bare reads. [s]"""
    def once() -> float:
        start = time.perf_counter()
        arrow_csv.read_csv(month / "logs" / "box.csv")
        return time.perf_counter() - start
    return float(np.median([once() for _ in range(5)]))


def whole(folder: Path) -> None:
    """Hash, read, check, every analysis, and the copy written."""
    campaign = read_campaign(folder)
    analyse_run(read_run(campaign, "one"), campaign)
    cache.wait()


def forget(folder: Path) -> None:
    shutil.rmtree(folder / cache.FOLDER, ignore_errors=True)


def judged(benchmark, value: float, floor: float, target: float, what: str) -> None:
    ratio = value / floor
    benchmark.extra_info[what] = f"{ratio:.2f} (target {target:g})"
    print(f"\n{what}: {ratio:.2f}, target at most {target:g}")
    assert ratio <= target, f"{what}: {ratio:.2f}, target at most {target:g}"


def test_month_read_and_analysed(benchmark, month):
    floors = []

    def set_up() -> None:
        # In turn with what is measured, so that a busy machine slows both alike.
        forget(month)
        start = time.perf_counter()
        arrow_csv.read_csv(month / "logs" / "box.csv")
        floors.append(time.perf_counter() - start)

    benchmark.pedantic(whole, args=(month,), setup=set_up, rounds=7)
    floor = float(np.median(floors))
    judged(benchmark, benchmark.stats["median"], floor, 3.0, "first run / bare read")


def test_month_read_from_its_copy(benchmark, month, bare):
    whole(month)
    campaign = read_campaign(month)
    benchmark.pedantic(cache.from_cache, args=(campaign, "one", 0, "logs/box.csv"), rounds=5)
    assert cache.from_cache(campaign, "one", 0, "logs/box.csv") is not None
    judged(benchmark, benchmark.stats["median"], bare, 0.8, "hash and cached read / bare read")


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="only Linux tells the peak")
def test_month_in_memory(benchmark, month):
    forget(month)
    told = subprocess.run([sys.executable, "-c", PEAK, str(month)], capture_output=True, check=True)
    frame = ROWS * 7 * 8
    benchmark.pedantic(lambda: None)
    judged(benchmark, json.loads(told.stdout), frame, 5.0, "peak memory above imports / frame")


def test_day_of_minutes(benchmark, tmp_path):
    folder = written(tmp_path, 1440, 60)
    campaign = read_campaign(folder)
    read_run(campaign, "one")
    benchmark.pedantic(read_run, args=(campaign, "one"), rounds=20)
    judged(benchmark, benchmark.stats["median"], 0.05, 1.0, "a day of minutes / 50 ms")
