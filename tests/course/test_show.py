"""What a student is shown: units and magnitudes are judged, answers are not; data as read."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from sample_group import write_group

from coldbench.course import guide, show
from coldbench.course.answers import answer_of
from coldbench.course.cards import NAMES, card_named
from coldbench.course.work import Work, open_card


@pytest.fixture(scope="module")
def work(tmp_path_factory) -> Work:
    return open_card("heat_leak_heater", str(write_group(tmp_path_factory.mktemp("g07"))))


def answering(work: Work, **texts: str) -> Work:
    numbers = {name: answer_of(work.card.named(name), text) for name, text in texts.items()}
    answers = replace(work.answers, numbers={**work.answers.numbers, **numbers})
    return replace(work, answers=answers)


def plain(items: list) -> str:
    return "\n".join(item.plain() for item in items)


@pytest.mark.parametrize(("text", "told"), [
    ("", show.OPEN), ("0.45 W/K", show.FITS), ("0.9 W/K", show.FITS),
    ("45 W/K", show.FAR), ("0.45 W", "found a power, needs a heat leak"),
    ("0.45", "a unit is missing"), ("about half", "this is not a heat leak"),
])  # fmt: skip
def test_unit_and_magnitude_are_judged_and_nothing_else(work, text, told):
    asked = work.card.named("heat_leak")
    assert show.verdict(answering(work, heat_leak=text), asked).text.startswith(told)


def test_right_and_plausibly_wrong_look_the_same(work):
    right, wrong = (answering(work, heat_leak=text) for text in ("0.448 W/K", "0.9 W/K"))
    shown = [plain(show.answered(one)).replace(text, "")
             for one, text in ((right, "0.448 W/K"), (wrong, "0.9 W/K"))]
    assert shown[0].replace(" ", "") == shown[1].replace(" ", "")


def test_steps_say_what_they_build_on(work):
    shown = plain(show.steps(work, "heat_leak"))
    assert "builds on 1, 2" in shown
    assert "0.05 to 5 W/K" in shown


def test_all_answers_are_counted(work):
    assert "7 of 7 answers are open" in plain(show.answered(work))
    texts = {one.name: f"{one.least} {one.unit}" for one in work.card.asked}
    assert "Nothing is open" in plain(show.answered(answering(work, **texts)))


def test_the_data_sheet_holds_what_was_written_down(work):
    shown = plain(show.data_sheet(work))
    for text in ("6 °C", "PUR, 35 mm", "polypropylene 0.9 kg", "12.04 V", "0.748 A", "0.5 %",
                 "all means", "2031-09-01 15:46"):
        assert text in shown
    assert "meter" not in shown, "an instrument that the run did not use"


def test_readings_stand_as_they_were_logged(work):
    (table,) = show.readings(work)
    shown = table.plain()
    assert "44.14" in shown  # 24 + 20.137, where it has settled
    assert "0.50" in shown and "10.00" in shown


def test_a_pull_down_is_listed_as_far_as_it_matters(work):
    pull_down = replace(work, card=card_named("pull_down_balance"))
    (table,) = show.readings(pull_down)
    hours = [float(row[0]) for row in table.rows]
    assert max(hours) <= 8 / 2 + 0.5  # the table is in two halves
    assert "8.00" in table.plain() and "10.00" not in table.plain()


def test_there_is_room_to_sign(work):
    caution, *lines = show.safety(work)
    assert "extra-low voltage" in caution.plain()
    assert plain(lines).count("Initials") == plain(lines).count("Staff") == show.SIGNERS


def test_the_banner_of_invented_data_is_on_every_page(work):
    assert show.head(work).banner == "Invented for a test."


@pytest.mark.parametrize("name", NAMES)
def test_the_page_for_whoever_teaches(name):
    card = guide.open_guide(name)
    shown = plain([*guide.expected(card), *guide.slips(card), *guide.plan(card),
                   *guide.shopping(card), *guide.questions(card), *guide.rubric(card)])
    for text in (*card.guide.usual.values(), *card.guide.slips, *card.guide.shopping,
                 *card.questions):
        assert text.split()[-1] in shown
    assert "not for students" in guide.head(card).banner
