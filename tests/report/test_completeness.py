"""Items of a test report: in the report, and in the developers' page."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace

from coldbench.report.sections.completeness import ITEMS, items_of_a_test_report
from coldbench.sheets.campaign import CampaignSheet

SHEET = {"title": "made", "timezone": "UTC"}


def of(**disclosure):
    told = {**SHEET, "disclosure": disclosure} if disclosure else SHEET
    sheet = CampaignSheet.model_validate(told)
    (table,) = items_of_a_test_report(SimpleNamespace(campaign=SimpleNamespace(sheet=sheet)))
    return {row[0]: row[2].text for row in table.rows}


def test_all_items_stand_in_report_and_developers_page(clone):
    assert list(of()) == [f"{letter})" for letter in "abcdefghijklmnop"]
    page = (clone / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert all(f"| {letter}) | {asked} |" in page for letter, (asked, _) in ITEMS.items())


def test_what_is_missing_says_so_and_what_is_stated_stands_there():
    bare = of()
    assert {bare[f"{letter})"] for letter in "bcehko"} == {"not stated"}
    told = of(laboratory="Shed 3, by the lock", received=date(2031, 6, 1), sample="bought new")
    assert told["b)"] == "Shed 3, by the lock"
    assert told["h)"] == "2031-06-01" and told["k)"] == "bought new"
