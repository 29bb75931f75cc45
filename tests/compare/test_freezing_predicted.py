"""Predicted freezing beside the measured one, and ice by heat balance, on the demo's freeze run."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coldbench.analysis.campaign import analyse_campaign
from coldbench.compare.freezing_beside import beside_measured
from coldbench.compare.freezing_predicted import _shape, predicted_freezing
from coldbench.compare.ice_balance import ice_by_balance
from coldbench.compare.rows import all_rows
from coldbench.physics.freezing import WATER, film_through_wall
from coldbench.physics.freezing_bodies import freezing_times
from coldbench.sheets import read_campaign
from coldbench.sheets.run import LoadSheet


@pytest.fixture(scope="module")
def result(clone):
    return analyse_campaign(read_campaign(clone / "templates" / "campaign-demo"))


@pytest.fixture(scope="module")
def rows(result):
    return all_rows(result)[0]


def only(rows, finding, at):
    return next(f for f in rows if f.finding == finding and f.at == at)


def test_the_measured_times_lie_in_what_film_and_shape_allow(rows):
    plateau, whole = only(rows, "plateau_time", ""), only(rows, "freeze_time", "")
    plank = only(rows, "freeze_time_predicted", "plateau, Plank")
    pham = only(rows, "freeze_time_predicted", "start to end, Pham")
    assert plank.low < plateau.value < plank.high
    assert pham.low < whole.value < pham.high
    assert plank.value < pham.value and plank.basis == "modelled"


def test_both_laws_stand_beside_the_demos_run(rows):
    assert [(b.law, b.verdict) for b in beside_measured(rows)] == [
        ("Plank", "agree"), ("Pham", "agree")]


def test_repeats_of_a_freeze_run_make_one_row(result, rows):
    run, sheet = result.results["chest-freeze"], result.campaign.runs["chest-freeze"]
    again = sheet.model_copy(update={"repeat_of": "chest-freeze"})
    record = replace(run.record, run="again")
    campaign = replace(result.campaign, runs={**result.campaign.runs, "again": again})
    both = replace(result, campaign=campaign,
                   results={**result.results, "again": replace(run, record=record)})
    found = [*predicted_freezing(both, rows), *ice_by_balance(both, rows)]
    assert [f.at for f in found] == ["plateau, Plank", "start to end, Pham", "heat balance"]
    assert all(f.runs == ("chest-freeze", "again") for f in found)


def test_a_stated_shape_gives_the_lengths_and_a_narrower_interval(result, rows):
    told = {"material": "PET", "mass": "20 g", "shape": "bottle", "diameter": "60 mm"}
    run = result.campaign.runs["chest-freeze"]
    stated = LoadSheet.model_validate({"count": 2, "water": "250 mL", "container": told})
    sheet = run.model_copy(update={"load": [stated, *run.load[1:]]})
    runs = {**result.campaign.runs, "chest-freeze": sheet}
    found = predicted_freezing(replace(result, campaign=replace(result.campaign, runs=runs)), rows)
    plank = only(found, "freeze_time_predicted", "plateau, Plank")
    assumed = only(rows, "freeze_time_predicted", "plateau, Plank")
    assert plank.high / plank.low < assumed.high / assumed.low
    assert "stated diameter" in plank.note


@pytest.mark.parametrize(("container", "hours"), [
    ({"shape": "slab", "height": "50 mm"}, "slab"),
    ({"shape": "brick", "width": "60 mm", "depth": "60 mm"}, "brick"),
    ({"shape": "can", "diameter": "66 mm"}, "can"),
])
def test_bodies_are_those_of_the_physics(container, hours):
    load = LoadSheet.model_validate({
        "count": 1, "water": "330 mL ± 0.1 mL",
        "container": {"material": "aluminium", "mass": "13 g", **container}})
    shape = _shape("run", load)
    film = film_through_wall(9.5, 0.0001, 200.0)
    middle = tuple(float(one.mean()) for one in shape.lengths)
    assert shape.body == hours
    alone = freezing_times(shape.body, middle, film, WATER, 20.0, -5.0, -20.0)
    drawn = freezing_times(shape.body, shape.lengths, film, WATER, 20.0, -5.0, -20.0)
    assert float(drawn.pham.mean()) == pytest.approx(float(alone.pham), rel=0.02)


def test_air_above_freezing_predicts_nothing(result, rows):
    run = result.results["chest-freeze"]
    air = run.record.trace("air")
    warm = replace(run.record, traces={**run.record.traces, "air": replace(air, y=air.y + 30)})
    results = {**result.results, "chest-freeze": replace(run, record=warm)}
    found = predicted_freezing(replace(result, results=results), rows)
    assert {f.basis for f in found} == {"not measured"}
    assert all("air below freezing" in f.note for f in found)


def test_ice_by_balance_holds_what_was_weighed(rows):
    weighed, balance = (only(rows, "ice_fraction", at) for at in ("poured off", "heat balance"))
    assert balance.low <= weighed.value <= balance.high
    assert balance.basis == "modelled" and balance.high - balance.low > 0.1


def test_without_capacities_on_both_sides_there_is_no_balance(result, rows):
    bare = [f for f in rows if f.finding != "running_capacity"]
    (row,) = ice_by_balance(result, bare)
    assert row.basis == "not measured" and row.note.startswith("needs running capacities")
