"""Labels beside lines do not overlap."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.figures import labels
from coldbench.figures.look import cooler_styles, house, panels

LABEL = st.tuples(st.floats(-10, 110), st.floats(0.5, 12))


@given(st.lists(LABEL, min_size=1, max_size=12))
def test_labels_fit_and_never_overlap(wanted):
    middles, sizes = map(np.array, zip(*wanted, strict=True))
    places = labels.spread(middles, sizes, 0.0, 100.0)
    if places is None:
        assert sizes.sum() > 100
        return
    assert (places - sizes / 2 >= -1e-9).all()
    assert (places + sizes / 2 <= 100 + 1e-9).all()
    for (a, wide), (b, tall) in itertools.combinations(zip(places, sizes, strict=True), 2):
        assert abs(a - b) >= (wide + tall) / 2 - 1e-9


def test_labels_with_room_stay_where_they_belong():
    assert labels.spread([10.0, 50.0, 90.0], [4, 4, 4], 0, 100).tolist() == [10, 50, 90]


def test_labels_keep_their_order():
    places = labels.spread([51.0, 50.0, 52.0], [4, 4, 4], 0, 100)
    assert np.argsort(places).tolist() == [1, 0, 2]


def test_no_labels_at_all():
    assert labels.spread([], [], 0, 10).tolist() == []


@pytest.mark.parametrize(("count", "beside"), [(4, True), (60, False)])
def test_labels_stand_beside_lines_or_in_a_key_below(count, beside):
    styles = cooler_styles([str(n) for n in range(count)])
    with house():
        figure, (axes,) = panels([60])
        axes.set_ylim(0, 10)
        labels.make_room(axes, ["a name"] * count)
        tall = figure.get_size_inches()[1]
        entries = [labels.Entry("a name", 5.0, labels.key_look(s)) for s in styles.values()]
        assert labels.end_labels(axes, entries) is beside
    assert len(axes.texts) == (count if beside else 0)
    assert len(figure.legends) == (0 if beside else 1)
    assert (figure.get_size_inches()[1] > tall) is not beside


def test_targets_outside_the_axis_are_left_out():
    with house():
        _, (axes,) = panels([60])
        axes.set_ylim(-5, 25)
        entries = labels.target_lines(axes, [10.0, 0.0, -18.0])
    assert [e.text for e in entries] == ["target 10 °C", "target 0 °C"]
    assert len(axes.lines) == 2


def test_marks_are_named_once_and_the_start_not_at_all(made):
    marks = [made.mark(0, "power on"), made.mark(2, "lid opened"), made.mark(2.1, "lid opened"),
             made.mark(5, "load in"), made.mark(99, "note")]
    with house():
        _, axes = panels([40, 20])
        axes[0].set_xlim(0, 10)
        labels.mark_lines(axes, marks, made.zero)
    assert [t.get_text() for t in axes[0].texts] == ["lid opened", "load in"]
    assert len(axes[1].lines) == 3
