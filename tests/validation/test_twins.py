"""A fixed tenth of the campaigns behind the table of twins."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import twins


@pytest.mark.parametrize("what", ["twins", "one thirstier, coarse meter"])
def test_equals_are_not_told_apart_and_others_are(what):
    rows = twins.study(what, twins.TENTH)
    table = twins.table(rows, what).set_index("finding")
    assert (table["passed"] == "yes").all(), table.to_string()
    assert (table["compared"] == twins.TENTH).all()
    if what != "twins":
        assert table.loc["daily_energy", "intervals overlap"] > 0.9
        assert table.loc["daily_energy", "claimed of overlapping"] > 0.7


def test_the_proof_can_fail():
    rows = twins.study("twins", 25)
    loud = rows.assign(verdict="less")
    assert (twins.table(loud, "twins")["passed"] == "no").all()
    deaf = rows.assign(verdict="cannot tell apart")
    told = twins.table(deaf, "one thirstier").set_index("finding")
    assert told.loc["daily_energy", "passed"] == "no"
