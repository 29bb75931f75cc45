"""A unit fitted to a logged cooler: its own runs, other boxes, what is refused and said."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coldbench import draws
from coldbench.bench import Truth
from coldbench.compare.rows import all_rows
from coldbench.design.compressor_fit import fit
from coldbench.design.compressor_points import points
from coldbench.design.expected import expected
from coldbench.design.load_film import load_film
from coldbench.design.moved import hours_to_cool, in_new_box
from coldbench.design.pull_down_predicted import Contents

sys.path.insert(0, str(Path(__file__).parent))
import unit_bench as bench

COUNT = 6
DRAWN = {"coldest": "°C", "power": "W", "duty": "-", "hours": "h"}


def fitted_to(result, *left_out):
    """The unit fitted to a campaign in which some runs were not made."""
    seen = bench.without(result, *left_out)
    return fit(seen, all_rows(seen)[0], "cooler")


@pytest.fixture(scope="module")
def shown(tmp_path_factory):
    """Donors, their histories and their analysed campaigns."""
    folder = tmp_path_factory.mktemp("units")
    donors = [bench.draw_donor(number) for number in range(COUNT)]
    histories = bench.simulated(donors)
    return [(one, h, bench.logged(folder, one, h, 0.1 if one.number % 2 else 0.5))
            for one, h in zip(donors, histories, strict=True)]


def cooled_to(held):
    """Goods are not to freeze: that may take days."""
    return max(held["inside"], 2.0)


def truths(donor, histories):
    """What the unit does in the new box."""
    held = bench.steady(histories["new held"])
    return {
        "coldest": bench.steady(histories["new coldest"])["inside"], **held,
        "hours": Truth(histories["new goods"]).crossing("load", cooled_to(held)) / bench.HOUR,
    }


def predicted(donor, fitted, result, truth):
    """The same by the fit, with the new box's own heat leak."""
    inside = truth["inside"]
    unit = in_new_box(fitted.unit, "cooler")
    leak = bench.leak_at(donor.new, (inside + donor.hot) / 2)
    found = expected(unit, leak, donor.hot, inside)
    structure = donor.new.liner_heat + donor.new.foam_heat / 3 + 1200 + draws.uniform("own", 600)
    water = donor.goods.water
    contents = Contents(leak, structure, water, load_film(result, "cooler")[0] * water)
    hours = hours_to_cool(unit, contents, donor.hot, cooled_to(truth), donor.hot, "cooler")
    return {"coldest": found.coldest, "power": found.power, "duty": found.duty, "hours": hours}


def judged(shown, *left_out):
    """Truth, value, low and high of each quantity of each donor that is fitted."""
    rows = {name: [] for name in DRAWN}
    for donor, histories, result in shown:
        fitted = fitted_to(result, *left_out)
        if fitted.refused:
            continue
        truth = truths(donor, histories)
        for name, true in predicted(donor, fitted, result, truth).items():
            rows[name].append((truth[name], np.median(true), *draws.interval(true)))
    return {name: np.array(found) for name, found in rows.items()}


@pytest.mark.parametrize("left_out", [(), ("far",), ("near", "far")])
def test_a_unit_moved_into_another_box_does_what_is_predicted(shown, left_out):
    found = judged(shown, *left_out)
    assert len(found["power"]) >= COUNT - 1
    hits = np.concatenate([(r[:, 2] <= r[:, 0]) & (r[:, 0] <= r[:, 3]) for r in found.values()])
    assert hits.mean() >= 0.9
    assert np.abs(found["coldest"][:, 1] - found["coldest"][:, 0]).mean() < 1.5
    for name in ("power", "duty", "hours"):
        true, value, low, high = found[name].T
        assert np.median(np.abs(value / true - 1)) < 0.10, name
        assert np.median((high - low) / 2 / true) < 0.25, name


def test_with_one_setting_only_an_interval_says_how_little_is_known(shown):
    found = judged(shown, "cold")
    true, _, low, high = found["coldest"].T
    assert ((low <= true) & (true <= high)).mean() >= 0.9
    # No run went below the setting: how far down it would go is told by units in general.
    assert np.median(high - low) > 8.0
    true, value, low, high = found["power"].T
    assert ((low <= true) & (true <= high)).mean() >= 0.9
    assert np.median((high - low) / 2 / true) < 0.25


