"""The roster: three forms of one class, faults with a place, no person in any message."""

from __future__ import annotations

from pathlib import Path

import pytest

from coldbench.course.roster import read_roster
from coldbench.errors import UserError

TOML = """\
title = "Cooling, one afternoon"
seed = 7
cards = ["heat_leak_warm_up", "heat_leak_heater"]

[parameters]
load = "1 kg to 2 kg by 0.25 kg"
target = ["4 °C", "8 °C"]
refrigerant = "R600a"

[[group]]
id = "g01"
names = ["Ottoline Quill", "Barnaby Thrush"]

[[group]]
id = "g02"
makeup = true
load = "1.2 kg"
folder = "late/two"
"""
GRID = [
    ["title", "Cooling, one afternoon"],
    ["# a remark", "Ottoline Quill"],
    ["seed", 7],
    ["cards", "heat_leak_warm_up", "heat_leak_heater"],
    ["load", "1 kg to 2 kg by 0.25 kg"],
    ["target", "4 °C", "8 °C"],
    ["refrigerant", "R600a"],
    [],
    ["id", "names", "makeup", "load", "folder", "# own column"],
    ["g01", "Ottoline Quill, Barnaby Thrush", "", "", "", "late twice"],
    ["g02", "", "yes", "1.2 kg", "late/two"],
]


def written(folder: Path, text: str, name: str = "class.toml") -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8", newline="\n")
    return file


def as_csv(delimiter: str) -> str:
    return "\n".join(delimiter.join(f'"{cell}"' if delimiter in f"{cell}" else f"{cell}"
                                    for cell in row) for row in GRID) + "\n"


def as_workbook(file: Path) -> Path:
    import xlsxwriter

    with xlsxwriter.Workbook(str(file)) as book:
        sheet = book.add_worksheet("Class")
        for number, row in enumerate(GRID):
            sheet.write_row(number, 0, row)
    return file


def test_three_forms_of_one_class(tmp_path):
    told = read_roster(written(tmp_path, TOML))
    assert (told.title, told.seed, told.cards) == (
        "Cooling, one afternoon", 7, ("heat_leak_warm_up", "heat_leak_heater"))
    first, second = told.groups
    assert (first.id, first.folder, first.makeup) == ("g01", tmp_path / "groups" / "g01", False)
    assert (second.folder, second.makeup, dict(second.own)) == (
        tmp_path / "late" / "two", True, {"load": "1.2 kg"})
    assert told.spread["load"] == ("1 kg", "1.25 kg", "1.5 kg", "1.75 kg", "2 kg")
    others = [read_roster(written(tmp_path, as_csv(sign), f"{n}.csv"))
              for n, sign in enumerate(",;\t")]
    for other in (*others, read_roster(as_workbook(tmp_path / "class.xlsx"))):
        assert (other.title, other.seed, other.cards, other.groups, other.spread) == (
            told.title, told.seed, told.cards, told.groups, told.spread)


def test_the_folder_of_a_class_will_do(tmp_path):
    written(tmp_path, TOML)
    assert read_roster(tmp_path).file.name == "class.toml"


@pytest.mark.parametrize(("old", "new", "told"), [
    ("seed = 7\n", "", "key 'seed' is missing"),
    ("heat_leak_heater", "heat_leak_heatr", 'class.toml:3: there is no lab card of this name'),
    ('"heat_leak_warm_up", ', '"heat_leak_heater", ', "class.toml:3: a card stands twice"),
    ("load = \"1 kg to", "laod = \"1 kg to", "class.toml:6: unknown key 'laod' in parameters"),
    ("by 0.25 kg", "by 0.25 g", "class.toml:6: parameters, load: a range has two ends"),
    ("1 kg to 2 kg by", "2 kg to 1 kg by", "class.toml:6: parameters, load: the range has no"),
    ('"8 °C"', '"8 V"', "class.toml:7: parameters, target"),
    ('id = "g02"', 'id = "G01"', "class.toml:15: two groups have the same id"),
    ('id = "g02"', 'id = "g 02"', "write g-02"),
    ("late/two", "groups/g01", "class.toml:15: two groups have the same folder"),
    ("makeup = true", 'makeup = "soon"', "class.toml:16: group 2, makeup: yes or no"),
    ('load = "1.2 kg"', 'load = "1 kg to 2 kg by 0.5 kg"', "group 2, load: a group has one value"),
])
def test_faults_have_a_place(tmp_path, old, new, told):
    with pytest.raises(UserError) as caught:
        read_roster(written(tmp_path, TOML.replace(old, new, 1)))
    assert told in str(caught.value)


def test_a_fault_in_a_grid_names_its_row_or_cell(tmp_path):
    text = as_csv(";").replace("4 °C", "4 V")
    with pytest.raises(UserError, match=r"^roster\.csv:6: parameters, target"):
        read_roster(written(tmp_path, text, "roster.csv"))
    GRID[10][3], kept = "1.2 m", GRID[10][3]
    try:
        with pytest.raises(UserError, match=r"class\.xlsx: Class!D11: group 2, load"):
            read_roster(as_workbook(tmp_path / "class.xlsx"))
    finally:
        GRID[10][3] = kept


@pytest.mark.parametrize(("old", "new"), [
    ('"Barnaby Thrush"]', '"Barnaby Thrush"'),
    ('names = ["Ottoline', 'names = [“Ottoline'),
    ("names = [", "nams = ["),
    ("[[group]]\nid", "[group]\nid"),
    ('["Ottoline Quill", "Barnaby Thrush"]', "{ Ottoline = 1 }"),
])
def test_no_message_shows_a_name(tmp_path, old, new):
    file = written(tmp_path, TOML.replace(old, new, 1))
    try:
        told = repr(read_roster(file))
    except UserError as mistake:
        told = str(mistake)
    assert "Quill" not in told and "Ottoline" not in told and "Thrush" not in told


def test_no_roster(tmp_path):
    for name in ("class.toml", "class.txt"):
        with pytest.raises(UserError, match="roster"):
            read_roster(tmp_path / name)
    file = tmp_path / "latin.csv"
    file.write_bytes("title;Kühlung\n".encode("latin-1"))
    with pytest.raises(UserError, match="not UTF-8"):
        read_roster(file)
    with pytest.raises(UserError, match="no row of headings"):
        read_roster(written(tmp_path, "title;x\n", "short.csv"))
