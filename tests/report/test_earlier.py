"""Coolers of an earlier campaign join the comparison, ranked only under the same protocol."""

from __future__ import annotations

import json
import shutil

import pytest

from coldbench.errors import UserError
from coldbench.report.book import open_campaign
from coldbench.report.display import Table
from coldbench.report.results import write_results
from coldbench.report.sections import differences, results, tested


@pytest.fixture(scope="module")
def demo():
    return open_campaign("demo")


@pytest.fixture(scope="module")
def joined(demo, clone, tmp_path_factory):
    """The demo with the demo of a year before, one of whose runs had another protocol."""
    folder = tmp_path_factory.mktemp("joined")
    write_results(folder / "spring" / "out", demo.rows, {}, (), demo.campaign)
    file = folder / "spring" / "out" / "findings.json"
    told = json.loads(file.read_text(encoding="utf-8"))
    told["date"] = "2030-06-30"
    told["protocols"] = {run: "stall-0" if run.startswith("small-te") else protocol
                         for run, protocol in told["protocols"].items()}
    file.write_text(json.dumps(told), encoding="utf-8")
    campaign = shutil.copytree(clone / "templates" / "campaign-demo", folder / "now")
    with (campaign / "campaign.toml").open("a", encoding="utf-8") as sheet:
        sheet.write('\n[[earlier]]\nfindings = "../spring/out/findings.json"\n')
    return open_campaign(str(campaign))


def test_earlier_coolers_have_ids_and_names_of_their_own(joined):
    assert joined.coolers == ["chest", "small-te", "self-built", "ice-box"]
    assert joined.compared[4:] == ["chest-2", "small-te-2", "self-built-2", "ice-box-2"]
    assert joined.names["chest-2"] == "Compressor chest (2030-06-30)"
    assert joined.one("chest-2", "daily_energy_footing").runs[0].startswith("2030-06-30 chest-4c")


def test_alike_coolers_of_two_years_cannot_be_told_apart(joined):
    told = {(d.first.cooler, d.second.cooler): d for d in joined.differences
            if d.first.key == ("daily_energy_footing", "dc")}
    assert told["chest", "chest-2"].verdict == "cannot tell apart"
    assert told["chest", "self-built-2"].verdict == "less"


def test_another_protocol_is_not_compared(joined):
    told = next(d for d in joined.differences if d.first.finding == "coldest_air"
                and (d.first.cooler, d.second.cooler) == ("chest", "small-te-2"))
    assert told.verdict == "not comparable" and "protocols" in told.why


def test_their_errors_are_drawn_apart_with_the_same_interval(joined):
    row = joined.one("self-built-2", "coldest_air")
    low, high = sorted(row.draws)[100], sorted(row.draws)[-101]
    assert (low, high) == pytest.approx((row.low, row.high), abs=0.02)


def test_they_stand_in_tables_and_are_said_to_be_of_another_day(joined):
    heads = [cell.text for t in results.size_and_money(joined) if isinstance(t, Table)
             for cell in t.columns[1:]]
    assert "Passive ice box (2030-06-30)" in heads
    texts = [p for item in tested.tested(joined) for p in getattr(item, "paragraphs", ())]
    assert any("earlier campaigns" in text for text in texts)
    assert differences.differences(joined)


def test_a_garbled_or_missing_file_is_a_fault(joined, tmp_path):
    folder = shutil.copytree(joined.campaign.folder, tmp_path / "c")
    (tmp_path / "spring" / "out").mkdir(parents=True)
    (tmp_path / "spring" / "out" / "findings.json").write_text("{", encoding="utf-8")
    with pytest.raises(UserError, match="earlier findings"):
        open_campaign(str(folder))
