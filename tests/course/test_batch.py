"""A whole class: isolation, delivery, what a second run does; pieces are done by small_class."""

from __future__ import annotations

import csv
import json
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from small_class import CARDS, PEOPLE, Hands, write_class

from coldbench.course import batch, class_report
from coldbench.course.batch import run_class
from coldbench.errors import UserError
from coldbench.report.job import Outcome

REASON = "runs/a.toml:3: no unit\n  found:   4"


@pytest.fixture
def hands(monkeypatch):
    """The runner of this test, and an overlay that only copies what it is given."""
    hands = Hands()
    monkeypatch.setattr(batch, "_runner", lambda jobs, cluster: hands)
    monkeypatch.setattr(class_report, "run_jobs", overlay)
    return hands


def overlay(jobs, at_once, work, progress):
    (job,) = jobs
    for place in (job.html, job.pdf):
        Path(place).write_text(f"class {job.parameters['bold']}", encoding="utf-8")


def rows(folder: Path) -> dict[tuple[str, str], dict[str, str]]:
    with (folder / "out" / "summary.csv").open(encoding="utf-8", newline="") as text:
        return {(row["group"], row["card"]): row for row in csv.DictReader(text)}


def files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def touch(file: Path) -> None:
    file.write_text(file.read_text(encoding="utf-8") + "# more\n", encoding="utf-8", newline="\n")


def test_all_is_delivered_and_the_key_lies_apart(hands, tmp_path):
    roster = write_class(tmp_path)
    made = run_class(roster)
    assert made.faults == made.broken == ()
    assert [path.name for path in made.made] == ["summary.csv", "key", "class.html", "class.pdf"]
    assert all(path.exists() for path in made.made)
    group = {f"{card}.{end}" for card in CARDS for end in ("html", "pdf")}
    group |= {f"figures/{card}.csv" for card in CARDS} | {"facts.json", "provenance.json"}
    assert files(tmp_path / "out" / "groups" / "g02") == group
    assert files(tmp_path / "key") == {
        "key.csv", "marks.csv", "outliers.csv", "provenance.json",
        *(f"groups/{g}/{f}" for g in ("g01", "g02", "g03") for f in ("key.csv", "provenance.json")),
    }
    assert not any(b"0.98765" in path.read_bytes()
                   for path in (tmp_path / "out").rglob("*") if path.is_file())
    assert (tmp_path / "key" / "key.csv").read_text(encoding="utf-8").count("0.98765") == 3
    row = rows(tmp_path)["g01", "heat_leak_heater"]
    assert row == {"group": "g01", "card": "heat_leak_heater", "status": "done",
                   "coverage": "99.5", "headline": "0.41 W/K", "flags": "gap in the log",
                   "reason": "", "data": "measured"}


def test_broken_groups_fail_alone_with_a_reason(hands, tmp_path, capsys):
    roster = write_class(tmp_path, ("g01", "g02", "g03", "g04", "g05"))
    hands.failing = {name: Outcome("user", REASON) for name in
                     ("g02-heat_leak_warm_up", "g02-heat_leak_heater", "g02-closing")}
    hands.failing["g05-heat_leak_heater"] = Outcome("user", "no run of kind heater")
    (tmp_path / "groups" / "g03" / "answers.toml").unlink()
    for path in (tmp_path / "groups" / "g04").iterdir():
        path.unlink()
    (tmp_path / "groups" / "g04").rmdir()
    made = run_class(roster)
    told = [(fault.where, fault.what.splitlines()[0]) for fault in made.faults]
    assert told == [
        ("g02", "runs/a.toml:3: no unit"), ("g03", "the group's answers.toml is missing"),
        ("g04", "the group has no folder"), ("g05", "no run of kind heater"),
    ]
    summary = rows(tmp_path)
    assert summary["g02", CARDS[0]]["reason"] == "runs/a.toml:3: no unit; found: 4"
    assert summary["g03", CARDS[0]]["reason"].endswith("coldbench class class.toml --hand-out")
    assert [summary["g05", card]["status"] for card in CARDS] == ["done", "needs mending"]
    out = tmp_path / "out" / "groups"
    assert files(out / "g02") == files(out / "g03") == files(out / "g04") == {"provenance.json"}
    assert "heat_leak_warm_up.html" in files(out / "g05")
    assert "half.html" not in files(out / "g05")
    assert {path.name for path in (tmp_path / "key" / "groups").iterdir()} == {"g01", "g05"}
    assert "g03-closing" not in hands.did  # nothing is started for what cannot be


