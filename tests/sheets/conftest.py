"""A small campaign that uses every key, whole, and one that a test may spoil."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from coldbench.errors import Fault, UserError
from coldbench.sheets import read_campaign

STALL = Path(__file__).with_name("stall")
NAMED_IN_SHEETS = (
    "logs/x.csv", "logs/first.csv", "logs/hub.csv", "logs/plug.xlsx", "photos/a.jpg",
    "../spring/out/findings.json",
)


@pytest.fixture(scope="session")
def stall_in() -> Callable[[Path], Path]:
    """Copy the campaign of ``stall/`` to a folder, with the files that its sheets name."""

    def copy_to(folder: Path) -> Path:
        copy = shutil.copytree(STALL, folder / "stall")
        for name in NAMED_IN_SHEETS:
            (copy / name).parent.mkdir(parents=True, exist_ok=True)
            (copy / name).touch()
        return copy

    return copy_to


@pytest.fixture
def folder(stall_in, tmp_path) -> Path:
    """A copy of the campaign of ``stall/``."""
    return stall_in(tmp_path)


@pytest.fixture
def write(folder) -> Callable[[Mapping[str, str]], None]:
    """Put text in the place of sheets, or add some."""

    def put(files: Mapping[str, str]) -> None:
        for name, text in files.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8", newline="\n")

    return put


@pytest.fixture
def change(folder) -> Callable[[str, str, str], int]:
    """Replace a piece of one sheet; the line on which the new text begins."""

    def replace(file: str, old: str, new: str) -> int:
        path = folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        path.write_text(text.replace(old, new), encoding="utf-8", newline="\n")
        return text[: text.index(old)].count("\n") + 1

    return replace


@pytest.fixture
def faults(folder) -> Callable[[], tuple[Fault, ...]]:
    """Read the campaign, which has to fail, and give all its faults."""

    def read() -> tuple[Fault, ...]:
        with pytest.raises(UserError) as told:
            read_campaign(folder)
        return told.value.faults

    return read
