"""A fixed tenth of the cases behind the table of designs."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import designs


@pytest.fixture(scope="module")
def cases():
    return designs.study(designs.TENTH)


def test_the_built_box_does_what_the_design_said(cases):
    table = designs.table(cases).set_index(["finding", "machine"])
    assert (table["passed"] == "yes").all(), table.to_string()
    assert (table.xs("all", level="machine")["cases"] >= 0.6 * designs.TENTH).all()


def test_what_cannot_be_held_is_never_promised(cases):
    _, wrong, _ = designs.not_held(cases)
    assert wrong == 0


def test_the_proof_can_fail(cases):
    given = cases["value"].notna()
    # Intervals a tenth as wide are missed, ten times as wide say nothing, and none is no answer.
    off = (cases["truth"] - cases["value"].astype(float)).abs()
    narrow = cases.assign(within=cases["within"].where(
        ~given, off < 0.1 * (cases["high"] - cases["low"]) / 2))
    wide = cases.assign(half=10 * cases["half"])
    silent = cases.assign(answered=False)
    for worse in (narrow, wide, silent):
        table = designs.table(worse).set_index(["finding", "machine"])
        assert (table.xs("all", level="machine")["passed"] == "no").all()
