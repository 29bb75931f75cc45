"""Page one answers the musts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coldbench.report.book import open_campaign
from coldbench.report.sections.answer import answer


@pytest.fixture(scope="module")
def demo():
    return open_campaign("demo")


def test_who_meets_all_and_what_the_others_miss(demo):
    (text,) = answer(demo)[0].paragraphs
    assert text.startswith("Meets all musts: Compressor chest and Passive ice box. Missed: ")
    assert "Self-built, liquid-cooled (uses 600 Wh a day at most; 45 dB at most" in text


def test_nothing_is_said_without_musts(demo):
    sheet = demo.campaign.sheet.model_copy(update={"musts": None})
    bare = replace(demo.result, campaign=replace(demo.campaign, sheet=sheet))
    assert answer(replace(demo, result=bare)) == []
