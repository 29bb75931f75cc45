"""Notebooks run cell by cell in this process, on small campaigns written for one test each."""

from __future__ import annotations

import io
import json
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from coldbench.report import book
from coldbench.report.page_html import html_report

CLONE = Path(__file__).resolve().parents[2]
NOTEBOOKS = CLONE / "notebooks"

CAMPAIGN = """
title = "Boxes on a bench"
date = 2031-06-14
timezone = "UTC"

[footing]
ambient = "25 °C"
inside = "5 °C"

[targets]
temperatures = ["10 °C", "5 °C"]
food_limit = "7 °C"

[money]
currency = "EUR"
tariff = "0.32 EUR/kWh"

[disclosure]
paid_by = "the one who asks"
sample = "bought new"

[instruments.probes]
measures = "temperature"
error = "0.3 K"
resolution = "0.1 K"

[instruments.meter]
measures = "power"
error = "1 % + 0.2 W"
resolution = "0.1 W"
"""
COOLER = """
name = "{name}"
technology = "{technology}"
origin = "bought"
inside = {{ usable = "12 L" }}
outside = {{ width = "400 mm", depth = "300 mm", height = "350 mm" }}
price = {{ paid = "120 EUR" }}
"""
RUN = """
cooler = "{cooler}"
kind = {kind}
setting = "{setting}"
start = 2031-06-14T09:00:00
"""
LOAD = """
[[load]]
count = 4
water = "330 mL"
container = { material = "aluminium", mass = "13 g" }
start = "24 °C"
"""
LOG = """
[[log]]
file = "logs/{file}.csv"
time = {{ column = "min", elapsed = "min" }}
metered_at = "dc"
power = "mean"
label = "start"

[log.columns]
"""
COLUMNS = {
    "air": 'air_C = { role = "air", probe = "P1", instrument = "probes" }\n',
    "load": 'load_C = { role = "load", probe = "P2", instrument = "probes" }\n',
    "ambient": 'ambient_C = { role = "ambient", probe = "P3", instrument = "probes" }\n',
    "power": 'power_W = { role = "power", instrument = "meter" }\n',
}


def bench_log(hours: float = 30.0, step: float = 5.0, setpoint: float = 4.0, on: float = 0.4,
              steady: bool = True, gap: tuple[float, float] | None = None) -> str:
    """A log as text: pull-down from 24 °C, then cycles of 50 min; columns min, air, load, ...

    Parameters
    ----------
    hours, step : float
        Length [h] and step [min].
    setpoint : float
        Mean inside once it cycles. [°C]
    on : float
        Share of a cycle that runs.
    steady : bool
        False: the inside drifts and the power grows with it to the end.
    gap : (float, float), optional
        Hours between which nothing was logged.
    """
    lines = ["min,air_C,load_C,ambient_C,power_W"]
    for i in range(round(hours * 60 / step) + 1):
        t = i * step / 60
        if gap and gap[0] < t < gap[1]:
            continue
        down = (24 - setpoint) * math.exp(-t / 1.2)
        place = (t / (50 / 60)) % 1
        runs = down > 1.5 or place < on
        wave = 0.0 if down > 1.5 else 0.8 * (place / on if place < on else (1 - place) / (1 - on))
        drift = 0.0 if steady else 0.35 * t
        air = setpoint + down - wave + drift
        load = setpoint + (24 - setpoint) * math.exp(-t / 2.5) + drift
        power = (45.0 + drift * 4 if runs else 0.9)
        ambient = 24.5 + 0.2 * math.sin(t / 4)
        lines.append(f"{i * step:g},{air:.2f},{load:.2f},{ambient:.2f},{power:.1f}")
    return "\n".join(lines) + "\n"


def run_sheet(cooler: str, kind: str = '["pull-down", "steady"]', setting: str = "coldest",
              columns: tuple[str, ...] = ("air", "load", "ambient", "power"), file: str = "",
              load: str = LOAD, more: str = "") -> str:
    """A run sheet whose log has some of the columns of :func:`bench_log`."""
    head = RUN.format(cooler=cooler, kind=kind, setting=setting)
    log = LOG.format(file=file or cooler) + "".join(COLUMNS[c] for c in columns)
    return head + more + load + log


