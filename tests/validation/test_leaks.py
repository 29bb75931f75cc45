"""A fixed tenth of the boxes behind the table of heat leaks."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import leaks


@pytest.fixture(scope="module")
def boxes():
    return leaks.study("checked", leaks.TENTH)


def test_each_way_finds_the_heat_leak(boxes):
    table = leaks.table(boxes, "checked").set_index("way")
    assert (table["passed"] == "yes").all(), table.to_string()
    assert table["valued"].min() >= 0.8 * leaks.TENTH


def test_the_proof_can_fail(boxes):
    off = boxes.assign(value=boxes["value"] * 1.08, hit=boxes["hit"] & (boxes.index % 4 != 0))
    table = leaks.table(off, "checked")
    assert (table["passed"] == "no").all()
