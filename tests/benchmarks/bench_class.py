"""A class of thirty groups, three of them broken, against one group by itself.

``python run.py bench`` runs it. The floor is one group with ``--jobs 1``, times thirty, divided by
the cores; it is taken before and after the class, so that a busy machine slows both alike.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from coldbench.course.hand_out import hand_out
from coldbench.course.roster import read_roster

GROUPS, BROKEN = 30, 3
TARGET = 1.15
CORES = os.cpu_count() or 1
ROSTER = 'title = "Speed (invented)"\nseed = 7\ncards = ["heat_leak_warm_up"]\n'


def roster(folder: Path, count: int, makeup: bool) -> Path:
    """A class; its groups are called g01 and so on."""
    told = "".join(f'[[group]]\nid = "g{n + 1:02d}"\nmakeup = {str(makeup).lower()}\n'
                   for n in range(count))
    file = folder / "class.toml"
    file.write_text(ROSTER + told, encoding="utf-8", newline="\n")
    return file


@pytest.fixture(scope="module")
def classes(tmp_path_factory) -> tuple[Path, Path]:
    """One group by itself, and thirty with the same data: every group costs the same."""
    one, many = (tmp_path_factory.mktemp(name) for name in ("one", "many"))
    hand_out(read_roster(roster(one, 1, makeup=True)))
    made = one / "groups" / "g01"
    for n in range(GROUPS):
        home = many / "groups" / f"g{n + 1:02d}"
        shutil.copytree(made, home)
        numbers = home / "parameters.toml"
        text = numbers.read_text(encoding="utf-8").replace('"g01"', f'"{home.name}"')
        numbers.write_text(text, encoding="utf-8", newline="\n")
    (many / "groups" / "g05" / "logs" / "warm-up.csv").write_bytes(b"\x00\x01 no log" * 999)
    (many / "groups" / "g13" / "answers.toml").unlink()
    with (many / "groups" / "g21" / "runs" / "warm-up.toml").open("a", encoding="utf-8") as sheet:
        sheet.write("no sheet\n")
    return roster(one, 1, makeup=False), roster(many, GROUPS, makeup=False)


def ran(file: Path, jobs: int) -> float:
    """How long a class takes from nothing. [s]"""
    for name in ("out", "key"):
        shutil.rmtree(file.parent / name, ignore_errors=True)
    start = time.perf_counter()
    subprocess.run([sys.executable, "-m", "coldbench", "class", str(file), "--jobs", str(jobs)],
                   capture_output=True, check=False)
    return time.perf_counter() - start


def test_thirty_groups(benchmark, classes):
    one, many = classes
    ran(one, 1)  # warms the disk's cache
    before = ran(one, 1)
    spent: list[float] = []
    benchmark.pedantic(lambda: spent.append(ran(many, CORES)), rounds=1)
    single = (before + ran(one, 1)) / 2
    reports = list((many.parent / "out" / "groups").glob("*/heat_leak_warm_up.pdf"))
    assert len(reports) == GROUPS - BROKEN
    ratio = spent[0] / (single * GROUPS / CORES)
    print(f"\none group {single:.1f} s, {GROUPS} groups {spent[0]:.1f} s on {CORES} cores: "
          f"{ratio:.2f} of the floor, target at most {TARGET:g}")
    assert ratio <= TARGET
