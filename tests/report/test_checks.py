"""Same-place checks in the report and among the findings."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from types import SimpleNamespace

import pytest

from coldbench.bench import CampaignSim, Column, LogPlan, draw_campaigns, write_campaign
from coldbench.bench.same_place import SharedBath, with_check
from coldbench.report.book import Book, open_campaign
from coldbench.report.results import read_results, write_results
from coldbench.report.sections.checks import checks
from coldbench.report.sections.methods import doubt
from coldbench.report.sections.tested import conditions


@pytest.fixture(scope="module")
def book(tmp_path_factory) -> Book:
    """A campaign of nothing but a check of three ideal probes."""
    campaign = draw_campaigns(1, 3, "ideal")[0]
    columns = tuple(Column(f"{role}_C", role, "probes", probe, probe)
                    for role, probe in (("air", "P1"), ("load", "P2"), ("ambient", "P3")))
    sim = with_check(CampaignSim(replace(campaign, runs=())), SharedBath(),
                     {"P1": 10.0, "P2": 20.0, "P3": 30.0}, (LogPlan(columns, step=10.0),))
    folder = tmp_path_factory.mktemp("book")
    write_campaign(folder, sim)
    return open_campaign(str(folder))


def test_the_conditions_show_a_row_a_probe(book):
    shown = conditions(book)
    text, table = checks(book)
    assert table in shown
    assert [row[1] for row in table.rows] == ["P1", "P2", "P3"]
    assert all(row[2] == "0.00 K" for row in table.rows)
    # A check is no test of a cooler.
    assert shown[1].rows == []


def test_the_uncertainty_says_where_offsets_come_from(book):
    said = next(item for item in doubt(book) if "same-place check" in str(vars(item)))
    assert "stirred ice water is 0 °C within 0.1 K" in str(vars(said))


def test_findings_stand_in_the_files_without_a_cooler(book, tmp_path):
    runs = {run: r.findings for run, r in book.result.results.items()}
    file = write_results(tmp_path, book.rows, runs, book.result.notices, book.campaign)
    text = (tmp_path / "findings.csv").read_text(encoding="utf-8")
    rows = [r for r in csv.DictReader(io.StringIO(text)) if r["finding"] == "probe_offset"]
    assert [(r["cooler"], r["at"]) for r in rows] == [("", "P1"), ("", "P2"), ("", "P3")]
    assert all(float(r["low"]) < 0 < float(r["high"]) for r in rows)
    assert [f.at for f in read_results(file).findings if f.finding == "probe_offset"] == [
        "P1", "P2", "P3"]


def test_without_a_check_nothing_is_shown(book):
    plain = SimpleNamespace(result=SimpleNamespace(checks=()))
    assert checks(plain) == []


@pytest.mark.parametrize(("kind", "title"), [
    ("heater", "Heater in a closed box"), ("ice-melt", "Ice and dry ice")])
def test_a_test_that_can_hurt_brings_its_caution(kind, title):
    from coldbench.report.sections.cautions import cautions

    cooler = SimpleNamespace(refrigerant=None, technology="compressor", origin="bought")
    run = SimpleNamespace(kind=[kind], cooler="a", log=[])
    without = SimpleNamespace(campaign=SimpleNamespace(coolers={"a": cooler}, runs={}), rows=())
    tested = SimpleNamespace(campaign=SimpleNamespace(coolers={"a": cooler}, runs={"r": run}),
                             rows=())
    assert title not in [c.title for c in cautions(without)]
    assert title in [c.title for c in cautions(tested)]
