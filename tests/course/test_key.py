"""The key: verdicts, bands, points, slips carried forward, and the files."""

from __future__ import annotations

import csv
import sys
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from sample_group import write_group

from coldbench.course.answers import read_answers
from coldbench.course.card import Asked, Expected
from coldbench.course.cards import card_named
from coldbench.course.key import (
    CARRIED,
    NONE,
    OUTSIDE,
    RIGHT,
    UNIT,
    UNKNOWN,
    band_of,
    marked,
)
from coldbench.course.key_pages import CSV, write_key
from coldbench.course.work import Work, open_card
from coldbench.errors import UserError

# Expected: 9.02 W, 20.13 K, 0.448 W/K, 34.1 °C, 0.0257 W/(m·K); the power was read wrong.
SLIP = """\
[heat_leak_heater]
heater_power = "12 W"
difference = "20.1 K"
change = "0.1 J"
heat_leak = "0.597 W/K"
wall_temperature = "33.8 °C"
conductivity = "0.06 W/(m·K)"
note_1 = "Both probes were checked."
"""


@pytest.fixture(scope="module")
def work(tmp_path_factory) -> Work:
    """A heater card on which nothing was answered."""
    return open_card("heat_leak_heater", str(write_group(tmp_path_factory.mktemp("g07"))))


@pytest.fixture
def answering(work, tmp_path):
    """A function: the text of answers.toml to the work with it."""

    def answer(text: str, card: str = "heat_leak_heater") -> Work:
        path, known = tmp_path / "answers.toml", card_named(card)
        path.write_text(text, encoding="utf-8")
        return replace(work, card=known, answers=read_answers(path, known))

    return answer


def verdicts(work: Work) -> dict[str, str]:
    return {one.asked.name: one.verdict for one in marked(work)}


def test_each_verdict(answering):
    assert verdicts(answering(SLIP)) == {
        "heater_power": OUTSIDE, "difference": RIGHT, "change": UNIT, "heat_leak": CARRIED,
        "leak_uncertainty": NONE, "wall_temperature": RIGHT, "conductivity": OUTSIDE,
    }


def test_a_slip_costs_its_own_step_only(answering):
    points = {one.asked.name: (one.points, one.most) for one in marked(answering(SLIP))}
    assert points["heat_leak"] == points["difference"] == (5.0, 5.0)
    assert points["heater_power"] == (0.0, 5.0)
    assert points["leak_uncertainty"] == (0.0, 15.0)


def test_what_is_carried_is_worked_out_from_the_answers(answering):
    found = {one.asked.name: one for one in marked(answering(SLIP))}
    assert found["heat_leak"].carried.value == pytest.approx(12 / 20.1)
    assert found["heat_leak"].band == pytest.approx((0.97 * 12 / 20.1, 1.03 * 12 / 20.1), rel=0.05)
    # Its own step: heat leak × thickness / mean of the areas, from the heat leak as answered.
    assert found["conductivity"].carried.value == pytest.approx(
        0.597 / found["heat_leak"].expected.value * found["conductivity"].expected.value)


def test_a_slip_made_good_again_is_not_carried(answering):
    """Right by the data counts as right, whatever the step before it was."""
    text = '[heat_leak_heater]\nheater_power = "12 W"\nheat_leak = "0.449 W/K"\n'
    assert verdicts(answering(text))["heat_leak"] == RIGHT


def test_nothing_answered_has_no_points(work):
    found = marked(work)
    assert {one.verdict for one in found} == {NONE}
    assert sum(one.points for one in found) == 0
    assert sum(one.most for one in found) == pytest.approx(20 + 10 + 15 + 10)


@pytest.mark.parametrize("card", [
    "heat_leak_heater", "heat_leak_warm_up", "pull_down_balance", "duty_and_meters"])
def test_the_kits_own_numbers_are_all_right(answering, work, card):
    own = replace(work, card=card_named(card))
    own = own.card.solve(own, {})
    lines = [f'{one.name} = "{own[one.name].value:.4g} {one.unit.strip("-")}"'
             for one in card_named(card).asked]
    found = marked(answering("\n".join([f"[{card}]", *lines]), card))
    assert {one.verdict for one in found} == {RIGHT}
    assert all(one.points == one.most for one in found)


@pytest.mark.parametrize("card", [
    "heat_leak_heater", "heat_leak_warm_up", "pull_down_balance", "duty_and_meters"])
