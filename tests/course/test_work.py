"""A group's folder opened for a card: its run, its numbers, answers typed in the notebook."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from sample_group import HEAD, write_group

from coldbench.course.work import open_card
from coldbench.errors import UserError


@pytest.fixture
def folder(tmp_path) -> Path:
    return write_group(tmp_path / "some folder", '[heat_leak_heater]\nheat_leak = "450 mW/K"\n')


def test_the_groups_numbers(folder):
    work = open_card("heat_leak_heater", str(folder))
    assert work.group == "g07"
    assert work.parameters["target"].value == 6
    assert work.number("heat_leak") == pytest.approx(0.45)
    assert work.number("difference") is None


def test_without_parameters_the_folder_names_the_group(folder):
    (folder / "parameters.toml").unlink()
    assert open_card("heat_leak_heater", str(folder)).group == "some folder"
    assert open_card("heat_leak_heater", str(folder), group="g99").group == "g99"


def test_answers_may_lie_elsewhere(folder, tmp_path):
    other = tmp_path / "mine.toml"
    other.write_text('[heat_leak_heater]\nheat_leak = "0.5 W/K"\n', encoding="utf-8")
    work = open_card("heat_leak_heater", str(folder), answers=str(other))
    assert work.number("heat_leak") == 0.5
    work.typed(difference="20 K")
    assert 'difference = "20 K"' in other.read_text("utf-8")
    assert "difference" not in (folder / "answers.toml").read_text("utf-8")


def test_what_is_typed_counts_and_is_kept(folder):
    work = open_card("heat_leak_heater", str(folder))
    typed = work.typed(heat_leak="", difference="20.1 K", heater_power="9 V")
    assert typed.number("heat_leak") == pytest.approx(0.45)
    assert typed.number("difference") == 20.1
    assert typed.answers.numbers["heater_power"].wrong
    again = open_card("heat_leak_heater", str(folder))
    assert again.answers == typed.answers


def test_nothing_typed_touches_no_file(folder):
    before = (folder / "answers.toml").stat().st_mtime_ns
    work = open_card("heat_leak_heater", str(folder))
    assert work.typed(heat_leak="", difference=" ") is work
    assert (folder / "answers.toml").stat().st_mtime_ns == before


def test_the_run_with_most_of_what_the_card_needs_stands_for_it(folder):
    bare = HEAD.format(kind='["steady"]') + '\n[[reading]]\nat = "1 h"\nair = "4 °C"\n'
    (folder / "runs" / "a-first.toml").write_text(bare, encoding="utf-8")
    work = open_card("duty_and_meters", str(folder))
    assert list(work.book.campaign.runs)[0] == "a-first"
    assert work.run().record.run == "cold"


def test_a_missing_run_is_told(folder):
    (folder / "runs" / "heater.toml").unlink()
    work = open_card("heat_leak_heater", str(folder))
    with pytest.raises(UserError, match=r'needs a run of kind heater(.|\n)*kind = "heater"'):
        work.run()


def test_a_missing_role_is_told(folder):
    work = open_card("duty_and_meters", str(folder))
    with pytest.raises(UserError, match=r"needs readings of humidity(.|\n)*air"):
        work.trace("humidity")
