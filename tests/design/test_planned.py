"""A box as drawn, wall by wall."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.design.box import Excess, drawn_walls
from coldbench.design.planned import planned
from coldbench.design.wishes import Board
from coldbench.physics.box import even_box
from coldbench.quantities import parse
from coldbench.sheets.campaign import PlannedBoxSheet

NONE = Excess(1.0, 0.0, 1.0, 1.0, "")
BOARD = Board("PIR", 0.03, 0.024, 15.0)


def sheet(**sides: str) -> PlannedBoxSheet:
    stated = {"width": "520 mm", "depth": "320 mm", "height": "320 mm", "wall": "40 mm", **sides}
    return PlannedBoxSheet(material="PIR", **stated)


def test_even_walls_are_those_of_an_even_box():
    found = planned(sheet(), [BOARD], NONE, 0.9, 15.0, "a")
    alone = drawn_walls(even_box(0.52, 0.32, 0.32, 0.04), [(BOARD.conducts(), 1.0)], 15.0, "a")
    assert found.walls == pytest.approx(alone)
    assert found.leak == pytest.approx(found.walls)
    assert found.inside == pytest.approx(53.248)
    assert found.usable == pytest.approx(0.9 * 53.248)
    assert found.outside == pytest.approx((0.6, 0.4, 0.4))


def test_the_coefficient_of_a_small_cooler():
    """8 W at 20 K through that box are 0.379 W/(m² K): this kit's own worked row (ATP, Annex 1)."""
    found = planned(sheet(), [BOARD], NONE, 0.9, 15.0, "a")
    assert found.coefficient * 0.4 / found.leak == pytest.approx(0.379, abs=0.002)


def test_one_thicker_wall_lies_between_none_and_all():
    thin, bottom, all_round = (
        np.median(planned(one, [BOARD], NONE, 0.9, 15.0, "a").leak)
        for one in (sheet(), sheet(bottom="80 mm"), sheet(wall="80 mm")))
    assert all_round < bottom < thin
    found = planned(sheet(bottom="80 mm"), [BOARD], NONE, 0.9, 15.0, "a")
    assert found.outside[2] == pytest.approx(0.44)


def test_board_is_paid_by_its_volume():
    found = planned(sheet(), [BOARD], NONE, 0.9, 15.0, "a")
    assert found.price == pytest.approx((0.6 * 0.4 * 0.4 - 0.053248) / 0.03 * 15.0)
    assert found.mass == pytest.approx((0.096 - 0.053248) * 35.0)
    assert planned(sheet(), [Board("XPS", 0.03)], NONE, 0.9, 15.0, "a").price is None


def test_walls_too_thick_for_the_inside_are_refused():
    assert planned(sheet(height="20 mm", wall="100 mm"), [BOARD], NONE, 0.9, 15.0, "a") is None


def test_lengths_carry_their_units():
    assert parse("2 ft", "length").value == pytest.approx(609.6)
    assert planned(sheet(width="2 ft"), [BOARD], NONE, 1.0, 15.0, "a").inside == pytest.approx(
        0.6096 * 320 * 320 / 1000 * 1, rel=1e-3)
