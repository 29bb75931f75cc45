"""A design built after a measured cooler: its prediction beside its own runs."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coldbench import draws
from coldbench.design import thermoelectric_fit
from coldbench.design.as_stated import stated_machine, stated_walls
from coldbench.design.beside import beside
from coldbench.design.beside_row import row_of
from coldbench.report.book import Book
from coldbench.report.designs.beside import beside as shown
from coldbench.sheets.campaign import HotSideSheet

sys.path.insert(0, str(Path(__file__).parent))

import built_twice

UNIT, MODULES = built_twice.UNIT, built_twice.MODULES
THIRSTY = replace(UNIT, power=(*(1.15 * c for c in UNIT.power[:3]), UNIT.power[3]))
BETTER = replace(MODULES, hot_resistance=0.10)


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    """Campaigns with their rows: as designed, and with one part that came out otherwise."""
    campaigns = [
        built_twice.campaign(MODULES, MODULES, 6.0), built_twice.campaign(MODULES, BETTER, 6.0),
        built_twice.campaign(UNIT, UNIT, -5.0), built_twice.campaign(UNIT, THIRSTY, -5.0)]
    names = ("modules", "hot side", "unit", "thirsty")
    made = built_twice.analysed(tmp_path_factory.mktemp("twice"), campaigns)
    return dict(zip(names, made, strict=True))


def one(found, name, finding, at):
    told = beside(*found[name], "second")
    return next(row for row in told.rows if row.finding == finding and row.at.startswith(at))


@pytest.mark.parametrize("name", ["modules", "unit"])
def test_what_was_built_as_designed_agrees(found, name):
    told = beside(*found[name], "second")
    assert not told.lacking
    kinds = {(row.finding, row.at.split(",")[0]) for row in told.rows}
    assert {("heat_leak", "walls heater"), ("coldest_air", "full drive"), ("duty", "held"),
            ("daily_energy", "held"), ("pull_down_time", "load<=10 °C")} <= kinds
    assert {row.agrees for row in told.rows} == {"yes"}


def test_terms_and_what_remains_make_the_difference(found):
    for name in found:
        for row in beside(*found[name], "second").rows:
            if row.remains is not None:
                total = sum(term.told.value for term in row.terms) + row.remains.value
                # Terms whose interval is nothing are left out.
                assert total == pytest.approx(row.apart.value, abs=1e-6 * abs(row.measured.value))


def test_a_better_hot_side_is_found_to_make_the_difference(found):
    row = one(found, "hot side", "coldest_air", "full drive")
    assert row.agrees == "no"
    assert row.apart.value == pytest.approx(2.4, abs=0.6)  # predicted warmer than it is
    largest = max(row.terms, key=lambda term: abs(term.told.value))
    assert largest.what == "hot side"
    assert largest.told.low > 0
    assert abs(row.remains.value) < 0.2 * abs(row.apart.value)


def test_a_thirstier_unit_is_told_from_its_cold(found):
    row = one(found, "thirsty", "daily_energy", "full drive")
    assert row.agrees == "no"
    surely = [t.what for t in row.terms if not t.told.low <= 0 <= t.told.high]
    assert surely == ["power while it runs"]
    assert one(found, "thirsty", "coldest_air", "full drive").agrees == "yes"


def test_without_the_first_ones_machine_only_walls_are_predicted(found):
    result, rows = found["unit"]
    runs = {name: run for name, run in result.results.items() if not name.startswith("first-c")
            and name != "first-held"}
    told = beside(replace(result, results=runs), rows, "second")
    assert {row.finding for row in told.rows} == {"heat_leak"}
    assert any("Box of 16 L has no run" in one for one in told.lacking)


def test_a_cooler_that_is_no_design_has_nothing_beside_it(found):
    assert beside(*found["unit"], "first") is None


def test_a_machine_that_would_not_hold_disagrees():
    true = np.full(draws.DRAWS, 40.0)
    lost, unsure = np.full(draws.DRAWS, np.nan), np.where(np.arange(draws.DRAWS) % 2, 41.0, np.nan)
    for values, agrees in ((lost, "no"), (unsure, "cannot tell"), (true, "yes")):
        row = row_of("daily_energy", "held", ("r",), (4.0, 25.0), [("", values)], 40.0, true)
        assert row.agrees == agrees
        assert (row.predicted.value is None) == (agrees != "yes")


def test_agreement_says_nothing_where_anything_would_agree():
    wide = draws.between("wide", 5.0, 75.0)
    row = row_of("daily_energy", "held", ("r",), (4.0, 25.0), [("", wide)], 40.0,
                 np.full(draws.DRAWS, 40.0))
    assert row.agrees == "cannot tell"


def test_it_is_told_in_tables_and_sentences(found):
    result, rows = found["hot side"]
    text = "\n".join(item.plain() if hasattr(item, "plain") else item.text
                     for item in shown(Book(result, tuple(rows), {})))
    assert re.search(r"predicted 2\.\d K warmer than measured, more than", text)
    assert re.search(r"Surely of it: hot side 2\.\d ±", text)
    assert "What remains" in text
    assert "XPS of 60 mm" in text


# --- as its sheet states it ---------------------------------------------------------------------


def other(result, **changes):
    """The campaign, had the design's sheet said something else."""
    coolers = result.campaign.coolers
    second = coolers["second"].model_copy(update=changes)
    return replace(result.campaign, coolers={**coolers, "second": second})


