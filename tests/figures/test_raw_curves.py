"""Curves as read, and differences on a logarithmic axis: nothing worked out, nothing filled."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.figures import csv_text, falling_difference, raw_curves, svg_text
from coldbench.figures.look import cooler_styles
from coldbench.logs.record import Record, Trace

STYLE = cooler_styles(["box"])["box"]
HOURS = np.arange(0, 12.01, 0.25)


def trace(role: str, y: np.ndarray, gap: float = 1000.0) -> Trace:
    return Trace(role, 3600 * HOURS, y, gap, 900.0, role)


def record(**traces: np.ndarray) -> Record:
    found = {role: trace(role, y) for role, y in traces.items()}
    return Record("night", "box", found, 0.0, "start of the run", 12 * 3600.0)


@pytest.fixture
def warm_up() -> Record:
    room = 24 + 0.1 * HOURS
    fall = np.exp(-HOURS / 8)
    return record(air=room - 15 * fall, load=room - 20 * fall, ambient=room)


def test_all_readings_are_drawn_as_they_stand(warm_up):
    drawn = raw_curves(warm_up, {"balance": (2.0, 11.9)}, style=STYLE, name="Box")
    air = drawn.data[drawn.data["role"] == "air"]
    assert air["value"].to_numpy() == pytest.approx(warm_up.traces["air"].y)
    assert "2.00 to 11.90 h" in drawn.alt and "2.00 to 11.90 h" in drawn.caption
    assert "Box" in drawn.alt and "Air between 9.0 and" in drawn.alt


def test_power_has_a_panel_of_its_own():
    both = raw_curves(record(air=4 + 0 * HOURS, power=50 * (HOURS % 1 < 0.3)))
    assert [axes.get_ylabel() for axes in both.figure.axes] == ["Temperature [°C]", "Power [W]"]
    alone = raw_curves(record(power=50 * (HOURS % 1 < 0.3)))
    assert len(alone.figure.axes) == 1


def test_it_may_end_early(warm_up):
    drawn = raw_curves(warm_up, until=4.0)
    assert drawn.figure.axes[0].get_xlim() == (0, 4)
    assert drawn.data["hours since time zero"].max() < 4.3


def test_a_part_of_it_close_up(warm_up):
    drawn = raw_curves(warm_up, start=6.0, until=8.0)
    assert drawn.figure.axes[0].get_xlim() == (6, 8)
    assert drawn.name != raw_curves(warm_up).name
    low, high = warm_up.traces["air"].y[24], warm_up.traces["air"].y[32]
    assert f"Air between {low:.1f} and {high:.1f} °C" in drawn.alt


def test_nothing_read_over_time_is_no_figure():
    assert raw_curves(record(humidity=50 + 0 * HOURS)) is None


def test_two_stretches_have_room_for_both_names(warm_up):
    spans = {"duty and means": (6.0, 12.0), "counter": (0.0, 12.0)}
    drawn = raw_curves(warm_up, spans)
    renderer = drawn.figure.canvas.get_renderer()
    names = [text for text in drawn.figure.axes[0].texts if text.get_text() in spans]
    boxes = [text.get_window_extent(renderer) for text in names]
    assert len(boxes) == 2
    assert not boxes[0].overlaps(boxes[1])
    assert max(box.y1 for box in boxes) <= drawn.figure.bbox.y1


def test_differences_fall_along_a_straight_line(warm_up):
    drawn = falling_difference(warm_up, 2 * 3600.0, 12 * 3600.0, style=STYLE, name="Box")
    load = drawn.data[drawn.data["role"] == "load"]
    slope = np.polyfit(load["hours since time zero"], np.log(load["value"]), 1)[0]
    assert slope == pytest.approx(-1 / 8)
    assert drawn.figure.axes[0].get_yscale() == "log"
    assert len(drawn.figure.axes[0].get_yticks()) >= 4
    heights = {text.get_text(): text.get_position()[1] for text in drawn.figure.axes[0].texts}
    assert 0 < heights["air"] < heights["load"] < 0.3  # beside their ends, near the foot
    assert "15.6" in drawn.alt  # 20 K after two hours
    assert "slope" not in drawn.alt + drawn.caption + csv_text(drawn)
    assert "<svg" in svg_text(drawn)


def test_no_difference_no_figure(warm_up):
    assert falling_difference(record(air=4 + 0 * HOURS), 0.0, 9e9, style=STYLE) is None
    same = record(air=24 + 0 * HOURS, ambient=24 + 0 * HOURS)
    assert falling_difference(same, 0.0, 9e9, style=STYLE) is None
