"""Round things on a floor: by hand, within walls and areas, apart from each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.packing import arrangements, best, most

side = st.floats(10.0, 900.0)
across = st.floats(40.0, 120.0)
CLOSE = 1e-6  # rounding of middles, in diameters


@pytest.mark.parametrize(("width", "depth", "squares", "count"), [
    (300, 200, 12, 13),  # 4 by 3; staggered 3 + 2 + 3 + 2 + 3, rows 33 mm apart
    (330, 264, 20, 20),  # just 5 by 4
    (329.9, 264, 16, 18),  # a hair less: 4 by 4; 3 + 2 + 3 + 2 + 3 + 2 + 3
    (330, 190, 10, 14),  # 5 by 2; 5 + 4 + 5, 57.2 mm apart: 2 · 57.2 + 66 = 180.3
    (66, 500, 7, 7),  # one row
    (99, 500, 7, 8),  # one row in zigzag: 57.2 mm apart, 7 · 57.2 + 66 = 466
    (65, 500, 0, 0),
    (0, 500, 0, 0),
    (-30, 500, 0, 0),
])  # fmt: skip
def test_counts_by_hand(width, depth, squares, count):
    assert int(next(arrangements(width, depth, 66.0)).count) == squares
    assert int(most(width, depth, 66.0)) == count


@given(side, side, across)
def test_what_is_counted_can_be_placed(width, depth, diameter):
    for rows in arrangements(width, depth, diameter):
        middles = rows.middles(diameter)
        assert len(middles) == int(rows.count)
        if len(middles) == 0:
            continue
        slack = CLOSE * diameter
        assert middles.min() >= diameter / 2 - slack
        assert (middles.max(axis=0) <= np.array([width, depth]) - diameter / 2 + slack).all()
        if len(middles) > 1:
            apart = np.linalg.norm(middles[:, None] - middles, axis=2)
            assert apart[~np.eye(len(middles), dtype=bool)].min() >= diameter - slack


@given(side, side, across)
def test_they_need_less_than_the_whole_area(width, depth, diameter):
    assert int(most(width, depth, diameter)) * np.pi / 4 * diameter**2 <= width * depth


@given(side, side, across, st.floats(0.0, 200.0))
def test_more_room_never_holds_less(width, depth, diameter, more):
    count = most(width, depth, diameter)
    assert most(width + more, depth, diameter) >= count
    assert most(width, depth + more, diameter) >= count
    assert most(width, depth, diameter + more) <= count


@given(side, side, across)
def test_a_turned_floor_holds_as_many(width, depth, diameter):
    assert most(width, depth, diameter) == most(depth, width, diameter)


def test_arrays_count_as_numbers_do():
    widths, depths = np.linspace(50, 700, 60), np.linspace(300, 90, 60)
    each = [int(most(w, d, 66.0)) for w, d in zip(widths, depths, strict=True)]
    assert most(widths, depths, 66.0).tolist() == each


def test_squares_are_taken_where_they_hold_as_many():
    assert not best(330.0, 264.0, 66.0).staggered
    assert best(330.0, 190.0, 66.0).staggered
