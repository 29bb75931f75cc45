"""Whether a unit can go in: each check passes, fails, or says what the sheet would have to."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.design.moved_checks import goes_in, place_checks
from coldbench.sheets import CoolerSheet

INSIDE = (0.34, 0.28, 0.30)
ROOM = (0.75, 0.45, 0.50)
UNIT = {
    "width": "180 mm", "depth": "330 mm", "height": "300 mm", "plate_width": "320 mm",
    "plate_height": "220 mm", "line_reach": "90 mm", "vent_area": "250 cm²",
}
WHAT = ("plate fits", "plate serves", "lines", "upright", "lid", "air")


def donor(unit=UNIT, inside=True):
    """A sheet with a unit."""
    sides = {"width": "330 mm", "depth": "240 mm", "height": "280 mm"}
    return CoolerSheet.model_validate({
        "name": "Chest", "technology": "compressor", "origin": "bought", "unit": unit,
        "inside": sides if inside else None})


def verdicts(*args, **more):
    """What each check says."""
    return dict(zip(WHAT, place_checks(*args, **more), strict=True))


def test_all_pass():
    found = verdicts(donor(), INSIDE, 0.05, ROOM)
    assert {check.verdict for check in found.values()} == {"passes"}
    assert found["plate fits"].said == "320 mm by 220 mm on a wall of 340 mm by 300 mm"
    assert found["air"].said.startswith("grilles on both long sides leave 990 cm² open")


@pytest.mark.parametrize(("what", "change", "inside", "wall", "room"), [
    ("plate fits", {"plate_width": "360 mm"}, INSIDE, 0.05, ROOM),
    ("plate fits", {"plate_height": "310 mm"}, INSIDE, 0.05, ROOM),
    ("plate serves", {}, (0.7, 0.5, 0.5), 0.05, ROOM),
    ("lines", {}, INSIDE, 0.08, ROOM),
    ("upright", {"height": "520 mm"}, INSIDE, 0.05, ROOM),
    ("upright", {}, INSIDE, 0.05, (0.3, 0.3, 0.5)),
    ("lid", {"height": "420 mm"}, INSIDE, 0.05, ROOM),
    ("air", {"vent_area": "1100 cm²"}, INSIDE, 0.05, ROOM),
])
def test_one_fails(what, change, inside, wall, room):
    found = verdicts(donor(UNIT | change), inside, wall, room)
    assert found[what].verdict == "fails"
    assert "mm" in found[what].said or "cm²" in found[what].said or "%" in found[what].said


def test_what_is_not_stated_is_asked_for():
    found = verdicts(donor(None, inside=False), INSIDE, 0.05)
    assert {check.verdict for check in found.values()} == {"not stated"}
    assert "manual" in found["air"].said
    assert verdicts(donor(inside=False), INSIDE, 0.05)["plate serves"].verdict == "not stated"


def test_nothing_asks_for_a_step_inside_the_circuit():
    said = " ".join(check.what + check.said for check in place_checks(donor(), INSIDE, 0.05, ROOM))
    assert not {"cut", "bend", "solder", "drill", "recharge"} & set(said.lower().split())


@pytest.mark.parametrize("inside", [(0.40, 0.30, 0.35), (0.20, 0.15, 0.35), (0.40, 0.30, 0.15)])
@pytest.mark.parametrize("wall", [0.03, 0.06, 0.20])
def test_many_boxes_are_judged_as_one_is(inside, wall):
    asked = {"Plate lies flat on an inner wall", "Lines reach through the wall, unbent",
             "Bay no higher than the box"}
    alone = [one for one in place_checks(donor(), inside, wall) if one.what in asked]
    many = goes_in(donor(), [np.array([side, side]) for side in inside], np.array([wall, wall]))
    assert many.tolist() == [all(one.verdict == "passes" for one in alone)] * 2
