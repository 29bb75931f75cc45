"""A cooler in a space: by hand, by the tape, turned, with its lid; cans, bottles and walls."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.compare.filling import packed, wall_around
from coldbench.compare.sheet_findings import sheet_findings
from coldbench.compare.space import fit_of, space
from coldbench.findings import find
from coldbench.sheets.campaign import SpaceSheet, UseSheet
from coldbench.sheets.cooler import CoolerSheet

AIR = {"sides": "20 mm", "back": "50 mm", "front": "5 mm", "top": "10 mm"}


def box(width, depth, height, error="", **more):
    """Sides of a table."""
    return {name: f"{side} mm{error}" for name, side in
            (("width", width), ("depth", depth), ("height", height))} | more


def campaign(into=None, use=None, technology="passive", **sheet):
    """One cooler, in a space or none."""
    made = {"name": "Box", "technology": technology, "origin": "built", **sheet}
    return SimpleNamespace(
        coolers={"box": CoolerSheet.model_validate(made)},
        sheet=SimpleNamespace(
            space=into and SpaceSheet.model_validate(into), money=None,
            use=use and UseSheet.model_validate(use)),
    )


def rows_of(made):
    return space(made, sheet_findings(made))


def fits(made, state="shut"):
    (row,) = find(rows_of(made), finding="fits_space", at=state)
    return row


class TestFit:
    def test_by_hand(self):
        made = campaign(box(620, 420, 480, clearance=AIR), outside=box(570, 330, 395), lid="top",
                        lid_height="330 mm")
        shut, opened = (fit_of(made, "box", state) for state in ("shut", "open"))
        assert shut.margins == (620 - 570 - 40, 420 - 330 - 55, 480 - 395 - 10)
        assert (shut.fits, shut.words) == (True, "10 mm spare, least in width")
        assert opened.margins[2] == 480 - 395 - 330  # the lid's room holds its air
        assert (opened.fits, opened.words) == (False, "misses by 245 mm in height")
        assert (fits(made).value, fits(made, "open").value) == (1.0, 0.0)

    def test_the_interval_is_that_of_two_tapes(self):
        """Triangular between ±4 mm: 2.5 % lie beyond 4 - 8 · √(0.025 / 2) mm."""
        fit = fit_of(campaign(box(600, 900, 900), outside=box(580, 300, 300)), "box", "shut")
        half = 4 - 8 * np.sqrt(0.025 / 2)
        assert (fit.low, fit.high) == pytest.approx((20 - half, 20 + half), abs=0.15)

    @pytest.mark.parametrize(("width", "value"), [(590, 1.0), (599, None), (601, None), (605, 0.0)])
    def test_what_the_tape_cannot_tell_is_left_open(self, width, value):
        row = fits(campaign(box(600, 500, 500, turn=False), outside=box(width, 300, 300)))
        assert row.value == value
        assert ("cannot tell" in row.note) == (value is None)
        assert row.basis == ("bounded" if value is None else "sheet")

    def test_a_better_tape_can_tell(self):
        fine = " ± 0.2 mm"
        row = fits(campaign(box(600, 500, 500, fine), outside=box(599, 300, 300, fine)))
        assert row.value == 1.0

    def test_all_that_is_short_is_named(self):
        row = fits(campaign(box(300, 300, 300), outside=box(320, 310, 200)))
        assert row.note == "misses by 20 mm in width and 10 mm in depth"

    def test_it_is_turned_only_where_that_is_needed_and_allowed(self):
        into = box(400, 620, 500, clearance={"back": "50 mm"})
        narrow = {"outside": box(560, 380, 400)}
        fit = fit_of(campaign(into, **narrow), "box", "shut")
        # The air behind it turns with it: it lies along the width now.
        assert (fit.pose, fit.box) == ("turned by a quarter", (380, 560, 400))
        assert fit.margins[:2] == (400 - 380 - 50, 620 - 560)
        assert not fit.fits
        assert fits(campaign({**into, "clearance": {}}, **narrow)).value == 1.0
        assert fits(campaign({**into, "clearance": {}, "turn": False}, **narrow)).value == 0.0
        as_is = fit_of(campaign(box(600, 900, 500), outside=box(500, 300, 400)), "box", "shut")
        assert as_is.pose == "as it stands"

    def test_a_machine_is_never_laid_on_its_side(self):
        low = {"into": box(600, 600, 350), "outside": box(300, 400, 500), "upright_only": False}
        assert "on its side" in fits(campaign(**low)).note
        assert fits(campaign(**low)).value == 1.0
        row = fits(campaign(**low, technology="compressor"))
        assert row.value == 0.0
        assert "never on its side: compressor" in row.note
        del low["upright_only"]
        assert fits(campaign(**low)).value == 0.0
        aired = {**low, "into": box(600, 600, 350, clearance={"sides": "5 mm"})}
        assert fits(campaign(**aired, upright_only=False)).value == 0.0


class TestOpening:
    FRONT = {"outside": box(450, 350, 460), "lid": "front"}

    def test_a_door_swings_out_by_its_width(self):
        fit = fit_of(campaign(box(500, 900, 500), **self.FRONT), "box", "open")
        assert fit.margins[1] == 900 - 350 - 450
        assert "door taken as wide as the box" in fit.remark

    def test_or_by_what_is_stated_and_at_least_by_the_air(self):
        made = campaign(box(500, 900, 500, clearance={"front": "30 mm"}), **self.FRONT,
                        door_swing="20 mm")
        assert fit_of(made, "box", "open").margins[1] == 900 - 350 - 30
        assert "door taken" not in fit_of(made, "box", "open").remark

    def test_a_drawer_comes_out_by_its_depth(self):
        made = campaign(box(500, 900, 500), outside=box(450, 350, 460), lid="drawer")
        assert fit_of(made, "box", "open").margins[1] == 900 - 700

    def test_a_door_may_swing_out_of_an_open_front(self):
        closed = box(500, 420, 500)
        assert fits(campaign(closed, **self.FRONT), "open").value == 0.0
        niche = {**closed, "open": ["front"]}
        assert fits(campaign(niche, **self.FRONT), "open").value == 1.0
        # The box itself has to stay inside, and turned, its front meets a wall.
        assert fits(campaign({**niche, "depth": "340 mm"}, **self.FRONT), "open").value == 0.0

    def test_a_lid_may_rise_from_an_open_top(self):
        made = {"outside": box(450, 350, 460), "lid": "top", "lid_height": "400 mm"}
        assert fits(campaign(box(500, 420, 500), **made), "open").value == 0.0
        assert fits(campaign(box(500, 420, 500, open=["top"]), **made), "open").value == 1.0


@pytest.mark.parametrize(("sheet", "state", "note"), [
    ({}, "shut", "needs outside width, depth, height"),
    ({"outside": {"volume": "40 L"}}, "shut", "needs outside width, depth, height"),
    ({"outside": {"width": "3 mm", "depth": "3 mm"}}, "open", "needs outside height"),
    ({"outside": box(1, 1, 1)}, "open", "needs where it opens"),
    ({"outside": box(1, 1, 1), "lid": "top"}, "open", "needs lid_height"),
])
def test_what_is_missing_is_said(sheet, state, note):
    row = fits(campaign(box(600, 400, 400), **sheet), state)
    assert (row.basis, row.value) == ("not measured", None)
    assert row.note.startswith(note)


def test_without_a_space_and_sizes_nothing_is_said():
    assert rows_of(campaign()) == []
    assert rows_of(campaign(outside=box(500, 400, 400))) == []
    assert fit_of(campaign(outside=box(500, 400, 400)), "box", "shut") is None


@given(st.tuples(*[st.integers(200, 700)] * 3), st.tuples(*[st.integers(200, 700)] * 3),
       st.integers(0, 60))
def test_more_room_never_fits_less(into, outside, more):
    small = fit_of(campaign(box(*into), outside=box(*outside)), "box", "shut")
    large = fit_of(campaign(box(*(side + more for side in into)), outside=box(*outside)),
                   "box", "shut")
    order = {False: 0, None: 1, True: 2}
    assert order[large.fits] >= order[small.fits]


class TestCans:
    def count(self, inside, **more):
        (row,) = find(rows_of(campaign(inside=inside, **more)), finding="can_count")
        return row

    def test_two_layers_of_usual_cans(self):
        row = self.count(box(300, 200, 250))
        assert (row.value, row.low, row.high) == (26.0, 26.0, 26.0)  # 3 + 2 + 3 + 2 + 3, twice
        assert row.note.startswith("2 layers of 13 staggered")
        assert "a usual one of 330 mL" in row.note

    def test_a_can_of_ones_own(self):
        can = {"diameter": "100 mm", "height": "250 mm"}
        row = self.count(box(300, 200, 250), use={"can": can})
        assert row.value == 6.0
        assert row.low < 6.0  # they just fit, by the tape
        assert "usual" not in row.note

    def test_none_stands_where_the_lid_is_too_low(self):
        assert self.count(box(300, 200, 100)).value == 0.0
        assert "none stands upright" in self.count(box(300, 200, 100)).note

    def test_a_step_takes_what_stands_on_it(self):
        whole = self.count(box(396, 264, 240)).value  # 6 by 4, twice
        assert whole == 48.0
        step = box(132, 264, 120)
        row = self.count(box(396, 264, 240, step=step))
        assert row.value == 48.0 - 8.0  # a third of the lower layer
        assert "on the step" in row.note
        high = self.count(box(396, 264, 240, step=box(132, 264, 239)))
        assert high.value == 32.0

    def test_the_floor_is_parted_the_better_way(self):
        """Step in a corner: a strip of 132 mm beside it, or one in front of it."""
        cans = packed(campaign(inside=box(264, 264, 115, step=box(132, 132, 115))), "box")
        assert cans.count == 12
        assert sum(floor.width * floor.depth for floor in cans.floors) == 264**2

    def test_the_step_is_no_part_of_the_volume(self):
        made = campaign(inside=box(400, 300, 250, step=box(100, 300, 100)))
        (row,) = find(sheet_findings(made), finding="inside_volume")
        assert row.value == pytest.approx(30.0 - 3.0)
        assert row.low < 27.0 < row.high


def test_the_tallest_bottle():
    def tallest(inside):
        (row,) = find(rows_of(campaign(inside=inside)), finding="max_bottle_height")
        return row

    plain = tallest(box(300, 200, 320))
    assert plain.value == 320
    assert (plain.low, plain.high) == pytest.approx((318.1, 321.9), abs=0.05)
    assert tallest(box(300, 200, 320, step=box(200, 200, 90))).value == 320
    beside = tallest(box(300, 200, 320, step=box(250, 200, 90)))  # 50 mm are left beside it
    assert (beside.value, beside.note) == (230, "upright, on the step, lid shut")


class TestWalls:
    def implied(self, **sheet):
        return find(rows_of(campaign(**sheet)), finding="wall_thickness")

    def test_even_walls_come_back(self):
        (row,) = self.implied(inside=box(400, 300, 200), outside=box(480, 380, 280))
        assert row.value == pytest.approx(40.0)
        assert row.low < 40.0 < row.high

    def test_volumes_alone_are_taken_as_a_cube(self):
        (row,) = self.implied(inside={"volume": "27 L"}, outside={"volume": "64 L"})
        assert row.value == pytest.approx(50.0)
        assert "cube" in row.note

    def test_nothing_is_said_where_the_outside_is_smaller(self):
        assert self.implied(inside=box(400, 300, 200), outside=box(300, 300, 200)) == []
        assert self.implied(inside=box(400, 300, 200)) == []

    @given(st.tuples(*[st.floats(100, 900)] * 3), st.floats(-20, 150))
    def test_the_equation_holds(self, inside, thick):
        sides = np.array(inside)[:, None]
        outside = (sides + 2 * thick).prod(axis=0)
        assert wall_around(sides, outside)[0] == pytest.approx(thick, abs=1e-6)
