"""The demo's findings against a file that was looked at, and what the demo must show.

``demo-findings.csv`` is written only when asked for, with the environment variable
``COLDBENCH_REWRITE_GOLDEN=1``, and then read line by line before it is committed:

    COLDBENCH_REWRITE_GOLDEN=1 python -m pytest tests/golden
"""

from __future__ import annotations

import csv
import os
from pathlib import Path

import pytest

from coldbench.figures.words import said
from coldbench.report.book import open_campaign
from coldbench.report.results import CSV, NUMBERS, write_results

GOLDEN = Path(__file__).with_name("demo-findings.csv")
REWRITE = "COLDBENCH_REWRITE_GOLDEN"


@pytest.fixture(scope="module")
def demo():
    return open_campaign("demo")


def rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


def test_findings_are_those_looked_at(demo, tmp_path):
    write_results(tmp_path, demo.rows, {}, demo.result.notices, demo.campaign)
    if os.environ.get(REWRITE) == "1":
        GOLDEN.write_bytes((tmp_path / CSV).read_bytes())
    found, wanted = rows(tmp_path / CSV), rows(GOLDEN)
    keys = [(r["cooler"], r["finding"], r["at"]) for r in wanted]
    assert [(r["cooler"], r["finding"], r["at"]) for r in found] == keys
    for key, row, golden in zip(keys, found, wanted, strict=True):
        for name, text in golden.items():
            if name in NUMBERS and text and row[name]:
                assert float(row[name]) == pytest.approx(float(text), rel=1e-6), (key, name)
            else:
                assert row[name] == text, (key, name)


def test_a_gap_is_told(demo):
    gaps = {n.cooler: n.message for n in demo.result.notices if n.code == "LOG-GAP"}
    assert set(gaps) == {"chest", "small-te"}
    assert all("Nothing was filled" in message for message in gaps.values())


def test_a_target_is_not_reached(demo):
    row = demo.one("small-te", "pull_down_time", "load<=4 °C")
    assert row.basis == "not reached" and row.value is None
    assert said(row) == "not reached in 36.0 h" and "coldest 7.9 °C" in row.note


def test_a_time_is_bounded_by_a_gap(demo):
    row = demo.one("small-te", "pull_down_time", "load<=10 °C")
    assert row.basis == "bounded" and row.value is None
    assert 5.0 < row.low < 5.6 and 7.2 < row.high < 7.6
    assert row.note.endswith("(gap in the log); coverage 75 %: bounds only")


def test_two_coolers_cannot_be_told_apart(demo):
    pair = next(d for d in demo.differences if d.first.key == ("usable_volume", "")
                and {d.first.cooler, d.second.cooler} == {"chest", "ice-box"})
    assert pair.verdict == "cannot tell apart"
    assert pair.low < 0 < pair.high


def test_an_energy_is_read_by_hand_from_a_counter(demo):
    run = demo.result.results["small-te-coldest-again"]
    assert run.record.trace("energy").by_hand and run.record.trace("power") is None
    by_hand = next(f for f in run.findings if f.finding == "daily_energy")
    logged = next(f for f in demo.result.results["small-te-coldest"].findings
                  if f.finding == "daily_energy")
    assert by_hand.value == pytest.approx(logged.value, rel=0.05)
    assert by_hand.high - by_hand.low > logged.high - logged.low
