"""The key of a whole class: one file, and who stands apart."""

from __future__ import annotations

import csv

import pytest

from coldbench.course.deliver import Places
from coldbench.course.key_class import marks, outliers, scores, write_class_key
from coldbench.course.roster import Group, Roster


def key_row(group: str, expected: str, number: str = "") -> dict[str, str]:
    return {"group": group, "card": "c", "asked": "leak", "title": "Leak", "unit": "W/K",
            "expected": expected, "number": number, "points": "2.5", "of": "5.0"}


def test_scores_by_hand():
    # Median 4, distances 3 2 1 0 1 2 26, their median 2.
    found = scores(dict(zip("abcdefg", (1, 2, 3, 4, 5, 6, 30), strict=True)))
    assert found["g"] == pytest.approx(0.6745 * 26 / 2) and found["d"] == 0
    assert found["a"] == pytest.approx(-0.6745 * 3 / 2)


@pytest.mark.parametrize("values", [(1, 2, 3, 400), (1, 1, 1, 1, 9)])
def test_too_few_or_all_alike_tell_nothing(values):
    assert scores({f"{n}": value for n, value in enumerate(values)}) == {}


def test_who_stands_apart_in_data_and_in_answers():
    rows = [key_row(f"g{n}", f"{0.40 + n / 100}", f"{0.41 + n / 100}") for n in range(8)]
    assert list(outliers(rows)) == []
    rows[2]["expected"], rows[5]["number"], rows[6]["number"] = "0.9", "4.5", ""
    assert [(one["group"], one["what"], one["value"]) for one in outliers(rows)] == [
        ("g2", "its own data", "0.9"), ("g5", "its answer", "4.5")]


def test_one_file_in_the_rosters_order(tmp_path):
    places = Places(tmp_path / "out", tmp_path / "key")
    groups = tuple(Group(name, tmp_path / name) for name in ("g2", "g1", "g3"))
    for name, value in (("g1", "0.5"), ("g2", "0.4")):
        home = places.key / "groups" / name
        home.mkdir(parents=True)
        with (home / "key.csv").open("w", encoding="utf-8", newline="") as text:
            table = csv.DictWriter(text, key_row("", ""))
            table.writeheader()
            table.writerow(key_row(name, value))
    key, _, apart = write_class_key(Roster(tmp_path / "r", "", 1, (), groups), places)
    rows = list(csv.DictReader(key.read_text(encoding="utf-8").splitlines()))
    assert [(one["group"], one["expected"]) for one in rows] == [("g2", "0.4"), ("g1", "0.5")]
    assert apart.read_text(encoding="utf-8").splitlines() == [
        "card,asked,title,unit,group,what,value,middle,score"]


def test_points_of_a_group_are_added_card_by_card():
    rows = [key_row("g1", "0.5"), key_row("g1", "0.6"), key_row("g2", "0.5"),
            key_row("g1", "0.5") | {"card": "d", "points": "", "of": "0.0"}]
    assert [tuple(one.values()) for one in marks(rows)] == [
        ("g1", "c", "5.0", "10.0"), ("g2", "c", "2.5", "5.0"), ("g1", "d", "0.0", "0.0")]
