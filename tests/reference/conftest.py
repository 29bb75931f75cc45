"""Published values, read from the CSV files of this folder."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

HERE = Path(__file__).parent


def _rows(name: str) -> list[dict[str, str]]:
    text = (HERE / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@pytest.fixture
def published() -> Callable[[str], dict[str, float]]:
    """Values of a file by their id."""
    return lambda name: {row["id"]: float(row["value"]) for row in _rows(name)}


@pytest.fixture
def rows() -> Callable[[str], list[dict[str, str]]]:
    """Lines of a file, as text, by heading."""
    return _rows