def test_twice_the_kits_own_numbers_are_all_wrong_or_carried(answering, work, card):
    own = replace(work, card=card_named(card))
    own = own.card.solve(own, {})
    lines = [f'{one.name} = "{2.3 * own[one.name].value + 1:.4g} {one.unit.strip("-")}"'
             for one in card_named(card).asked]
    found = marked(answering("\n".join([f"[{card}]", *lines]), card))
    assert {one.verdict for one in found} <= {OUTSIDE, CARRIED}


def test_an_answer_that_nothing_can_be_divided_by(answering):
    text = '[heat_leak_heater]\ndifference = "0 K"\nheat_leak = "1 W/K"\n'
    assert verdicts(answering(text))["heat_leak"] == OUTSIDE


def test_points_of_what_cannot_be_marked_go_to_the_others(tmp_path):
    folder = write_group(tmp_path / "g")
    path = folder / "runs" / "cold.toml"
    head, *_, log = path.read_text("utf-8").partition("\n[[reading]]")
    path.write_text(head + log[log.index("\n[[log]]"):], encoding="utf-8")
    found = {one.asked.name: one for one in marked(open_card("duty_and_meters", str(folder)))}
    assert found["counter_energy"].verdict == UNKNOWN
    assert found["counter_energy"].most == 0
    assert found["duty"].most == pytest.approx(20 / 5)


def asked(reading: str, kind: str = "heat_leak", unit: str = "W/K") -> Asked:
    return Asked("x", "", kind, unit, 0, 99, "", reading=reading)


@pytest.mark.parametrize(("reading", "expected", "band"), [
    ("table", Expected(10.0), (9.7, 10.3)),
    ("chart", Expected(10.0), (9.0, 11.0)),
    ("measured", Expected(10.0, 9.0, 10.5), (9.0, 10.5)),
    ("measured", Expected(10.0, 9.9, 10.1), (9.7, 10.3)),
    ("measured", Expected(10.0), (9.5, 10.5)),
    ("table", Expected(-10.0), (-10.3, -9.7)),
])  # fmt: skip
def test_bands(reading, expected, band):
    assert band_of(asked(reading), expected) == pytest.approx(band)


def test_the_band_of_a_temperature_is_in_kelvin():
    one = asked("measured", "temperature", "°C")
    assert band_of(one, Expected(0.1)) == pytest.approx((-0.4, 0.6))


def test_the_files_of_the_key(answering, tmp_path, read_key):
    made = write_key(tmp_path / "key", [answering(SLIP)])
    assert [path.name for path in made] == [CSV, "g07.html", "g07.pdf"]
    rows = {row["asked"]: row for row in read_key(made[0])}
    assert rows["heat_leak"]["verdict"] == CARRIED
    assert float(rows["heat_leak"]["expected"]) == pytest.approx(0.448, abs=0.001)
    assert float(rows["heat_leak"]["carried"]) == pytest.approx(12 / 20.1, rel=1e-5)
    page = made[1].read_text("utf-8")
    assert "not for students" in page
    assert "Both probes were checked." in page
    assert "right from an earlier slip" in page


def test_a_card_that_cannot_be_marked_does_not_stop_the_others(tmp_path, read_key):
    folder = write_group(tmp_path / "g")
    path = folder / "runs" / "heater.toml"
    text = path.read_text("utf-8")
    path.write_text(text[:text.index("[[reading]]")] + text[text.index("[[log]]"):], "utf-8")
    heater, warm_up = (open_card(name, str(folder))
                       for name in ("heat_leak_heater", "heat_leak_warm_up"))
    made = write_key(tmp_path / "key", [heater, warm_up], formats=["html"])
    rows = read_key(made[0])
    told = {row["card"]: row["note"] for row in rows if row["verdict"] == UNKNOWN}
    assert "the heater's power was not read" in told["heat_leak_heater"]
    assert any(row["expected"] for row in rows if row["card"] == "heat_leak_warm_up")
    assert "cannot be marked" in made[1].read_text("utf-8")
    with pytest.raises(UserError, match="the heater's power was not read"):
        write_key(tmp_path / "other", [heater])
    assert not (tmp_path / "other").exists()


@pytest.fixture
def read_key():
    """A function: key.csv to its rows."""

    def read(path: Path) -> list[dict[str, str]]:
        with path.open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    return read