def half_width(values):
    low, high = draws.interval(values)
    return (high - low) / 2 / np.median(values)


def test_foam_of_the_same_lot_leaves_less_open(found):
    result, rows = found["unit"]
    any_lot, same_lot = (stated_walls(result.campaign, rows, "second", "first", lot)
                         for lot in (False, True))
    assert half_width(same_lot.part(4.0, 25.0)) < 0.7 * half_width(any_lot.part(4.0, 25.0))
    assert "of the lot of the box before it" in same_lot.said[0]
    assert "0.026 to 0.036" in any_lot.said[0]
    # The same hands do not build every seal alike: some is open even so.
    assert half_width(same_lot.part(4.0, 25.0)) > 0.05


def test_walls_need_sizes_that_stand_for_them(found):
    result, rows = found["unit"]
    sheet = result.campaign.coolers["second"]
    bare = stated_walls(other(result, inside=None), rows, "second", "first")
    assert bare.part is None
    assert "does not state inside" in bare.said[0]
    thick = sheet.insulation.model_copy(update={
        "thickness": replace(sheet.insulation.thickness, value=2000.0)})
    assert "too thick" in stated_walls(other(result, insulation=thick), rows, "second",
                                       "first").said[0]


def test_modules_go_by_the_ratio_of_their_sheets(found):
    result, rows = found["modules"]
    fitted = thermoelectric_fit.fit(result, rows, "first")
    modules = result.campaign.coolers["second"].modules
    eight = modules.model_copy(update={"count": 2 * modules.count})
    more = stated_machine(other(result, modules=eight), fitted, "second")
    assert np.allclose(more.part.module.conductance, 2 * fitted.unit.module.conductance)
    assert np.allclose(more.part.module.seebeck, fitted.unit.module.seebeck)
    without = stated_machine(other(result, modules=None), fitted, "second")
    assert np.allclose(without.part.module.conductance, fitted.unit.module.conductance)
    assert any("modules as before" in one for one in without.said)


def test_volts_and_drive_are_those_of_its_sheet_and_runs(found):
    result, rows = found["modules"]
    fitted = thermoelectric_fit.fit(result, rows, "first")
    supply = replace(result.campaign.coolers["second"].supply, value=9.0)
    lower = stated_machine(other(result, supply=supply), fitted, "second", "steady").part
    assert np.allclose(lower.volts, 0.75 * fitted.unit.volts)
    assert lower.driven == "steady"
    assert lower.efficiency.max() <= 1.0


def test_another_technology_is_not_predicted(found):
    result, rows = found["modules"]
    fitted = thermoelectric_fit.fit(result, rows, "first")
    told = stated_machine(other(result, technology="compressor"), fitted, "second")
    assert told.part is None
    assert "cooled otherwise" in told.said[0]


def test_a_hot_side_that_the_sheet_names_is_predicted(found):
    """The better one, stated as one of the campaign's: nothing is left to explain."""
    result, rows = found["hot side"]
    sheet = result.campaign.sheet.model_copy(update={"hot_side": [HotSideSheet(
        name="wider radiator", resistance="0.10 K/W ± 0.01 K/W")]})
    named = result.campaign.coolers["second"].model_copy(update={"hot_side": "wider radiator"})
    campaign = replace(result.campaign, sheet=sheet,
                       coolers={**result.campaign.coolers, "second": named})
    told = beside(replace(result, campaign=campaign), rows, "second")
    row = next(r for r in told.rows
               if r.finding == "coldest_air" and r.at.startswith("full drive"))
    assert row.agrees == "yes"
    assert abs(row.apart.value) < 1.0
    fitted = thermoelectric_fit.fit(result, rows, "first")
    machine = stated_machine(campaign, fitted, "second")
    assert machine.said[0] == "hot side as stated: wider radiator"
    assert np.median(machine.part.r_hot) == pytest.approx(0.10, rel=0.02)
