"""Speed against floors measured in the same run: ``python run.py bench``.

The floor of a report is what its notebooks would cost if they only imported the libraries: as
many notebooks, as many processes at a time, through plain papermill. Medians of three, taken in
turn so that a busy machine slows both alike.
"""

from __future__ import annotations

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

CLONE = Path(__file__).resolve().parents[2]
DEMO = CLONE / "templates" / "campaign-demo"
ROUNDS = 3
JOBS = os.cpu_count() or 1
IMPORTS = "import pandas, matplotlib.pyplot, scipy.optimize, scipy.stats"
PLAIN_PAPERMILL = (
    "import sys, papermill; papermill.execute_notebook(*sys.argv[1:], progress_bar=False)"
)


@dataclass(frozen=True)
class Row:
    """One measured value and what it may be at most."""

    what: str
    value: float
    target: float
    unit: str

    @property
    def passes(self) -> bool:
        """Whether the target is met."""
        return self.value <= self.target


def main() -> int:
    """0 if every target is met."""
    with tempfile.TemporaryDirectory(prefix="coldbench-bench-") as folder:
        rows = measure(Path(folder))
    print(f"{'':44}{'measured':>12}{'target':>12}")
    for row in rows:
        values = f"{row.value:9.2f} {row.unit:2}{row.target:9.2f} {row.unit:2}"
        print(f"{row.what:44}{values}  {'pass' if row.passes else 'MISS'}")
    logs = subprocess.call([
        sys.executable, "-m", "pytest", "-o", "addopts=--import-mode=importlib", "-q", "-s",
        "--benchmark-columns=median,min,max,rounds",
        *(str(Path(__file__).with_name(f"bench_{name}.py"))
          for name in ("logs", "supply", "search", "thermoelectric", "class")),
    ], cwd=CLONE)
    return 0 if logs == 0 and all(row.passes for row in rows) else 1


def measure(folder: Path) -> list[Row]:
    """All rows; writes only below the folder."""
    campaign, out = folder / "demo", folder / "out"
    shutil.copytree(DEMO, campaign)
    call("-m", "coldbench", "report", str(campaign), "--out", str(out))  # warms the disk's cache
    count = len(list((out / "notebooks").rglob("*.ipynb")))
    reports, floors = [], []
    for _ in range(ROUNDS):
        floors.append(seconds(lambda: run_floor(folder, count)))
        reports.append(
            seconds(
                lambda: call(
                    "-m",
                    "coldbench",
                    "report",
                    str(campaign),
                    "--out",
                    str(out),
                    "--jobs",
                    str(JOBS),
                )
            )
        )
    floor, report = statistics.median(floors), statistics.median(reports)
    print(f"{count} notebooks, {JOBS} at a time: floor {floor:.2f} s, report {report:.2f} s")
    return [
        Row("report on the demo, HTML and PDF, to its floor", report / floor, 1.3, "x"),
        Row("coldbench --help", median(lambda: call("-m", "coldbench", "--help")), 0.5, "s"),
        Row(
            "coldbench check on the demo",
            median(lambda: call("-m", "coldbench", "check", str(campaign))),
            2.0,
            "s",
        ),
    ]


def run_floor(folder: Path, count: int) -> None:
    """Run the notebooks that only import, each in a process of its own."""
    source = folder / "floor.ipynb"
    cell = {"cell_type": "code", "id": "a", "metadata": {}, "source": IMPORTS}
    notebook = {
        "cells": [cell | {"outputs": [], "execution_count": None}],
        "metadata": {"kernelspec": {"name": "python3", "display_name": "Python 3"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    source.write_text(json.dumps(notebook), encoding="utf-8", newline="\n")
    with ThreadPoolExecutor(JOBS) as pool:
        outputs = [str(folder / f"floor-{number}.ipynb") for number in range(count)]
        list(pool.map(lambda output: call("-c", PLAIN_PAPERMILL, str(source), output), outputs))


def call(*arguments: str) -> None:
    """Run this Python quietly; its output is shown only if it fails."""
    done = subprocess.run(
        [sys.executable, *arguments], stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )
    if done.returncode != 0:
        print(done.stdout.decode("utf-8", errors="replace"))
        raise SystemExit(f"failed: {arguments}")


def seconds(work: Callable[[], None]) -> float:
    """How long it takes. [s]"""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def median(work: Callable[[], None]) -> float:
    """Median of the rounds. [s]"""
    return statistics.median(seconds(work) for _ in range(ROUNDS))


if __name__ == "__main__":
    sys.exit(main())