def cooler_sheet(name: str = "Box", technology: str = "compressor") -> str:
    """A cooler sheet with sizes and a price."""
    return COOLER.format(name=name, technology=technology)


@dataclass
class Ran:
    """What the notebooks showed, and the HTML pages made of it."""

    notebooks: dict[str, dict]
    pages: dict[str, str]

    @property
    def texts(self) -> dict[str, str]:
        """Words of each page, without styles, pictures and marks."""
        return {name: words(page) for name, page in self.pages.items()}


def words(page: str) -> str:
    """What a reader reads on an HTML page; cells of tables parted by a bar."""
    from bs4 import BeautifulSoup

    soup = BeautifulSoup(page, "html.parser")
    for tag in soup(["style", "svg", "script"]):
        tag.decompose()
    alts = [image.get("alt", "") for image in soup("img")]
    return " | ".join([*soup.stripped_strings, *alts])


class Bench:
    """Writes a campaign, and the texts that it is made of.

    Parameters
    ----------
    folder : Path
        Where the campaign is written.
    """

    campaign = CAMPAIGN
    load = LOAD
    log = staticmethod(bench_log)
    run = staticmethod(run_sheet)
    cooler = staticmethod(cooler_sheet)

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def write(
        self, coolers: Mapping[str, str], runs: Mapping[str, str], logs: Mapping[str, str],
        campaign: str = CAMPAIGN,
    ) -> Path:
        """Texts of sheets and logs, by name, to the folder of a campaign."""
        files = {"campaign.toml": campaign}
        files |= {f"coolers/{name}.toml": text for name, text in coolers.items()}
        files |= {f"runs/{name}.toml": text for name, text in runs.items()}
        files |= {f"logs/{name}.csv": text for name, text in logs.items()}
        for name, text in files.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="\n")
        return self.folder


@pytest.fixture
def bench(tmp_path) -> Bench:
    """A campaign to be written."""
    return Bench(tmp_path / "bench")


@pytest.fixture(scope="session")
def bench_in() -> type[Bench]:
    """Makes a campaign to be written, in a folder of the test's choice."""
    return Bench


@pytest.fixture
def pdf_pages() -> Callable[[bytes], list[str]]:
    """A function: a PDF to the text of each page."""
    import pypdf

    return lambda pdf: [p.extract_text() for p in pypdf.PdfReader(io.BytesIO(pdf)).pages]


@pytest.fixture
def run_cells(monkeypatch) -> Callable[..., dict]:
    """A function: a notebook's name and parameters to the notebook as executed."""

    def run(name: str, **parameters: str) -> dict:
        notebook = json.loads((NOTEBOOKS / f"{name}.ipynb").read_text(encoding="utf-8"))
        shown: list[object] = []
        monkeypatch.setattr(book, "show", lambda *items: shown.extend(book._flat(items)))
        space: dict[str, object] = {}
        for count, cell in enumerate(notebook["cells"], 1):
            if cell["cell_type"] != "code":
                continue
            exec("".join(cell["source"]), space)
            if "parameters" in cell["metadata"].get("tags", []):
                space.update(parameters)
            cell["outputs"] = [
                {"output_type": "display_data", "data": item._repr_mimebundle_(), "metadata": {}}
                for item in shown
            ]
            cell["execution_count"] = count
            shown.clear()
        return notebook

    return run


@pytest.fixture
def run_all(run_cells) -> Callable[[Path], Ran]:
    """A function: the folder of a campaign to its pages, with sheets of some or all coolers."""

    def run(folder: Path, coolers: Iterable[str] | None = None) -> Ran:
        if coolers is None:
            coolers = sorted(path.stem for path in (folder / "coolers").glob("*.toml"))
        notebooks = {
            "comparison": run_cells("comparison", campaign=str(folder), out=""),
            "log_check": run_cells("log_check", campaign=str(folder)),
            "design": run_cells("design", campaign=str(folder), out=""),
            **{f"cooler {c}": run_cells("cooler_sheet", campaign=str(folder), cooler=c)
               for c in coolers},
        }
        return Ran(notebooks, {name: html_report(nb) for name, nb in notebooks.items()})

    return run
