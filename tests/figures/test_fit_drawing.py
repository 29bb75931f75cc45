"""Drawings of coolers in a space and of cans: to scale, whole, in words, silent without sizes."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from coldbench import figures
from coldbench.compare.filling import packed
from coldbench.compare.space import fit_of
from coldbench.figures.drawn import csv_text, svg_text
from coldbench.sheets.campaign import SpaceSheet
from coldbench.sheets.cooler import CoolerSheet

AIR = {"sides": "20 mm", "back": "50 mm", "top": "10 mm"}


def box(width, depth, height, **more):
    return {"width": f"{width} mm", "depth": f"{depth} mm", "height": f"{height} mm", **more}


def campaign(into=None, **coolers):
    """Coolers, in a space or none."""
    plain = {"name": "Box", "technology": "passive", "origin": "built"}
    return SimpleNamespace(
        coolers={c: CoolerSheet.model_validate({**plain, **s}) for c, s in coolers.items()},
        sheet=SimpleNamespace(space=into and SpaceSheet.model_validate(into), use=None),
    )


CASES = {
    "fits shut": (box(620, 420, 480, clearance=AIR),
                  {"outside": box(570, 330, 395), "lid": "top", "lid_height": "330 mm"}),
    "misses": (box(620, 420, 480, clearance=AIR), {"outside": box(650, 330, 500)}),
    "door": (box(620, 420, 480, open=["front"]), {"outside": box(450, 350, 460), "lid": "front"}),
    "turned": (box(420, 620, 500, open=["top"]),
               {"outside": box(600, 400, 480), "lid": "top", "lid_height": "300 mm"}),
    "drawer": (box(900, 700, 1200), {"outside": box(850, 600, 300), "lid": "drawer"}),
    "on its side": (box(600, 600, 350), {"outside": box(300, 400, 500), "upright_only": False,
                                         "lid": "top", "lid_height": "90 mm"}),
    "tiny": (box(3000, 2000, 2500), {"outside": box(100, 80, 90), "lid": "top",
                                     "lid_height": "20 mm"}),
    "tall": (box(300, 300, 2500), {"outside": box(200, 250, 1500), "lid": "front"}),
    "long": (box(4000, 300, 300), {"outside": box(300, 250, 250)}),
}


def drawn(case):
    into, sheet = CASES[case]
    made = campaign(into, box=sheet)
    return figures.fit_drawing(fit_of(made, "box", "shut"), fit_of(made, "box", "open"),
                               name="The box")


def patches(found, label):
    (axes,) = found.figure.axes
    return [p for p in axes.patches if p.get_label() == label]


def words(found):
    (axes,) = found.figure.axes
    return [t.get_text().replace("\u00a0", " ") for t in axes.texts if t.get_text()]


@pytest.mark.parametrize("case", CASES)
def test_nothing_is_cut_off_and_no_words_overlap(case):
    found = drawn(case)
    renderer = found.figure.canvas.get_renderer()
    (axes,) = found.figure.axes
    texts = [(t.get_text(), t.get_window_extent(renderer)) for t in axes.texts if t.get_text()]
    drawings = [(p.get_label(), p.get_window_extent(renderer)) for p in axes.patches
                if p.get_label() != "arc"]  # its box is that of the whole circle
    for what, place in texts + drawings:
        assert place.x0 >= 0 and place.y0 >= 0, what
        assert place.x1 <= found.figure.bbox.x1 and place.y1 <= found.figure.bbox.y1, what
    for n, (what, one) in enumerate(texts):
        assert [other for other, place in texts[n + 1:] if one.overlaps(place)] == [], what


@pytest.mark.parametrize("case", CASES)
def test_all_views_have_one_scale(case):
    found = drawn(case)
    front, side, plan = patches(found, "cooler")
    width, depth, height = (float(found.data["box"][i]) for i in range(3))
    scale = front.get_width() / width
    for view, sides in ((front, (width, height)), (side, (depth, height)), (plan, (width, depth))):
        assert (view.get_width(), view.get_height()) == pytest.approx(
            (scale * sides[0], scale * sides[1]))
    assert front.get_x() == pytest.approx(plan.get_x())
    assert front.get_y() == pytest.approx(side.get_y())


def test_what_is_left_is_said_in_words():
    said = words(drawn("fits shut"))
    assert {"width 620 mm", "10 mm spare", "40 mm spare", "75 mm spare"} <= set(said)
    assert "Lid shut: fits, 10 mm spare, least in width." in said
    assert any(line.startswith("Lid open: misses by 245 mm") for line in said)
    short = words(drawn("misses"))
    assert {"misses by 70 mm", "misses by 30 mm", "40 mm spare"} <= set(short)


def test_what_has_no_room_is_crossed():
    assert not patches(drawn("fits shut"), "beyond")
    assert patches(drawn("fits shut"), "lid beyond")
    assert patches(drawn("misses"), "beyond")
    assert not patches(drawn("turned"), "lid beyond")


def test_the_way_of_the_lid():
    for case, arcs, rooms in (("fits shut", 1, 2), ("misses", 0, 0), ("door", 1, 2),
                              ("drawer", 0, 2)):
        found = drawn(case)
        assert (len(patches(found, "arc")), len(patches(found, "lid"))) == (arcs, rooms), case
    assert "room of the open drawer" in words(drawn("drawer"))
    arc = patches(drawn("door"), "arc")[0]
    assert arc.width == pytest.approx(arc.height)  # a door as wide as the box turns in a circle


def test_open_sides_are_dashed():
    def free(case):
        return [line for line in drawn(case).figure.axes[0].lines
                if line.get_label() == "open side"]

    assert (len(free("door")), len(free("turned")), free("fits shut")) == (2, 2, [])


def test_without_a_space_there_is_no_drawing():
    made = campaign(None, box={"outside": box(300, 200, 200)})
    assert figures.fit_drawing(fit_of(made, "box", "shut")) is None


def test_data_alt_and_caption():
    found = drawn("fits shut")
    assert found.data["margin"].tolist() == [10, 40, 75, 10, 40, -245]
    assert "state,pose,side,space" in csv_text(found)
    assert "570 × 330 × 395 mm" in found.alt
    assert "misses by 245 mm in height" in found.alt
    assert "the arc is an example" in found.caption
    assert "hinge" not in drawn("drawer").caption
    assert svg_text(found) == svg_text(drawn("fits shut"))


class TestCans:
    INSIDES = {
        "a": box(330, 240, 280), "b": box(250, 190, 255), "c": box(900, 500, 480),
        "d": box(420, 300, 400, step=box(150, 300, 130)), "e": box(300, 200, 100),
        "f": box(60, 200, 200),
    }

    def plans(self, *which):
        made = campaign(None, **{c: {"inside": self.INSIDES[c]} for c in which or self.INSIDES})
        packs = [packed(made, c) for c in made.coolers]
        return packs, figures.can_plans(packs, names={"f": "A name that goes on and on and on"})

    def test_every_can_of_a_layer_is_drawn_inside(self):
        packs, found = self.plans()
        layers = sum(int(floor.rows.count) for p in packs for floor in p.floors if floor.layers)
        assert len(patches(found, "can")) == layers == len(found.data)
        for pack, inside in zip(packs, patches(found, "inside"), strict=True):
            places = found.data[found.data["cooler"] == pack.cooler]
            assert (places["x"] <= pack.inside[0] - pack.across / 2 + 1e-6).all()
            assert (places["y"] <= pack.inside[1] - pack.across / 2 + 1e-6).all()
            assert inside.get_width() / inside.get_height() == pytest.approx(
                pack.inside[0] / pack.inside[1])

    def test_to_one_scale(self):
        packs, found = self.plans()
        scales = [inside.get_width() / pack.inside[0]
                  for pack, inside in zip(packs, patches(found, "inside"), strict=True)]
        assert max(scales) == pytest.approx(min(scales))

    @pytest.mark.parametrize("which", ["", "a", "abde", "c", "abcdef"])
    def test_nothing_is_cut_off_and_nothing_overlaps(self, which):
        found = self.plans(*which)[1]
        renderer = found.figure.canvas.get_renderer()
        (axes,) = found.figure.axes
        places = [t.get_window_extent(renderer) for t in axes.texts]
        insides = [p.get_window_extent(renderer) for p in patches(found, "inside")]
        for place in places + insides:
            assert place.x0 >= 0 and place.y0 >= 0
            assert place.x1 <= found.figure.bbox.x1 and place.y1 <= found.figure.bbox.y1
        for n, one in enumerate(places + insides):
            assert not any(one.overlaps(other) for other in (places + insides)[n + 1:])

    def test_four_usual_ones_stand_in_a_row(self):
        found = self.plans("a", "b", "d", "e")[1]
        assert len({round(p.get_y(), 6) for p in patches(found, "inside")}) == 1

    def test_in_words(self):
        _, found = self.plans("a", "e")
        assert "a: 36 cans, 2 layers of 18 staggered" in found.alt
        assert "e: 0 cans, none stands upright" in found.alt
        assert "66 mm across and 115 mm high" in found.caption

    def test_silent_without_sizes(self):
        assert figures.can_plans([]) is None
        assert packed(campaign(None, box={}), "box") is None
