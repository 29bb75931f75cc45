"""The design report: what it says of the demo, and of campaigns that lack what it needs."""

from __future__ import annotations

import json
import re
import shutil

import pytest

from coldbench.report import designs
from coldbench.report.design_book import open_design
from coldbench.report.results import DESIGN

SECTIONS = (
    designs.answer.opening, designs.answer.answer, designs.rests_on.rests_on,
    designs.next_steps.next_steps, designs.new_box.as_drawn, designs.new_box.litres,
    designs.new_box.moved, designs.picks.search, designs.picks.picks, designs.store.store,
    designs.closing.cautions, designs.closing.methods, designs.closing.inputs,
)


def texts(shown) -> str:
    """All that a section shows, as plain text."""
    items = shown if isinstance(shown, list) else [shown]
    return "\n".join(texts(one) if isinstance(one, list) else
                     one._repr_mimebundle_()["text/plain"] for one in items)


def whole(design) -> str:
    return "\n".join(texts(section(design)) for section in SECTIONS)


@pytest.fixture(scope="module")
def demo():
    return open_design("demo")


@pytest.fixture
def folder(clone, tmp_path):
    """A copy of the demo to take things from."""
    place = tmp_path / "campaign"
    shutil.copytree(clone / "templates" / "campaign-demo", place)
    return place


def without(folder, *tables, coolers=()):
    """Take tables out of the campaign sheet, and coolers with their runs out of the folder."""
    sheet = folder / "campaign.toml"
    text = sheet.read_text(encoding="utf-8")
    for table in tables:
        text = re.sub(rf"(^#[^\n]*\n)?^\[+{table}\]+\n(?:(?!\[).*\n)*", "", text, flags=re.M)
    for one in coolers:
        text = text.replace(f'"{one}", ', "").replace(f', "{one}"', "")
        (folder / "coolers" / f"{one}.toml").unlink()
        for run in (folder / "runs").glob("*.toml"):
            if f'cooler = "{one}"' in run.read_text(encoding="utf-8"):
                run.unlink()
    sheet.write_text(text, encoding="utf-8", newline="\n")
    return open_design(str(folder))


def test_page_one_names_the_first_step_and_three_boxes(demo):
    shown = texts(designs.answer.answer(demo))
    assert "a regulator that lowers the modules' voltage" in shown
    assert all(word in shown for word in ("Coldest", "Thriftiest", "Roomiest", "Still to buy"))
    assert "unit of Compressor chest" in shown


def test_the_chests_unit_goes_whole_into_the_hold_with_drawing_and_doubts(demo):
    shown = texts(designs.picks.picks(demo))
    assert "The circuit stays closed" in shown
    assert "Bill of materials" in shown
    assert 'design_of = "chest"' in shown
    assert any(name.startswith("section-") for name in demo.book.drawn)


def test_a_must_met_in_the_middle_only_is_not_called_met(demo):
    """The roomiest lies just under 600 Wh/d by middle values."""
    index = demo.front.picks["roomiest"]
    assert demo.candidates.energy[index] <= 600
    assert designs.answer.verdict(demo, demo.build(index), index) == (
        "Cannot tell whether it meets: energy at most 600 Wh/d.")


def test_never_a_wire_or_fuse_as_an_instruction_nor_a_step_inside_the_circuit(demo):
    shown = whole(demo).lower()
    assert not re.search(r"\d\s*(mm²|awg)|fuse of|\d\s*a fuse", shown)
    for step in ("cut the", "solder the", "recharge", "pierce the", "safe to eat"):
        assert step not in shown


def test_each_caution_of_building_is_printed(demo):
    shown = texts(designs.closing.cautions(demo))
    for topic in ("Moving a unit whole", "Sealed circuit", "Flammable refrigerant",
                  "Hot heat sink", "Foam and adhesives", "Low-voltage wiring and batteries"):
        assert topic in shown


def test_without_a_design_table_the_footing_and_the_musts_are_asked(folder):
    design = without(folder, "design", "board", "hot_side")
    assert (design.wishes.ambient, design.wishes.inside, design.wishes.usable) == (25.0, 4.0, 10.0)
    assert design.improve == "self-built"
    assert design.donor == "chest"
    shown = whole(design)
    assert "not stated" in shown  # prices
    assert "No box is drawn" in shown


def test_without_a_room_a_box_is_made_for_the_litres(folder):
    design = without(folder, "space")
    assert len(design.front.picks) >= 1
    assert "needs [space]" in whole(design)


def test_without_a_room_and_litres_no_box_is_looked_for(folder):
    design = without(folder, "space", "design", "musts")
    assert design.front is None
    assert "It needs [space], or usable litres" in whole(design)


def test_passive_boxes_alone_have_no_machine_to_build_with(folder):
    design = without(folder, "design", coolers=("chest", "small-te", "self-built"))
    shown = whole(design)
    assert "No cooler here has a machine" in shown
    assert "No machine of the campaign could be fitted" in shown
    assert "no step is judged" in shown.lower()


def test_a_machine_that_was_never_run_is_refused_in_words(folder):
    for run in (folder / "runs").glob("self-built-*.toml"):
        if "warm-up" not in run.name:
            run.unlink()
    design = open_design(str(folder))
    assert design.present is None
    shown = texts(designs.next_steps.next_steps(design))
    assert "Self-built, liquid-cooled has no" in shown


def test_what_is_predicted_lies_beside_the_page(folder, tmp_path):
    design = open_design(str(folder), out=str(tmp_path / "out"))
    assert texts(designs.closing.finish(design)).startswith("Steps and picks")
    told = json.loads((tmp_path / "out" / DESIGN).read_text(encoding="utf-8"))
    assert [one["pick"] for one in told["picks"]] == ["coldest", "thriftiest", "roomiest"]
    assert sum(one["first"] for one in told["steps"]) == 3
    names = {row["finding"] for row in told["picks"][0]["findings"]}
    assert names == {"heat_leak", "coldest_air", "mean_power", "duty", "daily_energy"}
    assert all(row["basis"] == "modelled" for one in told["picks"] for row in one["findings"])


def test_nothing_is_written_without_a_folder(demo):
    assert "no folder" in texts(designs.closing.finish(demo))