def test_a_second_run_does_what_failed_or_changed(hands, tmp_path):
    roster = write_class(tmp_path)
    hands.failing = {"g02-heat_leak_heater": Outcome("user", REASON)}
    run_class(roster)
    assert len(hands.did) == 9

    hands.did.clear()
    run_class(roster)
    assert hands.did == ["g02-heat_leak_heater"]

    hands.did.clear()
    hands.failing = {}
    touch(tmp_path / "groups" / "g03" / "answers.toml")
    assert run_class(roster).faults == ()
    assert hands.did == ["g02-heat_leak_heater", "g03-heat_leak_warm_up", "g03-heat_leak_heater",
                         "g03-closing"]
    assert {row["status"] for row in rows(tmp_path).values()} == {"done"}

    hands.did.clear()
    page = tmp_path / "out" / "groups" / "g01" / "heat_leak_warm_up.html"
    page.unlink()
    (tmp_path / "groups" / "g02" / "out").mkdir()
    (tmp_path / "groups" / "g02" / "out" / "own.txt").write_text("x", encoding="utf-8")
    (tmp_path / "groups" / "g02" / "~$campaign.xlsx").write_text("x", encoding="utf-8")
    run_class(roster)
    assert hands.did == ["g01-heat_leak_warm_up"] and page.is_file()

    hands.did.clear()
    run_class(roster, paper="letter")
    assert len(hands.did) == 9


def test_nothing_to_do_leaves_every_file(hands, tmp_path, monkeypatch):
    roster = write_class(tmp_path)
    run_class(roster)
    before = {path: path.stat().st_mtime_ns for path in (tmp_path / "out").rglob("*.html")}
    monkeypatch.setattr(class_report, "run_jobs", None)  # the overlay too stands as it is
    hands.did.clear()
    run_class(roster)
    assert hands.did == []
    assert {path: path.stat().st_mtime_ns for path in before} == before


def test_another_bold_group_is_another_report(hands, tmp_path):
    roster = write_class(tmp_path)
    run_class(roster)
    hands.did.clear()
    run_class(roster, bold="g02")
    assert hands.did == []
    assert (tmp_path / "out" / "class.html").read_text(encoding="utf-8") == "class g02"
    with pytest.raises(UserError, match="no group of this id"):
        run_class(roster, bold="g09")


def test_a_group_that_cannot_be_delivered_stops_no_other(hands, tmp_path):
    roster = write_class(tmp_path)
    (tmp_path / "out" / "groups" / "g02").mkdir(parents=True)
    (tmp_path / "out" / "provenance.json").write_text("{}", encoding="utf-8")
    (tmp_path / "out" / "groups" / "g02" / "mine.txt").write_text("x", encoding="utf-8")
    made = run_class(roster)
    assert [fault.where for fault in made.faults] == ["g02"]
    assert "did not write" in made.faults[0].what
    assert (tmp_path / "out" / "groups" / "g03" / "facts.json").is_file()
    assert files(tmp_path / "out" / "groups" / "g02") == {"mine.txt"}


def test_data_that_break_take_the_old_report_with_them(hands, tmp_path):
    roster = write_class(tmp_path)
    run_class(roster)
    touch(tmp_path / "groups" / "g01" / "campaign.toml")
    hands.failing = {f"g01-{name}": Outcome("user", REASON) for name in (*CARDS, "closing")}
    run_class(roster)
    # An old page beside new data would be taken for theirs.
    assert files(tmp_path / "out" / "groups" / "g01") == {"provenance.json"}
    assert not (tmp_path / "key" / "groups" / "g01").exists()
    assert "g01" not in (tmp_path / "key" / "key.csv").read_text(encoding="utf-8")


