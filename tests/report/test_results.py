"""The files of findings: exact columns, the same bytes, and back again."""

from __future__ import annotations

import csv
import json
import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from coldbench.errors import UserError
from coldbench.findings import Finding, Notice
from coldbench.report.results import read_results, write_results

HEADER = "cooler,finding,at,conditions,value,unit,low,high,basis,coverage,runs,note"


def sheet(**keys: object) -> SimpleNamespace:
    return SimpleNamespace(**keys)


@pytest.fixture
def campaign():
    """Two coolers in an order that is not the alphabet's, three runs."""
    return SimpleNamespace(
        sheet=sheet(title="Käse <b>", date="2031-06-14"),
        coolers={"zinc": sheet(name="Zinc box"), "alu": sheet(name="Alu box")},
        runs={
            "z1": sheet(protocol="cans"),
            "z2": sheet(protocol="cans"),
            "a1": sheet(protocol=None),
        },
    )


FINDINGS = (
    Finding(
        cooler="alu", finding="mass", value=9.123456789, unit="kg", low=9.0, high=9.25,
        basis="sheet", runs=(),
    ),
    Finding(
        cooler="zinc", finding="daily_energy", at="dc",
        conditions={"ambient": 24.63, "inside": np.float64(3.94321987)}, value=np.float64(412.0),
        unit="Wh/d", low=400, high=math.inf, coverage=99.87654321, runs=("z1", "z2"),
        note='says "mean",\nof two', draws=np.zeros(3),
    ),
    Finding(
        cooler="zinc", finding="pull_down_time", at="air<=0 °C", basis="not reached", unit="h",
        runs=("z1",),
    ),
)  # fmt: skip
NOTICES = (Notice("LOG-GAP", "doubt", "z1, 3.0 h", "Silent for 2.4 h.", "zinc"),)


def write(out, campaign, findings=FINDINGS):
    return write_results(out, findings, {"z1": FINDINGS[2:], "a1": ()}, NOTICES, campaign)


def test_the_table(tmp_path, campaign):
    write(tmp_path, campaign)
    raw = (tmp_path / "findings.csv").read_bytes().decode("utf-8")
    assert raw.splitlines()[0] == HEADER and "\r" not in raw
    rows = list(csv.DictReader(raw.splitlines(keepends=True)))
    assert [(row["cooler"], row["finding"]) for row in rows] == [
        ("zinc", "pull_down_time"), ("zinc", "daily_energy"), ("alu", "mass"),
    ]  # fmt: skip
    assert rows[1] == {
        "cooler": "zinc", "finding": "daily_energy", "at": "dc",
        "conditions": "ambient=24.6 °C inside=3.9 °C", "value": "412", "unit": "Wh/d",
        "low": "400", "high": "", "basis": "measured", "coverage": "99.8765", "runs": "z1 z2",
        "note": 'says "mean",\nof two',
    }  # fmt: skip
    assert (rows[0]["value"], rows[0]["coverage"], rows[2]["value"]) == ("", "", "9.12346")


def test_both_files_are_the_same_whatever_the_order_and_the_last_bits(tmp_path, campaign):
    write(tmp_path / "a", campaign)
    # As the arithmetic of another machine might give them.
    shaken = [replace(f, value=f.value and f.value * (1 + 1e-13)) for f in reversed(FINDINGS)]
    write(tmp_path / "b", campaign, shaken)
    for name in ("findings.csv", "findings.json"):
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


def test_a_notebook_opened_by_hand_writes_only_where_it_is_told(tmp_path, campaign, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert write("", campaign) is None and not list(tmp_path.iterdir())
    assert write("there", campaign).is_file()


def test_back_again(tmp_path, campaign):
    results = read_results(write(tmp_path, campaign))
    assert (results.title, results.date) == ("Käse <b>", "2031-06-14")
    assert results.coolers == {"zinc": "Zinc box", "alu": "Alu box"}
    assert results.protocols == {"z1": "cans", "z2": "cans", "a1": ""}
    assert results.notices == NOTICES
    assert results.runs == {"a1": (), "z1": FINDINGS[2:]}
    merged = {finding.finding: finding for finding in results.findings}
    assert merged["pull_down_time"] == FINDINGS[2]
    assert merged["daily_energy"].conditions == {"ambient": 24.63, "inside": 3.94322}
    assert merged["daily_energy"].runs == ("z1", "z2")
    assert merged["daily_energy"].high is None and merged["daily_energy"].draws is None
    assert merged["mass"].value == 9.12346


def test_plain_json_with_the_columns_of_the_table(tmp_path, campaign):
    told = json.loads(write(tmp_path, campaign).read_text(encoding="utf-8"))
    assert set(told["findings"][0]) == set(HEADER.split(","))
    assert "NaN" not in json.dumps(told) and "Infinity" not in json.dumps(told)


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"shape": 99}', "\0"])
def test_a_wrong_file_is_the_users_to_mend(tmp_path, text):
    file = tmp_path / "findings.json"
    file.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="does not hold findings"):
        read_results(file)


def test_a_missing_file_is_the_users_to_mend(tmp_path):
    with pytest.raises(UserError, match=r"findings\.json: cannot be read"):
        read_results(tmp_path / "findings.json")