def test_each_run_is_held_against_the_others(shown):
    checks = [check for *_, result in shown for check in fitted_to(result).checks]
    assert len(checks) == 3 * COUNT
    assert {(check.what, check.unit) for check in checks} == {
        ("mean power", "W"), ("coldest air", "°C")}
    assert np.mean([check.agrees for check in checks]) >= 0.9
    assert np.median([abs(check.apart) for check in checks if check.unit == "W"]) < 0.08


def test_what_was_assumed_is_said(shown):
    result = shown[1][2]
    assert fitted_to(result).note == ""
    assert "how it follows the ambient is assumed" in fitted_to(result, "far").note
    near = fitted_to(result, "far", "cold")
    low, high = near.seen
    assert low > 0 and high < 15
    alone = fitted_to(result, "near", "far")
    assert "power at rest assumed" in alone.note and alone.checks == ()


def test_a_pull_down_alone_tells_the_capacity(shown):
    donor, _, result = shown[1]
    only = bench.without(result, "near", "far")
    results = {name: replace(run, steady=None) for name, run in only.results.items()}
    only = replace(only, results=results)
    fitted = fit(only, all_rows(only)[0], "cooler")
    whole = fitted_to(result)
    assert fitted.runs == ("cold",) and fitted.refused == ""
    low, high = draws.interval(fitted.unit.capacity(0.0, donor.room))
    assert low <= whole.central.capacity(0.0, donor.room) <= high
    # Below what it reached while its load was warm, less is known than with its coldest too.
    widths = [np.ptp(np.log(draws.interval(one.unit.capacity(-22.0, donor.room))))
              for one in (fitted, whole)]
    assert widths[0] > 1.5 * widths[1]


def test_a_run_of_another_machine_is_refused(shown):
    _, _, result = shown[1]
    run = result.results["near"]
    # As if the cooler had drawn half as much again on that day.
    findings = tuple(replace(f, value=1.5 * f.value, draws=1.5 * f.draws)
                     if f.finding == "mean_power" else f for f in run.findings)
    odd = replace(result, results=result.results | {"near": replace(run, findings=findings)})
    fitted = fit(odd, all_rows(result)[0], "cooler")
    assert fitted.unit is None
    assert "in near; its other runs" in fitted.refused and "not of one machine" in fitted.refused
    assert ("near",) in [check.runs for check in fitted.checks if check.misses]


def test_without_a_heat_leak_or_power_nothing_is_predicted(shown):
    _, _, result = shown[1]
    fitted = fitted_to(result, "heater")
    assert fitted.unit is None and "heat leak" in fitted.refused
    blind = replace(result, results={
        name: replace(run, findings=(), record=replace(run.record, traces={
            role: t for role, t in run.record.traces.items() if role != "power"}))
        for name, run in result.results.items()})
    fitted = fit(blind, all_rows(result)[0], "cooler")
    assert fitted.unit is None and "power" in fitted.refused


def test_a_pull_down_counts_until_its_load_may_freeze(shown):
    from coldbench.compare.leaks import leak_of

    donor, histories, result = shown[1]
    rows, _ = all_rows(result)
    found, known, at = points(result, rows, "cooler", leak_of(rows, "cooler"))
    assert at == "dc" and len(known) == 3
    cold = [p for p in found if p.runs == ("cold",) and p.name != "cold steady"]
    assert cold
    load = Truth(histories["cold"])
    first = load.crossing("load", 1.0)
    lowest = load.mean("air", first, first + 1800)
    assert all(p.inside.value > lowest - 1.0 for p in cold)
    assert all(p.duty.value == 1.0 and p.power is not None for p in cold)


def test_film_of_a_load_is_that_of_its_pull_downs(shown):
    for donor, _, result in shown[:4]:
        film, said = load_film(result, "cooler")
        true = donor.load[0].film / donor.load[0].water
        low, high = draws.interval(film)
        assert low <= true <= high and "cold" in said
        assert np.median(film) == pytest.approx(true, rel=0.15)
        film, said = load_film(bench.without(result, "near", "cold"), "cooler")
        assert "assumed" in said and np.ptp(draws.interval(film)) > 0.4
