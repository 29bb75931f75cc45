"""answers.toml: read, told where it is wrong, and written without touching the rest."""

from __future__ import annotations

import tomllib

import pytest

from coldbench.course.answers import keep_answers, read_answers
from coldbench.course.cards import card_named
from coldbench.errors import UserError

CARD = card_named("heat_leak_heater")
WRITTEN = """\
# ours
[heat_leak_heater]
heater_power = "9.1 W"
difference = "20.1 K ± 0.3 K"
heat_leak = "0.45"            # forgot the unit
wall_temperature = ""
note_1 = "it settled"

[duty_and_meters]
duty = "25 %"
"""


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "answers.toml"
    path.write_text(WRITTEN, encoding="utf-8", newline="\n")
    return path


def test_answers_are_read_with_their_units(path):
    numbers = read_answers(path, CARD).numbers
    assert numbers["heater_power"].quantity.value == 9.1
    assert numbers["difference"].quantity.limit == 0.3
    assert numbers["heat_leak"].quantity is None
    assert "a unit is missing" in numbers["heat_leak"].wrong
    assert "W/K" in numbers["heat_leak"].do
    assert numbers["wall_temperature"].text == numbers["conductivity"].text == ""
    assert read_answers(path, CARD).notes == {"note_1": "it settled"}


def test_another_cards_answers_are_its_own(path):
    assert read_answers(path, card_named("duty_and_meters")).numbers["duty"].text == "25 %"


def test_no_file_answers_nothing(tmp_path):
    found = read_answers(tmp_path / "answers.toml", CARD)
    assert set(found.numbers) == {one.name for one in CARD.asked}
    assert not any(one.text for one in found.numbers.values())


@pytest.mark.parametrize(("text", "told"), [
    ('[heat_leak_heater]\nheat_leek = "1 W/K"\n', r"answers.toml:2.*\n.*heat_leek(.|\n)*heat_leak"),
    ('[heat_leak_heatre]\n', r"answers.toml:1.*no lab card(.|\n)*\[heat_leak_heater\]"),
    ('[heat_leak_heater]\nheat_leak = 1 W/K\n', r"answers.toml:2(.|\n)*put the value in quotes"),
    ('heat_leak_heater = 3\n', r"answers.toml:1(.|\n)*write \[heat_leak_heater\]"),
])  # fmt: skip
def test_what_cannot_be_read_is_told_with_its_line(tmp_path, text, told):
    path = tmp_path / "answers.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UserError, match=told):
        read_answers(path, CARD)


def test_windows_editors_are_forgiven(tmp_path):
    path = tmp_path / "answers.toml"
    path.write_bytes(b"\xef\xbb\xbf" + WRITTEN.replace("\n", "\r\n").encode())
    assert read_answers(path, CARD).numbers["heater_power"].quantity.value == 9.1
    path.write_bytes(WRITTEN.replace("ours", "unsere für °C").encode("cp1252"))
    with pytest.raises(UserError, match="UTF-8"):
        read_answers(path, CARD)


def test_typed_answers_are_kept_and_the_rest_stays(path):
    keep_answers(path, CARD, {"heat_leak": "0.45 W/K", "conductivity": '0.03 "W"/(m·K)'})
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# ours\n")
    before, after = tomllib.loads(WRITTEN), tomllib.loads(text)
    before["heat_leak_heater"] |= {"heat_leak": "0.45 W/K", "conductivity": '0.03 "W"/(m·K)'}
    assert after == before


def test_a_missing_file_and_a_missing_table_are_made(tmp_path, path):
    keep_answers(tmp_path / "new.toml", CARD, {"heat_leak": "1 W/K"})
    keep_answers(path, card_named("heat_leak_warm_up"), {"load_heat": "80 kJ"})
    assert tomllib.loads((tmp_path / "new.toml").read_text("utf-8")) == {
        "heat_leak_heater": {"heat_leak": "1 W/K"}}
    assert tomllib.loads(path.read_text("utf-8"))["heat_leak_warm_up"] == {"load_heat": "80 kJ"}


@pytest.mark.parametrize("text", [
    '[heat_leak_heater]\nheat_leak = """\n1 W/K\n"""\n',
    'heat_leak_heater = { heat_leak = "1 W/K" }\n',
])
def test_what_cannot_be_changed_in_place_is_left_alone(tmp_path, text):
    path = tmp_path / "answers.toml"
    path.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="a line of its own"):
        keep_answers(path, CARD, {"heat_leak": "2 W/K"})
    assert path.read_text("utf-8") == text
