"""Next steps for the demo's self-built box, and the three to begin with."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench import draws
from coldbench.design.steps import Step, judged, ranked, three, together
from coldbench.report.design_book import open_design


@pytest.fixture(scope="module")
def design():
    return open_design("demo")


def by_kind(design):
    return {one.kind: one for one in reversed(design.steps)}


def test_each_kind_of_step_is_proposed(design):
    assert {one.kind for one in design.steps} == {"drive", "walls", "hot side", "seal", "modules"}


def test_lowering_the_volts_saves_and_gets_no_colder(design):
    drive = by_kind(design)["drive"]
    assert draws.interval(drive.saved)[0] > 0
    assert drive.colder == pytest.approx(0.0)


def test_a_step_is_the_difference_of_two_machines_at_the_footing(design):
    """By the unit's own functions, without the step's arithmetic."""
    present, (ambient, inside) = design.present, design.wishes.footing
    walls = present.leak.at_temperatures(inside, ambient)[1]
    hot = by_kind(design)["hot side"]
    unit, leak = hot.change(present.unit, walls)
    assert leak is walls
    assert np.median(unit.r_hot) == pytest.approx(0.11, rel=0.02)
    heat = walls * (ambient - inside)
    before, after = (one.hold(inside, ambient, heat).power for one in (present.unit, unit))
    assert hot.saved == pytest.approx(24 * (before - after))
    assert 1.0 < np.median(hot.colder) < 4.0


def test_four_modules_in_one_string_are_at_half_their_volts(design):
    rewired = next(one for one in design.steps if "one string of 4" in one.what)
    unit, _ = rewired.change(design.present.unit, design.present.leak.draws)
    lowered = replace(design.present.unit, volts=design.present.unit.volts / 2)
    assert unit.coldest(0.4, 25.0) == pytest.approx(lowered.coldest(0.4, 25.0))
    assert draws.interval(rewired.colder)[1] < 0  # it no longer gets as cold
    assert rewired.price == 0


def test_what_costs_nothing_and_surely_gains_comes_first(design):
    free = [replace(one, price=0.0) if one.kind == "seal" else one for one in design.steps]
    order = ranked(free, design.wishes, design.present)
    assert order[0].kind == "seal"
    assert order[0].each(order[0].saved) == np.inf


def test_more_modules_on_the_same_plates_make_it_warmer_and_thirstier(design):
    """As the table of modules in a box has it: more of them on a hot side they share."""
    more = by_kind(design)["modules"]
    assert draws.interval(more.colder)[1] < 0
    assert draws.interval(more.saved)[1] < 0
    assert not more.sure


def test_a_new_seal_gains_and_how_much_is_hardly_known(design):
    seal = by_kind(design)["seal"]
    low, high = draws.interval(seal.saved)
    assert 0 < low
    assert high > 10 * low
    assert seal.doubt


def test_the_first_three_are_of_different_kinds_and_surely_gain(design):
    first = design.first
    assert len(first) == len({one.kind for one in first}) == 3
    assert all(one.sure and one.fits for one in first)
    priced = [one for one in design.steps if one.sure and one.each(one.saved) is not None]
    assert first[0].each(first[0].saved) == max(one.each(one.saved) for one in priced)
    assert max(one.each(one.colder) for one in first) == max(one.each(one.colder) for one in priced)


def test_together_they_gain_more_than_the_best_and_not_their_sum(design):
    """A regulated machine gains more from less heat than one that is switched."""
    first, all_of_them = design.first, design.together
    saved = [np.median(one.saved) for one in first]
    assert np.median(all_of_them.saved) > max(saved)
    assert abs(np.median(all_of_them.saved) / sum(saved) - 1) > 0.05
    assert all_of_them.price == pytest.approx(sum(one.price for one in first))


def test_a_board_is_priced_by_the_area_outside(design):
    walls = by_kind(design)["walls"]
    assert 8 < walls.price < 20
    assert walls.colder.min() > 0


def test_without_a_price_a_step_is_ranked_after_those_with_one(design):
    free = [replace(one, price=None) if one.kind == "drive" else one for one in design.steps]
    order = ranked(free, design.wishes, design.present)
    assert [one.kind for one in order][0] != "drive"
    assert order[0].price is not None


def test_a_step_that_no_longer_fits_is_no_first_one(design):
    tight = [replace(one, fits=False) if one.kind == "walls" else one for one in design.steps]
    assert "walls" not in {one.kind for one in three(tight)}


def test_a_box_that_cannot_hold_has_no_energy_to_save(design):
    wishes = replace(design.wishes, footing=(45.0, -5.0))
    same = judged(Step("nothing", "none", lambda unit, leak: (unit, leak)), wishes, design.present)
    assert np.isnan(same.saved).all()
    assert not same.sure
    assert same.holds == 0


def test_nothing_to_do_gives_nothing_to_begin_with(design):
    assert three([]) == []
    alone = together(design.first[:1], design.wishes, design.present)
    assert alone.saved == pytest.approx(design.first[0].saved)
