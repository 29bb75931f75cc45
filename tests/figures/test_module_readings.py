"""Readings of a module against its current: all points, no line, an outline where it was heated."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.figures import svg_text
from coldbench.figures.module_readings import module_readings

READ = {
    "current": np.array([0.0, 1.0, 2.0, 2.0]), "voltage": np.array([1.2, 3.1, np.nan, 6.0]),
    "cold_side": np.array([8.0, 5.0, -4.0, 3.0]), "hot_side": np.array([33.0, 35.0, 38.0, 40.0]),
    "heater": np.array([np.nan, 0.0, 0.0, 6.0]),
}


@pytest.fixture(scope="module")
def drawn():
    return module_readings(READ, name="rig", key="one")


def labelled(axes, label):
    return next(line for line in axes.lines if line.get_label() == label)


def test_every_reading_is_a_point_and_none_is_joined(drawn):
    upper, lower = drawn.figure.axes
    for axes, label, role in ((upper, "voltage", "voltage"), (lower, "hot face", "hot_side"),
                              (lower, "cold face", "cold_side")):
        line = labelled(axes, label)
        assert line.get_linestyle() == "None"
        assert np.array_equal(line.get_ydata(), READ[role], equal_nan=True)
        assert list(labelled(axes, f"{label}, heater on").get_xdata()) == [2.0]


def test_it_is_told_in_words_and_data(drawn):
    assert "4 readings of rig" in drawn.alt and "0.00 to 2.00 A" in drawn.alt
    assert list(drawn.data.columns) == list(READ)
    assert drawn.name == "module-one"
    assert svg_text(drawn) == svg_text(module_readings(READ, name="rig", key="one"))


def test_what_was_not_read_is_not_drawn():
    assert module_readings({"voltage": READ["voltage"]}) is None
    alone = module_readings({"current": READ["current"], "cold_side": READ["cold_side"]})
    assert [len(axes.lines) for axes in alone.figure.axes] == [0, 2]
