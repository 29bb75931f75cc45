"""Figures of a thermoelectric machine over its drive and its hot side."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench import draws
from coldbench.design.drive import COLDEST, COP, HEAT, JUST, TODAY
from coldbench.design.drive import drive_map as mapped
from coldbench.design.hot_side_gain import hot_side_gain as gained
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.figures import csv_text, drive_map, hot_side_gain, svg_text
from coldbench.physics.thermoelectric import module_from_sheet

CENTRAL = ThermoelectricUnit(module_from_sheet(6.4, 16.4, 68.0, 300.0), 9.0, 0.3, 0.25,
                             auxiliary=3.0, idle=0.3, fan_inside=0.8)
DRAWN = replace(CENTRAL, r_hot=0.25 * (1 + draws.uniform("made hot", 0.1)))
LEAK = 0.55 * (1 + draws.uniform("made leak", 0.05))


@pytest.fixture(scope="module")
def over_drive():
    return mapped(DRAWN, CENTRAL, LEAK, 25.0, 6.0, (20.0, 32.0))


@pytest.fixture(scope="module")
def over_hot_side():
    return gained(DRAWN, CENTRAL, LEAK, 25.0, 6.0)


def test_each_mark_is_a_dot_on_the_panel_of_its_name(over_drive):
    panels = drive_map(over_drive, "Shelf box").figure.axes
    titles = [panel.get_ylabel() for panel in panels]
    assert titles == ["Coldest inside [°C]", "Heat taken [W]", "COP, net", "Energy [Wh/d]"]
    for name, panel, value in ((TODAY, 0, "coldest"), (COLDEST, 0, "coldest"), (HEAT, 1, "heat"),
                               (COP, 2, "cop"), (JUST, 3, "daily")):
        (dot,) = [one for one in panels[panel].lines if one.get_label() == name]
        mark = over_drive.mark(name)
        assert (dot.get_xdata()[0], dot.get_ydata()[0]) == (mark.volts, getattr(mark, value))


def test_marks_are_named_once_above_the_top_panel(over_drive):
    panel = drive_map(over_drive).figure.axes[0]
    said = " ".join(text.get_text() for text in panel.texts)
    for name in (TODAY, COLDEST, HEAT, COP, JUST):
        assert said.count(name) == 1
    assert f"{over_drive.mark(TODAY).volts:.1f} V" in said


def test_the_map_is_told_in_words_and_numbers(over_drive):
    drawn = drive_map(over_drive, "Shelf box")
    assert "of Shelf box" in drawn.alt
    for mark in over_drive.marks:
        assert f"{mark.name}: {mark.volts:.1f} V" in drawn.alt
    assert f"{over_drive.mark(JUST).daily:.0f} Wh/d" in drawn.caption
    assert "95 % interval" in drawn.caption
    data = drawn.data
    assert (data["role"] == "coldest inside, low").sum() == len(over_drive.volts)
    assert set(data[data["role"] == "coldest inside at 32 °C ambient"]["unit"]) == {"°C"}
    assert "voltage [V]" in csv_text(drawn).splitlines()[0]


def test_an_inside_that_is_held_at_no_drive_is_said():
    found = mapped(DRAWN, CENTRAL, LEAK, 25.0, -30.0)
    drawn = drive_map(found)
    assert "At no voltage shown is −30 °C surely held" in drawn.caption
    assert JUST not in drawn.alt
    assert np.isnan(found.daily.value).all()


def test_hot_side_lines_and_gains(over_hot_side):
    drawn = hot_side_gain(over_hot_side, "Shelf box")
    chart, rows = drawn.figure.axes
    for text, y in over_hot_side.coldest.items():
        (line,) = [one for one in chart.lines if one.get_label() == text]
        np.testing.assert_array_equal(line.get_ydata(), y)
    assert [tick.get_text() for tick in rows.get_yticklabels()] == [
        "0.1 K/W less on the hot side", "A second module beside it", "A second module in series"]
    for one in over_hot_side.gains:
        (dot,) = [line for line in rows.lines if line.get_label() == one.what]
        assert dot.get_xdata()[0] == one.colder[0]
    assert f"Above about {over_hot_side.crossing:.2f} K/W" in drawn.caption
    assert "colder by" in drawn.alt and "of Shelf box" in drawn.alt


@pytest.mark.parametrize("which", ["map", "gain"])
def test_same_bytes_each_time(over_drive, over_hot_side, which):
    first, second = (drive_map(over_drive) if which == "map" else hot_side_gain(over_hot_side)
                     for _ in range(2))
    assert svg_text(first) == svg_text(second)