def test_a_group_that_left_the_class_leaves_the_results(hands, tmp_path):
    run_class(write_class(tmp_path))
    run_class(write_class(tmp_path, ("g01", "g03")))
    for folder in ("out", "key"):
        assert {p.name for p in (tmp_path / folder / "groups").iterdir()} == {"g01", "g03"}


def test_a_fault_of_the_kit_is_told_and_kept(hands, tmp_path):
    hands.failing = {"g01-heat_leak_heater": Outcome("ours", "cell 4: KeyError: 'x'")}
    made = run_class(write_class(tmp_path))
    assert made.faults == ()
    assert len(made.broken) == 1 and made.broken[0].startswith("g01, heat_leak_heater: cell 4")
    assert (tmp_path / "key" / "broken" / "g01-heat_leak_heater" / "stderr.txt").is_file()
    assert rows(tmp_path)["g01", "heat_leak_heater"]["status"] == "fault of the kit"
    assert str(tmp_path) not in (tmp_path / "out" / "summary.csv").read_text(encoding="utf-8")


def test_no_person_is_named_anywhere(hands, tmp_path):
    hands.failing = {"g02-heat_leak_heater": Outcome("user", REASON)}
    run_class(write_class(tmp_path))
    written = [p for folder in ("out", "key") for p in (tmp_path / folder).rglob("*")]
    for path in written:
        content = path.read_bytes() if path.is_file() else b""
        for name in PEOPLE:
            for part in (name, *name.split()):
                assert part.encode() not in content, path.name


def test_other_numbers_than_the_rosters_are_flagged(hands, tmp_path):
    roster = write_class(tmp_path, more='[parameters]\nload = "1 kg"')
    run_class(roster)
    assert "its numbers are not the roster's" in rows(tmp_path)["g01", CARDS[0]]["flags"]


@pytest.mark.parametrize(("out", "key"), [("a", "a"), ("a", "a/key"), ("a/out", "a")])
def test_key_and_results_must_lie_apart(hands, tmp_path, out, key):
    with pytest.raises(UserError, match="must lie apart"):
        run_class(write_class(tmp_path), out=tmp_path / out, key=tmp_path / key)


def test_the_key_does_not_go_to_a_group(hands, tmp_path):
    with pytest.raises(UserError, match="not lie in a group's folder"):
        run_class(write_class(tmp_path), key=tmp_path / "groups" / "g02" / "key")


def test_a_foreign_folder_is_left_alone(hands, tmp_path):
    roster = write_class(tmp_path)
    (tmp_path / "key").mkdir()
    (tmp_path / "key" / "thesis.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(UserError, match="did not write"):
        run_class(roster)
    assert hands.did == [] and files(tmp_path / "key") == {"thesis.txt"}


def test_a_run_cut_off_goes_on_where_it_stopped(hands, tmp_path, monkeypatch):
    def cut_off(todo, work, progress):
        for number, ended in enumerate(hands(todo, work, progress)):
            if number == 4:
                raise KeyboardInterrupt
            yield ended

    roster = write_class(tmp_path)
    monkeypatch.setattr(batch, "_runner", lambda jobs, cluster: cut_off)
    with pytest.raises(KeyboardInterrupt):
        run_class(roster)
    hands.did.clear()
    monkeypatch.setattr(batch, "_runner", lambda jobs, cluster: hands)
    run_class(roster)
    assert hands.did == [f"{g}-{p}" for g in ("g02", "g03") for p in (*CARDS, "closing")]


def test_what_a_piece_rests_on_is_told(hands, tmp_path):
    run_class(write_class(tmp_path))
    told = json.loads(
        (tmp_path / "out" / "groups" / "g01" / "provenance.json").read_text(encoding="utf-8"))
    assert set(told["inputs"]) == {"answers.toml", "campaign.toml", "parameters.toml"}
    assert set(told["pieces"]) == {*CARDS, "closing"}
    assert told["versions"]["coldbench"] and told["settings"]["paper"] == "a4"
    assert str(tmp_path) not in json.dumps(told)
