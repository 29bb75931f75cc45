"""Figures of designs: what they trade, sections to scale, litres against energy over the wall."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coldbench.design.pareto import front
from coldbench.design.search import candidates, litres_curve
from coldbench.figures import litres_and_energy, pareto, section_drawing, svg_text
from coldbench.figures.section_parts import section_of

sys.path.insert(0, str(Path(__file__).parents[1] / "design"))
import made_designs

MADE = made_designs.build()
ROOMS = {"right": (0.2, 0, 0), "behind": (0, 0.12, 0), "upright": (0, 0, 0.12),
         "not stated": (0, 0, 0), "two sides": (0.05, 0.1, 0)}


def found(wishes, machines=MADE.machines):
    return candidates(wishes, machines, MADE.boards, MADE.excess, 0.93)


@pytest.fixture(scope="module")
def mild():
    """Wishes under which all three machines hold, and their front."""
    wishes = MADE.wishes(ambient=25.0, load=0.0, coldest=0.0, energy=1500.0, usable=15.0)
    return wishes, front(found(wishes), wishes)


def labelled(axes, label):
    return [line for line in axes.lines if line.get_label() == label]


def test_front_and_picks_are_drawn_where_they_are(mild):
    wishes, best = mild
    c = best.candidates
    drawn = pareto(best, MADE.machines, wishes)
    upper, lower = drawn.figure.axes
    for axes, values in ((upper, c.energy), (lower, c.coldest)):
        rings = [line.get_xydata()[0] for line in labelled(axes, "pick")]
        assert np.array(rings) == pytest.approx(
            np.array([(c.litres[i], values[i]) for i in best.picks.values()]))
        marks = np.concatenate([line.get_xydata() for machine in MADE.machines
                                for line in labelled(axes, machine.label)])
        assert len(marks) == len(best.index)
        names = {text.get_text() for text in axes.texts}
        assert {"coldest", "thriftiest", "roomiest"} <= names
    assert upper.get_xlabel() == "" and lower.get_xlabel() == "Usable volume [L]"
    assert upper.get_ylabel() == "Daily energy [Wh/d]"
    for label in best.picks:
        assert f"{label}: " in drawn.alt


def test_thousands_of_designs_become_a_few_hundred_dots(mild):
    wishes, best = mild
    drawn = pareto(best, MADE.machines, wishes)
    assert best.passes.sum() > 2000
    what = drawn.data["what"].value_counts()
    assert what["design"] == 400 and what["front"] == len(best.index)
    # Of each machine that passes there are some.
    passing = {MADE.machines[n].label for n in best.candidates.machine[best.passes]}
    assert set(drawn.data.loc[drawn.data["what"] == "design", "machine"]) == passing
    assert len(svg_text(drawn)) < 2e6


def test_words_of_picks_and_musts_stay_apart(mild):
    wishes, best = mild
    drawn = pareto(best, MADE.machines, wishes)
    renderer = drawn.figure.canvas.get_renderer()
    texts = [(text.get_text(), text.get_window_extent(renderer))
             for axes in drawn.figure.axes for text in axes.texts if text.get_text()]
    assert {"at least 15 L", "at most 1500 Wh/d", "at most 0 °C"} <= {text for text, _ in texts}
    for n, (what, one) in enumerate(texts):
        assert one.x0 >= 0 and one.x1 <= drawn.figure.bbox.x1, what
        assert [other for other, place in texts[n + 1:] if one.overlaps(place)] == [], what


def test_where_nothing_meets_all_the_nearest_is_ringed():
    wishes = MADE.wishes(coldest=-60.0)
    best = front(found(wishes), wishes)
    drawn = pareto(best, MADE.machines, wishes)
    assert "nearest" in {text.get_text() for text in drawn.figure.axes[0].texts}
    assert "sample of the others" in drawn.caption
    hot = MADE.wishes(ambient=59.0, inside=-40.0)
    assert pareto(front(found(hot), hot), MADE.machines, hot) is None


def section(place, kind, room=(0.9, 0.45, 0.5)):
    """A design of two layers with the machine's room at a place."""
    machines = [replace(one, room=ROOMS[place]) for one in MADE.machines]
    wishes = MADE.wishes(room=room)
    c = found(wishes, machines)
    index = int(np.flatnonzero((c.machine == kind) & (c.layers == 2) & (c.litres > 20))[50])
    return c, index, machines, wishes


