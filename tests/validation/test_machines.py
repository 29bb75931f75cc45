"""A fixed tenth of the coolers behind the table of machines."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import machines


@pytest.fixture(scope="module")
def coolers():
    return machines.study("checked", machines.TENTH)


def test_cop_and_moved_energy_find_the_truth(coolers):
    table = machines.table(coolers, "checked").set_index("way")
    assert (table["passed"] != "no").all(), table.to_string()
    assert (table["cases"] > 0).all()
    assert table.loc[machines.CURVE, "valued"] == table.loc[machines.CURVE, "cases"]


def test_what_cannot_be_known_gets_no_figure(coolers):
    table = machines.refusals(coolers, "checked").set_index("what")
    assert (table["passed"] == "yes").all(), table.to_string()
    assert (table["cases"] > 0).all()
    # A bottle's slope reads low; what lets heat back while it rests flatters the machine.
    assert table.loc["one bottle: heat leak", "would be off by, median"] < -0.14
    assert table.loc["off, modules not stated: COP", "would be off by, median"] > 0.3


def test_the_proof_can_fail(coolers):
    off = coolers.assign(value=coolers["value"].astype(float) * 1.2, hit=False)
    table = machines.table(off, "checked").set_index("way")
    assert (table.loc[table["cases"] >= machines.FEWEST, "passed"] == "no").all()
    given = coolers.assign(refused=coolers["refused"].where(coolers["refused"].isna(), False))
    judged = machines.refusals(given, "checked").set_index("what")
    assert (judged.drop("share of the ideal of 1 or more")["passed"] == "no").all()
