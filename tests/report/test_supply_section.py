"""Battery, panel and the year from the sun as the report tells them."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from coldbench.compare.supply_year import STATED, Case, SupplyYear
from coldbench.findings import Finding
from coldbench.report.display import Figure, Table
from coldbench.report.sections import cautions
from coldbench.report.sections import supply as module
from coldbench.sheets import read_campaign

CAMPAIGN = """title = "Made"
timezone = "UTC"
[footing]
ambient = "25 °C"
inside = "4 °C"
{}
"""
SUPPLY = """[supply]
days = 2
depth_of_discharge = "80 %"
battery_efficiency = "95 %"
"""
COOLER = """name = "Chest"
technology = "compressor"
origin = "bought"
"""
RUN = """cooler = "chest"
kind = ["steady"]
start = 2031-06-14T09:00:00
[[reading]]
at = "0 min"
air = "4 °C"
"""


def book(folder, supply=SUPPLY, rows=()):
    from coldbench.report.book import Book

    for name, text in (("campaign.toml", CAMPAIGN.format(supply)), ("coolers/chest.toml", COOLER),
                       ("runs/r.toml", RUN)):
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    campaign = read_campaign(folder)
    result = SimpleNamespace(campaign=campaign, of=lambda *_: [])
    return Book(result, tuple(rows), {})


def plain(shown):
    return "\n".join(part.plain() for part in shown if not isinstance(part, Figure))


ROWS = [Finding(cooler="chest", finding="battery_needed", at="dc", value=632.0, low=600.0,
                high=660.0, unit="Wh", basis="modelled", note="2 d to bridge")]


def test_sizes_are_told_and_what_the_year_needs(tmp_path):
    text = plain(module.supply(book(tmp_path, rows=ROWS)))
    assert "632" in text and "2 d to bridge" in text and "neither a wire nor a fuse" in text
    assert "needs latitude, clearness and performance_ratio in [supply]" in text


def test_without_supply_it_says_what_is_needed(tmp_path):
    assert "needs [supply]" in plain(module.supply(book(tmp_path, supply="")))


def test_a_battery_in_the_report_brings_its_caution(tmp_path):
    def titles(rows):
        return [part.title for part in cautions.cautions(book(tmp_path, rows=rows))]

    assert "Low-voltage wiring and batteries" in titles(ROWS)
    assert "Low-voltage wiring and batteries" not in titles([])


@pytest.fixture
def told(tmp_path, monkeypatch):
    lacks = np.zeros((2, 12))
    lacks[:, 10] = 30.0, 50.0
    grid = np.geomspace(1, 2, 16)
    year = SupplyYear(
        "chest", ROWS[0], np.linspace(100, 210, 12), np.linspace(1, 6.5, 12), np.full(12, 25.0),
        500 * grid, 50 * grid, 0.9 + 0.1 * grid[:, None] * grid / 4, (
            Case(STATED, 632.0, 80.0, lacks, 0.2),
            Case("99 %", 700.0, 90.0, np.zeros((2, 12)), 0.3, 0.94, None)), ("made up",))
    monkeypatch.setattr(module, "supply_years", lambda *_: [year])
    return module.supply(book(tmp_path, rows=ROWS))


def test_each_cooler_has_its_sentence_with_two_months(told):
    text = plain(told)
    share = 100 * (1 - 40 / 8760)
    assert f"632 Wh with 80 W ({STATED}) give power for {share:.1f} % of the hours" in text
    assert "Nov lacks most, 40 h" in text
    assert "smallest pair for 99 %: 700 Wh with 90 W (both × 0.94 to more than 1.6)" in text
    assert "Dec: 210 Wh a day under 6.5 h of full sun, 0 h without power; Jan: 100 Wh" in text
    assert "not what was assumed" in text


def test_a_cooler_without_a_year_is_named_with_the_reason(tmp_path, monkeypatch):
    note = "cannot hold 4 °C at 25 °C; coldest 9.1 °C"
    row = Finding(cooler="chest", finding="daily_energy_footing", at="dc", basis="not reached",
                  note=note)
    other = SimpleNamespace(cooler="another")
    said, = module._left_out(book(tmp_path, rows=[row]), [other])
    assert said.plain() == f"No year is told for Chest ({note})."
    assert module._left_out(book(tmp_path, rows=[row]), [SimpleNamespace(cooler="chest")]) == []


def test_figures_and_a_table_of_months_are_shown(told):
    assert [part.label for part in told if isinstance(part, Figure)] == [
        "supply-map", "supply-months"]
    table = next(part for part in told if isinstance(part, Table) and len(part.rows) == 12)
    assert table.rows[10][:3] == ["Nov", "6.0", "25.0"] and table.rows[10][4] == "40"
