"""What each group is given: nothing is overwritten, nothing gives an answer, make-up says so."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from coldbench.course.answers import read_answers
from coldbench.course.cards import card_named
from coldbench.course.hand_out import hand_out
from coldbench.course.makeup import SYNTHETIC
from coldbench.course.roster import read_roster
from coldbench.errors import UserError
from coldbench.logs import read_runs
from coldbench.sheets import read_campaign

CLASS = """\
title = "Cooling, one afternoon"
seed = 7
cards = ["heat_leak_warm_up", "heat_leak_heater"]
sheets = "{sheets}"
[parameters]
load = "1 kg to 2 kg by 0.1 kg"
ambient_offset = ["-1 K", "1 K"]
[[group]]
id = "g01"
names = ["Ottoline Quill"]
[[group]]
id = "g02"
makeup = {makeup}
"""


def roster(folder: Path, sheets: str = "text", makeup: str = "false"):
    file = folder / "class.toml"
    file.write_text(CLASS.format(sheets=sheets, makeup=makeup), encoding="utf-8", newline="\n")
    return read_roster(file)


def tree(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes()
            for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize(("sheets", "file"), [
    ("text", "campaign.toml"), ("workbook", "campaign.xlsx"),
])
def test_a_folder_for_each_group(tmp_path, sheets, file):
    told = roster(tmp_path, sheets)
    written = hand_out(told)
    for group in told.groups:
        assert (group.folder / file).is_file()
        assert {group.folder / "answers.toml", group.folder / "parameters.toml"} <= set(written)
    given = tomllib.loads((tmp_path / "groups" / "g01" / "parameters.toml").read_text("utf-8"))
    assert given == {"group": "g01", "seed": "7", **told.parameters(told.groups[0])}
    assert not any(b"Quill" in content for content in tree(tmp_path / "groups").values())


def test_blank_answers_ask_for_all_and_tell_nothing(tmp_path):
    told = roster(tmp_path)
    hand_out(told)
    file = tmp_path / "groups" / "g01" / "answers.toml"
    for name in told.cards:
        card = card_named(name)
        table = tomllib.loads(file.read_text(encoding="utf-8"))[name]
        assert set(table) == {*(one.name for one in card.asked), "note_1", "conclusion"}
        assert set(table.values()) == {""}
        read = read_answers(file, card)
        assert all(not answer.text for answer in read.numbers.values())
    assert "[W/K]" in file.read_text(encoding="utf-8")


def test_nothing_is_overwritten(tmp_path):
    told = roster(tmp_path)
    hand_out(told)
    first = tmp_path / "groups" / "g01"
    (first / "answers.toml").write_text("[heat_leak_heater]\n", encoding="utf-8")
    (first / "campaign.toml").write_text("title = 'ours'\n", encoding="utf-8")
    (tmp_path / "groups" / "g02" / "parameters.toml").unlink()
    before = tree(first)
    assert hand_out(told) == [tmp_path / "groups" / "g02" / "parameters.toml"]
    assert tree(first) == before


def test_a_folder_with_other_things_is_told_and_the_rest_is_done(tmp_path):
    told = roster(tmp_path)
    (tmp_path / "groups" / "g01").mkdir(parents=True)
    (tmp_path / "groups" / "g01" / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(UserError, match="something in that place"):
        hand_out(told)
    assert (tmp_path / "groups" / "g02" / "answers.toml").is_file()


def test_make_up_says_so_everywhere_and_reads(tmp_path):
    told = roster(tmp_path, makeup="true")
    hand_out(told)
    folder = tmp_path / "groups" / "g02"
    files = [path for path in folder.rglob("*") if path.is_file()]
    assert {"warm-up.csv", "heater.csv", "campaign.toml", "answers.toml"} <= {p.name for p in files}
    for path in files:
        assert path.read_text(encoding="utf-8").startswith(f"# {SYNTHETIC}"), path.name
    campaign = read_campaign(folder)
    assert campaign.sheet.disclosure.invented == SYNTHETIC
    records = read_runs(campaign)
    assert {run: sorted(record.traces) for run, record in records.items()} == {
        "heater": ["air", "ambient"], "warm-up": ["air", "ambient", "load"]}
    given = told.parameters(told.groups[1])
    load = campaign.runs["warm-up"].load[0]
    assert load.count * load.water.value == pytest.approx(float(given["load"][:-3]), abs=0.01)
    room = 24 + float(given["ambient_offset"][:-2])
    assert abs(records["warm-up"].trace("ambient").y.mean() - room) < 0.6


def test_make_up_is_the_same_again_and_another_for_another_group(tmp_path):
    logs = []
    for name, ident in (("a", "g02"), ("b", "g02"), ("c", "g99")):
        place = tmp_path / name
        place.mkdir()
        told = roster(place, makeup="true")
        file = told.file
        file.write_text(file.read_text("utf-8").replace("g02", ident), encoding="utf-8")
        hand_out(read_roster(file))
        logs.append((place / "groups" / ident / "logs" / "heater.csv").read_bytes())
    assert logs[0] == logs[1] != logs[2]
