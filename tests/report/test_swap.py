"""The last good results are whole, or the new ones are."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from coldbench.errors import UserError
from coldbench.report import swap
from coldbench.report.swap import PROOF, swapped_in


@pytest.fixture
def campaign(tmp_path):
    folder = tmp_path / "stall"
    folder.mkdir()
    return folder


@pytest.fixture
def out(campaign):
    """Results of an earlier run."""
    folder = campaign / "out"
    folder.mkdir()
    fill(folder, "earlier")
    return folder


@pytest.fixture
def impatient(monkeypatch):
    monkeypatch.setattr(swap, "PATIENCE", (0.0, 0.0))


def fill(folder: Path, text: str) -> None:
    for name in (PROOF, f"only-{text}.txt"):
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


def report(out: Path, campaign: Path) -> None:
    with swapped_in(out, campaign) as side:
        assert side.parent == out.parent and not list(side.iterdir())
        fill(side, "new")


def state(out: Path) -> str:
    """Which run's files are there, if they are whole and nothing is left beside them."""
    assert [path.name for path in out.parent.iterdir()] == [out.name]
    text = (out / PROOF).read_text(encoding="utf-8")
    assert sorted(path.name for path in out.iterdir()) == [f"only-{text}.txt", PROOF]
    return text


def test_first_results(campaign):
    report(campaign / "out", campaign)
    assert state(campaign / "out") == "new"


def test_new_results_replace_the_old_whole(out, campaign):
    report(out, campaign)
    assert state(out) == "new"


def test_a_missing_parent_is_made(tmp_path, campaign):
    report(tmp_path / "a" / "b", campaign)
    assert state(tmp_path / "a" / "b") == "new"


@pytest.mark.parametrize("error", [ValueError, UserError(()), KeyboardInterrupt])
def test_a_broken_run_leaves_the_last_good_results(out, campaign, error):
    with pytest.raises((ValueError, UserError, KeyboardInterrupt)):
        with swapped_in(out, campaign) as side:
            fill(side, "half")
            raise error
    assert state(out) == "earlier"


def test_an_empty_folder_is_taken(campaign):
    (campaign / "out").mkdir()
    report(campaign / "out", campaign)
    assert state(campaign / "out") == "new"


def test_a_foreign_folder_is_never_touched(tmp_path, campaign):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("dear", encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="coldbench did not write"):
        report(tmp_path / "mine", campaign)
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["letter.txt"]


def test_a_file_is_never_replaced(tmp_path, campaign):
    (tmp_path / "mine").write_text("dear", encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="not a folder"):
        report(tmp_path / "mine", campaign)


def test_a_campaign_inside_is_never_deleted(tmp_path, campaign):
    fill(tmp_path, "earlier")
    for out in (tmp_path, campaign):
        with pytest.raises(UserError, match="campaign itself"):
            report(out, campaign)
    assert campaign.is_dir()


def test_a_place_that_cannot_be_written_is_told(tmp_path, campaign):
    (tmp_path / "file").write_text("dear", encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="cannot write beside"):
        report(tmp_path / "file" / "out", campaign)


def test_results_in_use_stay(out, campaign, impatient, monkeypatch):
    """As on Windows when the PDF is open."""
    held(monkeypatch, out)
    with pytest.raises(UserError, match="close the report"):
        report(out, campaign)
    monkeypatch.undo()
    assert state(out) == "earlier"


@pytest.mark.parametrize("error", [PermissionError(13, "in use"), KeyboardInterrupt()])
def test_results_come_back_if_the_new_cannot_come_in(
    out, campaign, impatient, monkeypatch, error
):
    move = Path.rename

    def rename(self, to):
        if self.name.startswith(".out-") and self.name != ".out-old":
            raise error
        return move(self, to)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises((UserError, KeyboardInterrupt)):
        report(out, campaign)
    monkeypatch.undo()
    assert state(out) == "earlier"


def test_a_short_hold_is_waited_for(out, campaign, impatient, monkeypatch):
    held(monkeypatch, out, times=2)
    report(out, campaign)
    assert state(out) == "new"


def held(monkeypatch, folder: Path, times: int = 1000) -> None:
    move, left = Path.rename, [None] * times

    def rename(self, to):
        if self == folder and left:
            left.pop()
            raise PermissionError(13, "in use")
        return move(self, to)

    monkeypatch.setattr(Path, "rename", rename)


def test_results_cut_off_between_the_two_renames_come_back(out, campaign):
    out.rename(campaign / ".out-old")
    with pytest.raises(ValueError):
        with swapped_in(out, campaign):
            raise ValueError
    assert state(out) == "earlier"


def test_what_cut_off_runs_left_is_cleared(out, campaign):
    hours_ago = time.time() - 3 * 3600
    for name in (".out-0123abcd", ".out-old"):
        (campaign / name).mkdir()
        fill(campaign / name, "left")
        for path in (*(campaign / name).iterdir(), campaign / name):
            os.utime(path, (hours_ago, hours_ago))
    report(out, campaign)
    assert state(out) == "new"


def test_a_run_that_is_going_on_is_left_alone(out, campaign):
    with swapped_in(out, campaign) as side:
        fill(side, "slow")
        report(out, campaign)
        assert (side / PROOF).is_file()
    assert state(out) == "slow"
