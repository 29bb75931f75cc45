"""Capacity against inside temperature: what is drawn, broken, labelled and said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench.compare.capacity_curve import CapacityCurve
from coldbench.figures import capacity_against_inside


@pytest.fixture
def curve():
    """Eight blocks on the way down, two of them not known."""
    inside = np.linspace(14.0, 0.0, 8)
    capacity = 20.0 + inside
    capacity[4:6] = np.nan
    return CapacityCurve(
        "chest", "run", 1.9e9 + 1200 * np.arange(8.0), inside, np.full(8, 24.0), capacity,
        0.9 * capacity, 1.1 * capacity, np.full(8, 40.0), 1200.0, "dc",
        "blocks with the load near 0 °C left out: it may be freezing")


def test_axes_are_labelled_and_lines_break(curve):
    drawn = capacity_against_inside({"chest": curve}, names={"chest": "Chest"})
    top, below = drawn.figure.axes
    assert top.get_ylabel() == "Cooling capacity [W]"
    assert below.get_ylabel() == "COP, net" and below.get_xlabel() == "Inside air [°C]"
    (line,) = [one for one in top.lines if one.get_label() == "blocks"]
    assert np.isnan(line.get_ydata()[4:6]).all()
    assert [text.get_text() for text in top.texts] == ["Chest"]
    assert "freezing" in drawn.caption and "20 min" in drawn.caption and "dc" in drawn.caption
    assert "34 W at 14.0 °C to 20 W at 0.0 °C" in drawn.alt
    assert "COP 0.85 to 0.50" in drawn.alt


def test_data_hold_every_block(curve):
    data = capacity_against_inside({"chest": curve}).data
    assert set(data["role"]) == {"cooling capacity", "low", "high", "power", "cop"}
    assert data[data["role"] == "cooling capacity"]["value"].isna().sum() == 2


def test_without_power_there_is_one_panel(curve):
    blind = replace(curve, power=np.full(8, np.nan))
    drawn = capacity_against_inside({"chest": blind})
    assert len(drawn.figure.axes) == 1
    assert "COP" not in drawn.alt and "Below" not in drawn.caption


def test_nothing_known_is_nothing_drawn(curve):
    assert capacity_against_inside({"chest": replace(curve, capacity=np.full(8, np.nan))}) is None
    assert capacity_against_inside({}) is None
