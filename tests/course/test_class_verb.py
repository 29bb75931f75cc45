"""The verb ``class``: what it hands on, what it prints, how it ends."""

from __future__ import annotations

import sys
from pathlib import Path
from types import ModuleType

import pytest

from coldbench import cli
from coldbench.course.batch import Delivered
from coldbench.errors import Fault

MADE = (Path("out/summary.csv"), Path("key"), Path("out/class.html"), Path("out/class.pdf"))


@pytest.fixture
def delivered(monkeypatch, tmp_path):
    """A stand-in for the batch: notes what it got, answers what it is told to."""
    monkeypatch.chdir(tmp_path)
    got = {"answer": Delivered(MADE)}

    def run_class(*args, **kwargs):
        got["args"], got["kwargs"] = args, kwargs
        return got["answer"]

    fake = ModuleType("coldbench.course.batch")
    fake.run_class = run_class
    monkeypatch.setitem(sys.modules, "coldbench.course.batch", fake)
    return got


def test_options_are_handed_on_and_the_report_is_told_last(delivered, capsys):
    options = ["--out", "o", "--key", "k", "--formats", "pdf", "--jobs", "3", "--paper", "letter",
               "--units", "us", "--cluster", "tcp://there:8786", "--bold", "g02"]
    assert cli.main(["class", "class.toml", *options]) == 0
    assert delivered["args"] == (Path("class.toml"),)
    assert delivered["kwargs"] == {
        "out": Path("o"), "key": Path("k"), "formats": ("pdf",), "jobs": 3, "paper": "letter",
        "units": "us", "cluster": "tcp://there:8786", "bold": "g02",
    }
    assert capsys.readouterr().out.splitlines() == [str(path) for path in MADE]


def test_groups_that_have_to_mend_are_told_after_what_was_made(delivered, capsys):
    delivered["answer"] = Delivered(MADE, (Fault("no unit", "g02"), Fault("no folder", "g07")))
    assert cli.main(["class", "class.toml"]) == 1
    told = capsys.readouterr()
    assert told.out.splitlines()[-1] == str(MADE[-1])
    assert "g02: no unit" in told.err and "g07: no folder" in told.err


def test_a_fault_of_the_kit_ends_with_three(delivered, capsys):
    delivered["answer"] = Delivered(MADE, (Fault("no unit", "g02"),), ("g03, card: KeyError",))
    assert cli.main(["class", "class.toml"]) == 3
    told = capsys.readouterr()
    assert "g02: no unit" in told.err and "fault of coldbench" in told.err
    assert "g03, card: KeyError" in Path("coldbench-error.log").read_text(encoding="utf-8")


def test_a_roster_that_is_not_there(capsys):
    assert cli.main(["class", "nowhere.toml"]) == 1
    assert "there is no such roster" in capsys.readouterr().err