def rectangles(drawn, label):
    (axes,) = drawn.figure.axes
    return [patch for patch in axes.patches if patch.get_label() == label]


@pytest.mark.parametrize("kind", [0, 1])
@pytest.mark.parametrize("place", ROOMS)
def test_sections_are_to_one_scale(place, kind):
    c, index, machines, wishes = section(place, kind)
    drawn = section_drawing(c, index, machines, MADE.boards, wishes)
    front_foam, plan_foam = rectangles(drawn, "foam")
    scale = front_foam.get_width() / (1000 * c.outside_width[index])
    assert 0.05 < scale <= 0.25
    sides = {"foam": (c.outside_width, c.outside_depth, c.outside_height),
             "inside": (c.width, c.depth, c.height)}
    for label, lengths in sides.items():
        width, depth, height = (1000 * scale * float(one[index]) for one in lengths)
        upright, flat = rectangles(drawn, label)
        assert (upright.get_width(), upright.get_height()) == pytest.approx((width, height))
        assert (flat.get_width(), flat.get_height()) == pytest.approx((width, depth))
    for space, (a, b) in zip(rectangles(drawn, "space"), ((0.9, 0.5), (0.9, 0.45)), strict=True):
        assert (space.get_width(), space.get_height()) == pytest.approx(
            (1000 * scale * a, 1000 * scale * b))
    # A wall of the same thickness all round, and one plan below the other.
    wall = 1000 * scale * float(c.wall[index])
    inside = rectangles(drawn, "inside")[0]
    assert inside.get_x() - front_foam.get_x() == pytest.approx(wall)
    assert inside.get_y() - front_foam.get_y() == pytest.approx(wall)
    assert front_foam.get_x() == pytest.approx(plan_foam.get_x())


@pytest.mark.parametrize("kind", [0, 1])
@pytest.mark.parametrize("place", ROOMS)
def test_box_and_bay_lie_in_the_room_and_do_not_meet(place, kind):
    c, index, machines, wishes = section(place, kind)
    drawn = section_drawing(c, index, machines, MADE.boards, wishes)
    bays = {"right": 2, "behind": 1, "upright": 1, "not stated": 0, "two sides": 3}[place]
    assert len(rectangles(drawn, "bay")) == bays
    spaces = rectangles(drawn, "space")
    for view, (space, foam) in enumerate(zip(spaces, rectangles(drawn, "foam"), strict=True)):
        outer, box = (patch.get_bbox() for patch in (space, foam))
        for bay in rectangles(drawn, "bay"):
            one = bay.get_bbox()
            if not outer.padded(0.01).contains(one.x0 + 0.02, one.y0 + 0.02):
                continue  # of the other view
            shared_x = min(one.x1, box.x1) - max(one.x0, box.x0)
            shared_y = min(one.y1, box.y1) - max(one.y0, box.y0)
            assert min(shared_x, shared_y) < 1e-6, view
        assert outer.x0 - 1e-6 <= box.x0 and box.x1 <= outer.x1 + 1e-6
        assert outer.y0 - 1e-6 <= box.y0 and box.y1 <= outer.y1 + 1e-6


@pytest.mark.parametrize("kind", [0, 1])
@pytest.mark.parametrize("place", ROOMS)
def test_no_words_are_cut_off_or_overlap(place, kind):
    c, index, machines, wishes = section(place, kind)
    machines = [replace(one, label=f"{one.label}, with a rather long name of its hot side")
                for one in machines]
    drawn = section_drawing(c, index, machines, MADE.boards, wishes)
    renderer = drawn.figure.canvas.get_renderer()
    (axes,) = drawn.figure.axes
    texts = [(text.get_text(), text.get_window_extent(renderer))
             for text in axes.texts if text.get_text()]
    for n, (what, one) in enumerate(texts):
        assert one.x0 >= 0 and one.y0 >= 0, what
        assert one.x1 <= drawn.figure.bbox.x1 and one.y1 <= drawn.figure.bbox.y1, what
        assert [other for other, at in texts[n + 1:] if one.overlaps(at)] == [], what


