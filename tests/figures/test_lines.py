"""Lines break at gaps and keep their peaks when thinned."""

from __future__ import annotations

import matplotlib.figure
import numpy as np
import pandas as pd
import pytest

from coldbench.figures import lines


def segments(points):
    """Pairs of neighbouring x between which a line is drawn."""
    x, y = points["x"].to_numpy(), points["y"].to_numpy()
    joined = ~np.isnan(y[:-1]) & ~np.isnan(y[1:])
    return np.column_stack([x[:-1][joined], x[1:][joined]])


def test_hours_since_zero(made):
    points = lines.line(made.trace("air", [0, 0.5, 1.0], [3, 4, 5], gap=3600), made.zero)
    assert points["x"].tolist() == pytest.approx([0, 0.5, 1.0])
    assert points["y"].tolist() == [3, 4, 5]


@pytest.mark.parametrize("samples", [2_000, 60_000])
def test_no_segment_spans_a_gap(made, samples):
    hours = made.without(np.linspace(0, 30, samples), (4.0, 5.0), (12.0, 20.0))
    trace = made.trace("air", hours, np.sin(hours * 40))
    drawn = segments(lines.line(trace, made.zero))
    for start, end in lines.gaps(trace, made.zero):
        assert not ((drawn[:, 0] <= start) & (drawn[:, 1] >= end)).any()
    assert len(lines.gaps(trace, made.zero)) == 2
    assert np.diff(drawn).max() < 0.1


def test_a_gap_inside_one_pixel_column_still_breaks_the_line(made):
    hours = made.without(np.linspace(0, 720, 400_000), (300.0, 300.1))
    trace = made.trace("power", hours, np.ones(len(hours)))
    points = lines.line(trace, made.zero)
    assert points["y"].isna().sum() == 1


def test_thinning_keeps_peaks_and_ends(made):
    hours = np.linspace(0, 100, 200_000)
    y = np.sin(hours)
    y[[1234, 150_001]] = 50, -50
    kept = lines.thinned(hours * 3600, y, np.array([], int))
    assert {0, 1234, 150_001, len(y) - 1} <= set(kept.tolist())
    assert len(kept) <= 4 * (lines.COLUMNS + 1)
    assert (np.diff(kept) > 0).all()


def test_few_samples_are_all_kept():
    t = np.arange(1000.0)
    assert lines.thinned(t, t, np.array([], int)).tolist() == list(range(1000))


def test_a_part_is_cut_out_before_thinning(made):
    hours = np.linspace(0, 720, 100_000)
    points = lines.line(made.trace("air", hours, hours), made.zero, start=10, end=20)
    inside = (hours >= 10) & (hours <= 20)
    assert len(points) == inside.sum() + 2  # one sample beyond each edge
    assert points["x"].iloc[0] < 10 < points["x"].iloc[1]


def test_a_sample_alone_between_gaps_is_a_dot(made):
    hours = np.concatenate([np.linspace(0, 1, 61), [3.0], np.linspace(5, 6, 61)])
    points = lines.line(made.trace("air", hours, hours), made.zero)
    axes = matplotlib.figure.Figure().add_subplot()
    lines.draw(axes, points, color="black")
    dots = [artist for artist in axes.lines if artist.get_marker() == "."]
    assert [list(dot.get_xdata()) for dot in dots] == [pytest.approx([3.0])]


@pytest.mark.parametrize(
    ("power", "label", "side"),
    [("hold", "start", "post"), ("mean", "start", "post"), ("mean", "end", "pre")],
)
def test_power_steps_lie_on_the_side_that_was_declared(made, power, label, side):
    assert lines.step_side(made.trace("power", [0, 1], [1, 2], power=power, label=label)) == side


@pytest.mark.parametrize(
    ("end", "ticks"), [(0.5, 0.1), (6.0, 1.0), (30.0, 6.0), (72.0, 12.0), (720.0, 120.0)]
)
def test_ticks_of_hours_are_round(end, ticks):
    axes = matplotlib.figure.Figure().add_subplot()
    lines.hour_axis([axes], 0, end)
    assert np.diff(axes.get_xticks())[0] == pytest.approx(ticks)
    assert axes.get_xlabel() == "Time since power on [h]"
    assert axes.get_xlim() == (0, end)


def test_days_are_marked_on_long_axes_only():
    short, long = (matplotlib.figure.Figure().add_subplot() for _ in range(2))
    lines.hour_axis([short], 0, 30)
    lines.hour_axis([long], 0, 72)
    assert [t.get_text() for t in short.texts] == []
    assert [t.get_text() for t in long.texts] == ["day 1", "day 2", "day 3"]


def test_the_frame_says_what_each_point_is():
    points = pd.DataFrame({"x": [0.0, 1.0], "y": [2.0, np.nan]})
    data = lines.frame([(points, {"cooler": "a", "role": "air", "unit": "°C"})], "hours")
    assert data.columns.tolist() == ["cooler", "role", "hours", "value", "unit"]
    assert data["value"].isna().tolist() == [False, True]
