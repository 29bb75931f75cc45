"""What every card has to keep to; steps that carry answers forward."""

from __future__ import annotations

import json
import re

import nbformat
import numpy as np
import pytest

from coldbench.course.card import RUBRIC, Asked, Steps, with_draws
from coldbench.course.cards import NAMES, card_named
from coldbench.course.questions import BANK, question_for
from coldbench.errors import UserError
from coldbench.quantities import CANONICAL, KINDS
from coldbench.quantities.units import factors
from coldbench.report.notebook_params import check_parameters

CARDS = pytest.mark.parametrize("name", NAMES)


def test_the_rubric_has_a_hundred_points():
    assert sum(RUBRIC.values()) == 100


@CARDS
def test_a_card_is_whole(name, clone):
    card = card_named(name)
    assert card.name == name
    assert card.title and card.safety and card.questions and card.runs
    assert (clone / "notebooks" / "labs" / f"{name}.ipynb").is_file()
    guide = card.guide
    assert guide.usual and guide.slips and guide.plan and guide.shopping


@CARDS
def test_what_a_card_asks_can_be_answered_and_marked(name):
    card, seen = card_named(name), set()
    for one in card.asked:
        assert one.name not in seen
        assert set(one.needs) <= seen, f"{one.name} builds on what comes later"
        seen.add(one.name)
        assert one.kind in KINDS
        assert one.least < one.most
        assert one.part in RUBRIC
        assert one.title and one.formula
        if one.unit not in ("", "-"):
            assert factors(one.unit, one.kind) is not None, f"{one.unit} is no {one.kind}"
        else:
            assert CANONICAL[one.kind] == one.unit
    assert set(card.guide.usual) <= seen


@CARDS
def test_a_cards_notebook_asks_for_each_number_once(name, clone):
    """Each number is typed in one cell, and its state is shown below it."""
    notebook = json.loads((clone / "notebooks" / "labs" / f"{name}.ipynb").read_text("utf-8"))
    cells = ["".join(c["source"]) for c in notebook["cells"] if c["cell_type"] == "code"]
    for one in card_named(name).asked:
        typed = [cell for cell in cells if re.search(rf'\b{one.name}=""', cell)]
        assert len(typed) == 1
        assert f'"{one.name}"' in typed[0]


@CARDS
def test_the_batch_can_give_its_notebook_what_it_asks_for(name, clone):
    path = clone / "notebooks" / "labs" / f"{name}.ipynb"
    check_parameters(path, ["campaign", "answers", "group", "out", "paper", "units"])
    nbformat.validate(nbformat.read(path, as_version=4))


def test_an_unknown_card_is_told_with_the_nearest():
    with pytest.raises(UserError, match="heat_leak_heater"):
        card_named("heat_leak_heatre")


def test_a_step_hands_on_the_kits_own_number_with_its_draws():
    steps = Steps({})
    heat = steps.add("heat", with_draws(10.0, np.linspace(9, 11, 4000)))
    steps.add("half", heat / 2)
    assert steps.expected["half"].value == 5
    assert steps.expected["half"].low == pytest.approx(4.525, abs=0.01)
    assert steps.expected["half"].high == pytest.approx(5.475, abs=0.01)


def test_a_step_hands_on_what_was_answered():
    steps = Steps({"heat": 30.0})
    steps.add("half", steps.add("heat", with_draws(10.0, None)) / 2)
    assert steps.expected["heat"].value == 10
    assert steps.expected["half"].value == 15


def test_two_right_ways_make_the_interval_wider():
    steps = Steps({})
    one, other = np.r_[10.0, np.full(4000, 10.0)], np.r_[12.0, np.full(4000, 12.0)]
    steps.add("leak", one, also=other)
    found = steps.expected["leak"]
    assert (found.value, found.low, found.high) == (10.0, 10.0, 12.0)


def test_what_is_not_known_is_not_expected():
    steps = Steps({})
    steps.add("cop", steps.add("leak", np.nan) * 2)
    assert steps.expected == {}


def test_units_other_than_the_kept_one():
    assert Asked("t", "", "duration", "h", 0, 9, "").in_unit(5400.0) == pytest.approx(1.5)
    assert Asked("t", "", "temperature", "°F", 0, 9, "").in_unit(20.0) == pytest.approx(68)


def test_a_question_is_the_groups_own_and_stays():
    card = card_named("heat_leak_heater")
    groups = [f"g{n:02d}" for n in range(30)]
    asked = {group: question_for(card, group, "11") for group in groups}
    assert asked == {group: question_for(card, group, "11") for group in reversed(groups)}
    assert len(set(asked.values())) == len(card.questions)
    assert asked != {group: question_for(card, group, "12") for group in groups}


def test_the_bank_has_twenty_questions():
    assert len(set(BANK.values())) == 20