def test_where_the_machine_sits():
    places = {}
    for place in ROOMS:
        for kind, name in ((0, "compressor"), (1, "modules")):
            c, index, machines, wishes = section(place, kind)
            one = section_of(c, index, machines[kind], wishes)
            places[place, name] = (one.axis, one.end)
    assert places["right", "compressor"] == (0, 1)
    assert places["behind", "modules"] == places["not stated", "modules"] == (1, 0)
    # What is heavy stands below, modules sit in the lid.
    assert places["upright", "compressor"] == (2, 0) and places["upright", "modules"] == (2, 1)
    assert places["two sides", "compressor"] == (1, 0)


def test_a_section_in_words():
    c, index, machines, wishes = section("right", 0)
    drawn = section_drawing(c, index, machines, MADE.boards, wishes, name="roomiest")
    inside = " × ".join(f"{1000 * float(one[index]):.0f}" for one in (c.width, c.depth, c.height))
    assert f"Inside: {inside} mm" in drawn.alt and f"{c.litres[index]:.1f} L usable" in drawn.alt
    assert "Room it may take: 900 × 450 × 500 mm" in drawn.alt
    assert "compressor bay, 200 mm of width" in drawn.alt and "at the right" in drawn.alt
    assert drawn.name == "section-roomiest" and "to scale" in drawn.caption
    row = drawn.data.set_index("side").loc["width"]
    assert row["whole"] == pytest.approx(row["inside"] + 2 * row["wall"] + row["machine"])
    assert svg_text(drawn) == svg_text(
        section_drawing(c, index, machines, MADE.boards, wishes, name="roomiest"))
    bare = section("not stated", 1)
    said = section_drawing(*bare[:3], MADE.boards, bare[3]).alt
    assert "Hot side: its size is not stated and not drawn." in said


def test_a_section_without_a_room():
    c, index, machines, wishes = section("right", 0, room=None)
    drawn = section_drawing(c, index, machines, MADE.boards, wishes)
    assert not rectangles(drawn, "space") and "Room it may take" not in drawn.alt
    lengths = [text.get_text() for text in drawn.figure.axes[0].texts]
    assert f"{1000 * c.outside_width[index] + 200:.0f}" in lengths


def test_litres_and_energy_with_its_knees():
    wishes = MADE.wishes(ambient=22.0, load=0.0)
    curves = [litres_curve(wishes, MADE.machines[0], board, MADE.excess, 0.93)
              for board in (MADE.boards[0], MADE.boards[6])]
    drawn = litres_and_energy(curves, usable=25.0)
    (axes,) = drawn.figure.axes
    for curve, ring in zip(curves, labelled(axes, "knee"), strict=True):
        assert ring.get_xydata()[0] == pytest.approx(
            (curve.litres[curve.knee], curve.energy[curve.knee]))
        assert f"knee at {1000 * curve.wall[curve.knee]:.0f} mm" in drawn.alt
        (line,) = labelled(axes, curve.board)
        assert line.get_xydata() == pytest.approx(np.array([curve.litres, curve.energy]).T)
    names = [text.get_text() for text in axes.texts]
    assert {"XPS", "PIR", "at least 25 L", "80 mm"} <= set(names)
    assert drawn.data["knee"].sum() == 2 and "holding 4 °C at 22 °C" in drawn.caption
    assert "farthest below the straight line" in drawn.caption


def test_only_walls_that_hold_are_drawn():
    wishes = MADE.wishes(ambient=25.0, load=0.0)
    weak, none = (litres_curve(wishes if held else MADE.wishes(ambient=58.0), MADE.machines[2],
                               MADE.boards[0], MADE.excess, 0.93) for held in (True, False))
    drawn = litres_and_energy([weak])
    (line,) = labelled(drawn.figure.axes[0], "XPS")
    assert len(line.get_xydata()) == np.isfinite(weak.energy).sum() < len(weak.wall)
    first = re.search(r"from (\d+) mm", drawn.alt)
    assert float(first[1]) == pytest.approx(1000 * weak.wall[np.isfinite(weak.energy)][0])
    assert litres_and_energy([none]) is None
