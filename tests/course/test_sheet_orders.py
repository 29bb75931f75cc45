"""Data sheets of a class: a page for each card of each group, with its numbers."""

from __future__ import annotations

import pytest

from coldbench import cli
from coldbench.course.hand_out import hand_out
from coldbench.course.roster import read_roster
from coldbench.course.sheet_orders import sheets_of_class, sheets_of_group, sheets_of_kinds
from coldbench.errors import UserError
from coldbench.report.checking import check

ROSTER = """title = "Refrigeration basics"
seed = 31
cards = ["heat_leak_warm_up", "pull_down_balance"]
{more}
[parameters]
load = ["1 kg", "2 kg"]
[[group]]
id = "g01"
names = ["Secret Person"]
[[group]]
id = "g02"
"""
ABSENT = """[[group]]
id = "g03"
makeup = true
"""


@pytest.fixture
def roster(tmp_path):
    """Write a roster, with more lines at will."""

    def write(more: str = "", groups: str = ""):
        file = tmp_path / "class.toml"
        file.write_text(ROSTER.format(more=more) + groups, encoding="utf-8", newline="\n")
        return file

    return write


def test_every_group_that_was_there_has_a_page_for_each_card(roster):
    sheets = sheets_of_class(roster(groups=ABSENT))
    assert [(one.group, one.run) for one in sheets] == [
        ("g01", "heat-leak-warm-up"), ("g01", "pull-down-balance"),
        ("g02", "heat-leak-warm-up"), ("g02", "pull-down-balance")]


def test_a_page_shows_the_groups_own_numbers_and_no_name(roster):
    class_ = read_roster(roster(groups=ABSENT))
    for group in class_.groups:
        for sheet in sheets_of_group(class_, group):
            assert sheet.notes == (f"load {class_.parameters(group)['load']}",)
            assert "Secret" not in repr(sheet)
            assert bool(sheet.banner) == group.makeup


def test_cards_that_read_the_same_share_a_page(roster):
    file = roster()
    text, cards = file.read_text(encoding="utf-8"), ("carnot_gap", "duty_and_meters", "uncertainty")
    text = text.replace('"heat_leak_warm_up", "pull_down_balance"', ", ".join(map(repr, cards)))
    file.write_text(text, encoding="utf-8", newline="\n")
    class_ = read_roster(file)
    sheets = sheets_of_group(class_, class_.groups[0])
    for one in sheets:
        others = [set(other.roles) for other in sheets if other is not one]
        assert not any(set(one.roles) <= other for other in others)


def test_what_is_handed_out_can_be_typed_in_at_once(roster, tmp_path):
    bench = tmp_path / "bench"
    (bench / "coolers").mkdir(parents=True)
    (bench / "runs").mkdir()
    (bench / "runs" / "trial.toml").write_text("", encoding="utf-8")
    (bench / "campaign.toml").write_text('title = "Lab"\ntimezone = "UTC"\n', encoding="utf-8",
                                         newline="\n")
    (bench / "coolers" / "box.toml").write_text(
        'name = "Box"\ntechnology = "passive"\norigin = "built"\n', encoding="utf-8", newline="\n")
    hand_out(read_roster(roster('bench = "bench"')))
    group = tmp_path / "groups" / "g01"
    assert not (group / "runs" / "trial.toml").exists()
    assert (group / "data-sheets.pdf").read_bytes().startswith(b"%PDF")
    told = check(group)
    assert [fault.what for fault in told.faults] == ["the campaign has no runs"]


def test_what_was_typed_is_never_overwritten(roster, tmp_path):
    hand_out(read_roster(roster()))
    book = tmp_path / "groups" / "g01" / "runs" / "data-sheets.xlsx"
    book.write_bytes(b"typed")
    hand_out(read_roster(roster()))
    assert book.read_bytes() == b"typed"


def test_a_bench_without_a_campaign_is_told(roster):
    with pytest.raises(UserError, match=r"the folder for all groups has no campaign\.toml"):
        hand_out(read_roster(roster('bench = "nowhere"')))


def test_the_command_prints_a_class(roster, tmp_path, capsys):
    out = tmp_path / "all.pdf"
    assert cli.main(["sheets", str(roster()), "--out", str(out)]) == 0
    assert capsys.readouterr().out.splitlines() == [str(out)]


def test_several_kinds_have_ids_of_their_own():
    ids = [sheet.run for sheet in sheets_of_kinds(["warm-up", "heater"], run="w", copies=2)]
    assert ids == ["w-warm-up-1", "w-warm-up-2", "w-heater-1", "w-heater-2"]
    assert [sheet.run for sheet in sheets_of_kinds(["warm-up"], run="w")] == ["w"]
