"""Bill of materials: areas and lengths worked by hand, prices that add up, nothing electrical."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from coldbench.design.parts import bill, total
from coldbench.design.search import candidates


@pytest.fixture(scope="module")
def found(build):
    return candidates(build.wishes(), build.machines, build.boards, build.excess, 0.93)


def of(found, build, index, **changes):
    parts = bill(found, index, build.machines, build.boards, build.wishes(**changes))
    return {part.name: part for part in parts}


def test_a_box_by_hand(build, found):
    # Two layers of 40 mm of PIR around the largest inside beside the compressor.
    match = ((found.machine == 0) & (found.board == 8) & (found.layers == 2)
             & (found.outside_width > 0.699) & (found.outside_depth > 0.449)
             & (found.outside_height > 0.499))
    (index,) = np.flatnonzero(match)
    parts = of(found, build, int(index))
    # Outside 700 × 450 × 500 mm, wall 80 mm: inside 540 × 290 × 340 mm.
    inner = 2 * (0.54 * 0.29 + 0.54 * 0.34 + 0.29 * 0.34)
    outer = 2 * (0.70 * 0.45 + 0.70 * 0.50 + 0.45 * 0.50)
    area = 2 * (inner + outer) / 2
    board = parts["Board of PIR, 40 mm"]
    assert board.count == pytest.approx(1.15 * area) and board.unit == "m²"
    assert board.price == pytest.approx(1.15 * area * 0.45 * 40)
    assert f"{area:.2f} m² in the walls, 2 layers" in board.note
    rim = 2 * (0.62 + 0.37)
    assert parts["Seal of the lid"].count == pytest.approx(rim)
    assert parts["Liner, sheet"].count == pytest.approx(inner)
    assert parts["Vapour barrier, sheet"].count == pytest.approx(outer)
    assert parts["Vapour barrier, tape"].count == pytest.approx(4 * 1.65 + 4 * 1.15)
    glued = area / 2 + 0.08 * (rim + 4 * 0.42)
    assert parts["Adhesive, for so much joint"].count == pytest.approx(glued)
    assert parts["Compressor unit, moved whole"].price == 150.0


def test_the_barrier_is_on_the_warm_side(build, found):
    for index in (0, len(found) - 1):
        note = of(found, build, index)["Vapour barrier, sheet"].note
        assert "warm side, outside the foam" in note and "32 °C" in note


def test_prices_add_up_to_the_search(build, found):
    for index in np.flatnonzero(found.machine == 0)[::997]:
        price, missing = total(bill(found, index, build.machines, build.boards, build.wishes()))
        assert price == pytest.approx(found.price[index])
        assert "Liner, sheet" in missing and "Board of XPS, 20 mm" not in missing


def test_a_board_without_a_price(build, found):
    boards = [replace(board, price=None) for board in build.boards]
    parts = bill(found, 0, build.machines, boards, build.wishes())
    assert parts[0].price is None and parts[0].name in total(parts)[1]


def test_solvents_only_where_they_harm(build, found):
    for board, harmed in ((0, True), (6, False)):
        index = int(np.flatnonzero(found.board == board)[0])
        note = of(found, build, index)["Adhesive, for so much joint"].note
        assert ("solvents" in note) == harmed


def test_no_wire_and_no_fuse(build, found):
    for index in (0, len(found) // 2, len(found) - 1):
        text = " ".join(f"{part.name} {part.note}" for part in bill(
            found, index, build.machines, build.boards, build.wishes()))
        assert not re.search(r"(?i:wire|fuse|cable|breaker)|\d A\b|mm²", text)
